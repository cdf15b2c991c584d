# SPDX-License-Identifier: MIT
"""Earths, the N–E link, and the bond of a shield."""
from __future__ import annotations

from sld.symbols.base import IEC, OWN, Sketch, drawn

__all__: list[str] = []


def bars(s: Sketch, x: float, y: float, half: float = 2.5, pitch: float = 1.1) -> None:
    """The three bars of the earth sign."""
    for place, part in enumerate((1.0, 0.62, 0.24)):
        s.line((x - half * part, y + pitch * place), (x + half * part, y + pitch * place))


@drawn("earth", "Earth")
def earth(s: Sketch) -> None:
    s.line((0, 0), (0, 4))
    bars(s, 0, 4)
    s.end()


@drawn("protective-earth", "Protective earth")
def protective_earth(s: Sketch) -> None:
    s.line((0, 0), (0, 5.5))
    s.circle(0, 6, 4)
    bars(s, 0, 5.5, 2.4)
    s.end()


@drawn("ne-link", "Neutral–earth link in the line", IEC + " (connecting link, earth); their arrangement is our own")
def ne_link(s: Sketch) -> None:
    """From the neutral, marked by a dot, over a link that can be opened, to earth."""
    s.line((0, 0), (0, 12.5))
    s.circle(0, 3.75, 0.7, fill=True)
    s.line((0, 3.75), (-1.4, 3.75))
    s.circle(-1.9, 3.75, 0.5)
    s.line((-2.4, 3.75), (-3.4, 3.75))
    s.circle(-3.9, 3.75, 0.5)
    s.line((-4.4, 3.75), (-5.5, 3.75), (-5.5, 7))
    bars(s, -5.5, 7)
    s.inline(12.5)
    s.port("earth", -8, 7, "left")


@drawn("link", "Link that can be opened")
def link(s: Sketch) -> None:
    s.line((0, 0), (0, 3.25))
    s.circle(0, 3.75, 0.5)
    s.line((0, 4.25), (0, 8.25))
    s.circle(0, 8.75, 0.5)
    s.line((0, 9.25), (0, 12.5))
    s.inline(12.5)


@drawn("final-subcircuits", "Conductors of final subcircuits", IEC + " (arrow); its meaning is our own")
def final_subcircuits(s: Sketch) -> None:
    s.line((0, 0), (0, 4))
    s.head(0, 6, "down", 2.5, 2)
    s.end()


@drawn("electrode", "Earth electrode", OWN)
def electrode(s: Sketch) -> None:
    """A rod in hatched ground."""
    s.line((0, 0), (0, 3.75))
    s.box(-0.5, 3.75, 0.5, 10, fill=True)
    s.line((-3.75, 3.75), (3.75, 3.75))
    for x in (-2.25, 2.25):
        s.line((x + 0.75, 3.75), (x - 0.75, 5.25))
    s.end()


@drawn("shield-bond", "Shield of a cable bonded here", IEC + " (shield, earth); their arrangement is our own")
def shield_bond(s: Sketch) -> None:
    s.circle(0, 1.5, 1.5, dash=True)
    s.line((0, 3), (0, 5))
    bars(s, 0, 5, 2.0, 1.0)
    s.end()
