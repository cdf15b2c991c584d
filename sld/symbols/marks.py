# SPDX-License-Identifier: MIT
"""Terminals and joints, marks on and beside lines, signs."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []


@drawn("terminal", "Terminal")
def terminal(s: Sketch) -> None:
    s.line((0, 0), (0, 1.5))
    s.circle(0, 2.5, 1)
    s.line((0, 3.5), (0, 5))
    s.inline(5)


@drawn("junction", "Joint")
def junction(s: Sketch) -> None:
    s.line((0, 0), (0, 5))
    s.circle(0, 2.5, 0.8, fill=True)
    s.inline(5)


@drawn("conductor-stroke", "Conductors of a line")
def conductor_stroke(s: Sketch) -> None:
    s.line((-1.25, 1.25), (1.25, -1.25))


def slanted(s: Sketch) -> None:
    """A stroke across a line, with room for a sign at its upper end."""
    s.line((-1.4, 1.9), (1.4, -1.9))


@drawn("neutral-mark", "Neutral conductor")
def neutral_mark(s: Sketch) -> None:
    slanted(s)
    s.circle(1.4, -1.9, 0.6, fill=True)


@drawn("protective-mark", "Protective conductor")
def protective_mark(s: Sketch) -> None:
    slanted(s)
    s.line((0, -1.9), (2.8, -1.9))


@drawn("pen-mark", "Combined protective and neutral conductor (PEN)")
def pen_mark(s: Sketch) -> None:
    slanted(s)
    s.line((0, -1.9), (2.8, -1.9))
    s.circle(1.4, -2.5, 0.6, fill=True)


@drawn("enclosure", "Board or place")
def enclosure(s: Sketch) -> None:
    """What stands within the outline stands in one enclosure or at one place."""
    s.shape((-7.5, 0), (7.5, 0), (7.5, 10), (-7.5, 10), style="-.")


@drawn("reference", "Continued at the place named", OWN)
def reference(s: Sketch) -> None:
    s.shape((-5, 0), (5, 0), (5, 4), (0, 7.5), (-5, 4))
    s.end()


@drawn("reference-from", "Continued from the place named", OWN)
def reference_from(s: Sketch) -> None:
    s.shape((-5, 0), (0, 3.5), (5, 0), (5, 4), (0, 7.5), (-5, 4))
    s.port("out", 0, 7.5, "down")


@drawn("reference-lead", "Bus or lead continued at the place named", OWN)
def reference_lead(s: Sketch) -> None:
    s.shape((-1, 0), (1, 0), (0, 2.5), fill=True)
    s.end()


@drawn("revision-triangle", "Altered at the revision named", "common practice, from memory")
def revision_triangle(s: Sketch) -> None:
    s.shape((0, 0), (3.3, 6), (-3.3, 6))


@drawn("warning", "Caution", "after ISO 7010 W001, from memory")
def warning(s: Sketch) -> None:
    s.shape((0, 0), (4.5, 7.8), (-4.5, 7.8))
    s.shape((-0.4, 2.6), (0.4, 2.6), (0.2, 5.4), (-0.2, 5.4), fill=True)
    s.circle(0, 6.5, 0.45, fill=True)


@drawn("unknown", "Device not known", OWN)
def unknown(s: Sketch) -> None:
    s.line((0, 0), (0, 2.5))
    s.box(-3.75, 2.5, 3.75, 10, dash=True)
    s.text(0, 7.5, "?")
    s.line((0, 10), (0, 12.5))
    s.inline(12.5)
