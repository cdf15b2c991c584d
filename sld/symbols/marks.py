# SPDX-License-Identifier: MIT
"""Earthing, marks on lines, and signs."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []


def earth_bars(s: Sketch, x: float, y: float) -> None:
    """The three bars of the earth sign."""
    s.line((x - 2.5, y), (x + 2.5, y))
    s.line((x - 1.6, y + 1), (x + 1.6, y + 1))
    s.line((x - 0.7, y + 2), (x + 0.7, y + 2))


@drawn("earth", "earth")
def earth(s: Sketch) -> None:
    s.line((0, 0), (0, 4))
    earth_bars(s, 0, 4)
    s.port("in", 0, 0, "up")


@drawn("protective-earth", "protective earth")
def protective_earth(s: Sketch) -> None:
    s.line((0, 0), (0, 3))
    s.circle(0, 6, 3)
    earth_bars(s, 0, 5.5)
    s.port("in", 0, 0, "up")


@drawn("ne-link", "N–E link with its electrode", OWN)
def ne_link(s: Sketch) -> None:
    s.line((0, 0), (0, 12.5))
    s.circle(0, 5, 0.7, fill=True)
    s.line((0, 5), (-5, 5), (-5, 8))
    earth_bars(s, -5, 8)
    s.inline(12.5)


@drawn("electrode", "earth electrode")
def electrode(s: Sketch) -> None:
    s.line((0, 0), (0, 7))
    earth_bars(s, 0, 3)
    s.port("in", 0, 0, "up")


@drawn("surge-arrester", "surge arrester")
def surge_arrester(s: Sketch) -> None:
    s.line((0, 0), (0, 5))
    s.box(-1.5, 2, 1.5, 9.5)
    s.line((-0.8, 4), (0, 5.5), (0.8, 4), fill=True)
    s.line((0, 9.5), (0, 12.5))
    s.inline(12.5)


@drawn("terminator", "terminator of a bus")
def terminator(s: Sketch) -> None:
    s.line((0, 0), (0, 1))
    s.box(-1, 1, 1, 5)
    s.port("in", 0, 0, "up")


@drawn("shield-bond", "shield bonded here")
def shield_bond(s: Sketch) -> None:
    s.line((0, 0), (0, 2))
    earth_bars(s, 0, 2)
    s.port("in", 0, 0, "up")


@drawn("terminal", "terminal")
def terminal(s: Sketch) -> None:
    s.circle(0, 1, 1)
    s.inline(2)


@drawn("junction", "joint")
def junction(s: Sketch) -> None:
    s.line((0, 0), (0, 5))
    s.circle(0, 2.5, 0.8, fill=True)
    s.inline(5)


@drawn("conductor-stroke", "number of conductors")
def conductor_stroke(s: Sketch) -> None:
    s.line((-1.25, 1.25), (1.25, -1.25))


@drawn("reference", "continued on another sheet", OWN)
def reference(s: Sketch) -> None:
    s.line((-4, 0), (4, 0), (4, 4), (0, 7), (-4, 4), closed=True)
    s.port("in", 0, 0, "up")


@drawn("revision-triangle", "altered by a revision")
def revision_triangle(s: Sketch) -> None:
    s.line((0, 0), (2.5, 4.33), (-2.5, 4.33), closed=True)


@drawn("warning", "caution", "after ISO 7010 W001, from memory")
def warning(s: Sketch) -> None:
    s.line((0, 0), (4.5, 7.8), (-4.5, 7.8), closed=True)
    s.line((-0.35, 2.6), (0.35, 2.6), (0.2, 5.3), (-0.2, 5.3), fill=True)
    s.circle(0, 6.4, 0.45, fill=True)


@drawn("unknown", "not known", OWN)
def unknown(s: Sketch) -> None:
    s.line((0, 0), (0, 2))
    s.box(-3, 2, 3, 10, dash=True)
    s.text(0, 7.2, "?")
    s.line((0, 10), (0, 12.5))
    s.inline(12.5)
