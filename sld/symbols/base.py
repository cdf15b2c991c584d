# SPDX-License-Identifier: MIT
"""A symbol is drawn on a schemdraw element, and compiled once into strokes, ports and a box.

schemdraw counts y upwards, we count it downwards; a Sketch takes and a compiled Symbol has our y. 1 unit is 1 mm.
"""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

from sld.font import font_size, text_box
from sld.primitives import Arc, Box, Circle, Pen, Point, Polyline, Port, Primitive, Symbol, Text

if TYPE_CHECKING:
    from schemdraw.elements import Element

__all__ = ["COMMON", "Family", "IEC", "OWN", "Shape", "Sketch", "compiled"]

IEC = "after IEC 60617, from memory"
COMMON = "common practice, no source"
OWN = "own sign, no standard symbol known"

THIN = Pen().width
DASH = (1.0, 0.6)
MARGIN = 0.25  # half of the widest pen that symbols are drawn with [mm]
LABEL = Point = (1.5, 1.25)  # from the right edge, and from the middle down to a base line [mm]
SIDES = {"left": 0, "up": 1, "right": 2, "down": 3}  # a direction's place in a Box


@dataclass(frozen=True, slots=True)
class Shape:
    """How a kind is drawn, its words in the legend, and where its shape comes from."""

    draw: Callable[[Sketch], None]
    legend: str
    source: str


class Family(dict[str, Shape]):
    """The kinds of one file, in the order in which they are written there."""

    def shape(self, kind: str, legend: str, source: str = IEC) -> Callable[[Callable[[Sketch], None]], Callable[[Sketch], None]]:
        """Enter a function that draws a kind on a Sketch."""
        def enter(function: Callable[[Sketch], None]) -> Callable[[Sketch], None]:
            self[kind] = Shape(function, legend, source)
            return function
        return enter


class Sketch:
    """Draws on a schemdraw element with our y. The wire comes in at (0, 0) and runs down."""

    def __init__(self) -> None:
        self.element = blank_element()
        self.ports: dict[str, Port] = {}

    def line(self, *points: Point, dash: bool = False) -> None:
        """A stroke through points; dashed where it stands for a mechanical link."""
        segments().append_to(self.element, "Segment", up(points), ls="--" if dash else "-")

    def shape(self, *points: Point, fill: bool = False, dash: bool = False, width: float = THIN) -> None:
        """A closed stroke."""
        segments().append_to(self.element, "SegmentPoly", up(points), fill="black" if fill else None, ls="--" if dash else "-", lw=width)

    def box(self, x0: float, y0: float, x1: float, y1: float, fill: bool = False, dash: bool = False) -> None:
        """A rectangle."""
        self.shape((x0, y0), (x1, y0), (x1, y1), (x0, y1), fill=fill, dash=dash)

    def circle(self, x: float, y: float, radius: float, fill: bool = False) -> None:
        segments().append_to(self.element, "SegmentCircle", (x, -y), radius, fill="black" if fill else None)

    def arc(self, x: float, y: float, radius: float, start: float, end: float) -> None:
        """Part of a circle, clockwise on paper from start to end [degrees]."""
        segments().append_to(self.element, "SegmentArc", (x, -y), 2 * radius, 2 * radius, theta1=-end, theta2=-start)

    def text(self, x: float, y: float, text: str, height: float = 2.5) -> None:
        """Letters of the symbol itself, never of the site: centred on x, base line at y."""
        segments().append_to(self.element, "SegmentText", (x, -y), text, align=("center", "base"), fontsize=font_size(height))

    def port(self, name: str, x: float, y: float, direction: str) -> None:
        """A place where a wire ends: it must lie on the outermost edge in its direction."""
        self.element.anchors[name] = (x, -y)
        self.ports[name] = Port((x, y), direction)

    def inline(self, height: float = 12.5) -> None:
        """The two ports of what stands in a line."""
        self.port("in", 0, 0, "up")
        self.port("out", 0, height, "down")

    def end(self) -> None:
        """The port of what stands at the end of a line."""
        self.port("in", 0, 0, "up")
