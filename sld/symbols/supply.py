# SPDX-License-Identifier: MIT
"""Point of supply, transformer, and filters in the line."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []

HEIGHT = 12.5


@drawn("supply", "Point of supply", "source of alternating current after IEC 60617, from memory")
def supply(s: Sketch) -> None:
    s.circle(0, 5, 5)
    s.tilde(0, 5, 1.5)
    s.line((0, 10), (0, HEIGHT))
    s.port("out", 0, HEIGHT, "down")


@drawn("transformer", "Transformer")
def transformer(s: Sketch) -> None:
    s.line((0, 0), (0, 1.25))
    s.circle(0, 4.5, 3.25)
    s.circle(0, 8, 3.25)
    s.line((0, 11.25), (0, HEIGHT))
    s.inline(HEIGHT)


@drawn("filter", "Line filter")
def line_filter(s: Sketch) -> None:
    """A low-pass filter: of two waves the upper one is struck out."""
    s.line((0, 0), (0, 2.5))
    s.box(-3.75, 2.5, 3.75, 10)
    s.tilde(0, 4.75, 0.9)
    s.line((-1, 5.75), (1, 3.75))
    s.tilde(0, 7.75, 0.9)
    s.line((0, 10), (0, HEIGHT))
    s.inline(HEIGHT)


@drawn("filter-ferrite", "Ferrite round the line", OWN)
def filter_ferrite(s: Sketch) -> None:
    s.line((0, 0), (0, HEIGHT))
    s.box(-2.25, 3.75, -0.75, 8.75, fill=True)
    s.box(0.75, 3.75, 2.25, 8.75, fill=True)
    s.inline(HEIGHT)
