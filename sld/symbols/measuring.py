# SPDX-License-Identifier: MIT
"""Meters and current transformers."""
from __future__ import annotations

from sld.symbols.base import Sketch, drawn

__all__: list[str] = []

MIDDLE = 6.25
HEIGHT = 12.5
TALL = 15.0


def meter(s: Sketch, *towards: str) -> None:
    """A meter that integrates; arrows show the direction of the energy that it counts, down is import."""
    s.line((0, 0), (0, 2.5))
    s.box(-5, 2.5, 5, 12.5)
    s.line((-5, 5), (5, 5))
    s.line((0, 12.5), (0, TALL))
    s.inline(TALL)
    s.text(-1.2 if len(towards) == 1 else -2.0, 10, "Wh")
    for place, to in enumerate(towards):
        x = 3.8 - 1.8 * (len(towards) - 1 - place)
        first, last = (6.5, 11) if to == "down" else (11, 6.5)
        s.line((x, first), (x, last))
        s.head(x, last, to)


@drawn("meter-import", "Energy meter, import")
def meter_import(s: Sketch) -> None:
    meter(s, "down")


@drawn("meter-export", "Energy meter, export")
def meter_export(s: Sketch) -> None:
    meter(s, "up")


@drawn("meter-both", "Energy meter, import and export")
def meter_both(s: Sketch) -> None:
    meter(s, "down", "up")


def ring(s: Sketch) -> None:
    """A ring round the conductor, two strokes across the secondary lead."""
    s.line((0, 0), (0, HEIGHT))
    s.circle(0, MIDDLE, 2.5)
    s.line((-2.5, MIDDLE), (-5.5, MIDDLE))
    for x in (-3.6, -4.5):
        s.line((x - 0.5, MIDDLE + 1), (x + 0.5, MIDDLE - 1))
    s.inline(HEIGHT)
    s.port("secondary", -5.5, MIDDLE, "left")


def direction(s: Sketch, p1: float, p2: float, base: float, to: str) -> None:
    """The letters at the side of P1, left of the line where no text follows, and an arrow from P1 to P2."""
    s.text(-2.8, base, "P1")
    s.line((3.8, p1), (3.8, p2))
    s.head(3.8, p2, to)


@drawn("ct-p1-up", "Current transformer, P1 to the supply")
def ct_p1_up(s: Sketch) -> None:
    ring(s)
    direction(s, 4, 9, 2.9, "down")


@drawn("ct-p1-down", "Current transformer, P1 to the load")
def ct_p1_down(s: Sketch) -> None:
    ring(s)
    direction(s, 8.5, 3.5, 11.4, "up")


@drawn("ct", "Current transformer, direction not known")
def ct_plain(s: Sketch) -> None:
    ring(s)
