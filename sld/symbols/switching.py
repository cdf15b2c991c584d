# SPDX-License-Identifier: MIT
"""Switches, disconnectors, contactors, and what changes over between two supplies."""
from __future__ import annotations

from sld.symbols.base import IEC, Sketch, drawn
from sld.symbols.contacts import FIXED, arm, bar, bowl

__all__: list[str] = []

TALL = 15.0


@drawn("switch", "Switch")
def switch(s: Sketch) -> None:
    arm(s)


@drawn("disconnector", "Disconnector")
def disconnector(s: Sketch) -> None:
    arm(s)
    bar(s)


@drawn("switch-disconnector", "Switch-disconnector")
def switch_disconnector(s: Sketch) -> None:
    arm(s)
    bar(s)
    s.circle(0, FIXED + 0.75, 0.75)


@drawn("contactor", "Contactor")
def contactor(s: Sketch) -> None:
    arm(s)
    bowl(s)


def changeover(s: Sketch) -> None:
    """Two fixed contacts, the arm on that of the normal supply. The other supply comes in at the left."""
    s.line((0, 0), (0, 1.5), (2.5, 1.5), (2.5, 5))
    s.line((-7.5, 1.5), (-2.5, 1.5), (-2.5, 5))
    s.line((2.9, 4.2), (0, 11), (0, TALL))
    s.inline(TALL)
    s.port("alternative", -7.5, 1.5, "left")


@drawn("changeover-manual", "Changeover switch, by hand")
def changeover_manual(s: Sketch) -> None:
    changeover(s)
    s.line((1.28, 8), (-4.5, 8), dash=True)
    s.line((-4.5, 6.5), (-4.5, 9.5))


@drawn("changeover-automatic", "Changeover switch, automatic", IEC + "; the letter is our own")
def changeover_automatic(s: Sketch) -> None:
    changeover(s)
    s.line((1.28, 8), (-3.5, 8), dash=True)
    s.box(-7.5, 6, -3.5, 10)
    s.text(-5.5, 9.25, "A")


@drawn("changeover-interlocked", "Changeover of two switches, interlocked mechanically")
def changeover_interlocked(s: Sketch) -> None:
    s.line((0, 0), (0, 1.5), (3, 1.5), (3, 5))
    s.line((-7.5, 1.5), (-3, 1.5), (-3, 5))
    s.line((0.4, 5.5), (3, 10), (3, 12), (-3, 12), (-3, 10), (-5.6, 5.5))
    s.line((0, 12), (0, TALL))
    s.line((-4.3, 7.75), (-2.4, 7.75), dash=True)
    s.line((-0.1, 7.75), (1.7, 7.75), dash=True)
    s.shape((-2.4, 6.9), (-0.1, 6.9), (-1.25, 8.6))
    s.inline(TALL)
    s.port("alternative", -7.5, 1.5, "left")
