# SPDX-License-Identifier: MIT
"""What a drawing consists of: frozen primitives in mm, origin top left, y down.

A Scene is data. Layout and sheet decide every position; writers only write.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from topology.dataclass import dataclass

__all__ = ["Arc", "Area", "Box", "Circle", "Furniture", "Label", "Pen", "Placed", "Point", "Polyline", "Port", "Primitive", "Scene",
           "Sheet", "Symbol", "Text", "Wire"]

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""x0, y0, x1, y1 with x0 <= x1 and y0 <= y1 [mm]"""


@dataclass(frozen=True, slots=True)
class Pen:
    """width [mm], dash: lengths of strokes and gaps [mm], colour: #rrggbb."""

    width: float = 0.25
    dash: tuple[float, ...] = ()
    colour: str = "#000000"


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight strokes through points; fill is a colour, "pen" for the pen's own, or None."""

    points: tuple[Point, ...]
    pen: Pen = Pen()
    closed: bool = False
    fill: str | None = None


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    centre: Point
    radius: float
    pen: Pen = Pen()
    fill: str | None = None


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from angle start to end [degrees], clockwise on paper (y is down), 0 is to the right."""

    centre: Point
    radius: float
    start: float
    end: float
    pen: Pen = Pen()


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text. at: on the base line; height: of a capital letter [mm]; anchor: start, middle, end.

    turned: reads upwards (rotated a quarter turn counter-clockwise about `at`).
    """

    at: Point
    text: str
    height: float = 2.5
    anchor: str = "start"
    bold: bool = False
    turned: bool = False
    colour: str = "#000000"


Primitive = Polyline | Circle | Arc | Text


@dataclass(frozen=True, slots=True)
class Port:
    """Where a wire meets a symbol, and the direction in which it leaves: up, down, left, right."""

    at: Point
    direction: str


@dataclass(frozen=True, slots=True)
class Symbol:
    """A compiled symbol about its own origin. legend: its words in the legend; source: where its shape comes from."""

    kind: str
    strokes: tuple[Primitive, ...]
    ports: Mapping[str, Port]
    bbox: Box
    label_at: Point
    legend: str
    source: str


@dataclass(frozen=True, slots=True)
class Placed:
    """A symbol on a sheet. pen replaces width and colour of the symbol's strokes (status is drawn so)."""

    id: str
    object: str
    symbol: Symbol
    at: Point
    title: str = ""
    pen: Pen = Pen()

    @property
    def bbox(self) -> Box:
        x, y = self.at
        x0, y0, x1, y1 = self.symbol.bbox
        return (x0 + x, y0 + y, x1 + x, y1 + y)


@dataclass(frozen=True, slots=True)
class Wire:
    """kind: power, bus, lead, earth. ends: ids of the symbols (or wires) at both ends. net: wires of one net are one conductor."""

    id: str
    object: str
    kind: str
    points: tuple[Point, ...]
    ends: tuple[str, ...]
    net: str | None = None
    pen: Pen = Pen()


@dataclass(frozen=True, slots=True)
class Label:
    """Text that belongs to a symbol or wire `of`; `object` is the site's id. inside: stands within its symbol on purpose.

    link : number of a sheet and id of the symbol there that the text refers to
    """

    id: str
    object: str
    of: str
    text: Text
    bbox: Box
    inside: bool = False
    link: tuple[int, str] | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """A board's or place's enclosure, drawn dash-dot, with its name at the top left corner inside."""

    id: str
    object: str
    bbox: Box
    pen: Pen = Pen(0.25, (6.0, 1.5, 0.5, 1.5))


@dataclass(frozen=True, slots=True)
class Furniture:
    """Frame, title block, legend, notes, caution, totals: marks without an object; box is kept free of the drawing."""

    name: str
    marks: tuple[Primitive, ...]
    box: Box | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of paper. frame: the drawing space inside the frame line."""

    number: int
    size: str
    width: float
    height: float
    frame: Box
    furniture: tuple[Furniture, ...] = ()
    areas: tuple[Area, ...] = ()
    wires: tuple[Wire, ...] = ()
    symbols: tuple[Placed, ...] = ()
    labels: tuple[Label, ...] = ()


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole diagram. diagram: single-line, bus, …; title, author: for document metadata."""

    diagram: str
    title: str
    sheets: tuple[Sheet, ...] = field(default_factory=tuple)
    author: str = ""
