# SPDX-License-Identifier: MIT
"""Symbols as schemdraw elements (1 unit = 1 mm, y up), compiled once into strokes (y down)."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from math import cos, radians, sin
from typing import TYPE_CHECKING, Any, Literal

from sld.font import text_box
from sld.primitives import Arc, Box, Circle, Pen, Point, Polyline, Port, Primitive, Symbol, Text

if TYPE_CHECKING:
    from schemdraw.elements import Element

__all__ = ["IEC", "OWN", "Sketch", "compile_symbol", "declared", "drawn"]

IEC = "after IEC 60617, from memory"
OWN = "own, no standard symbol known"
DASHES = {"-": (), "--": (1.0, 0.7), "-.": (3.0, 0.8, 0.4, 0.8)}  # strokes and gaps [mm] by schemdraw's name of the line style
CAPITAL = 2.5  # height of a label's capital letters [mm]
LABEL_GAP = 1.5  # from a symbol to its label [mm]

Style = Literal["-", "--", "-."]
Draw = Callable[["Sketch"], None]
_DRAWERS: dict[str, tuple[Draw, str, str]] = {}


def drawn(kind: str, legend: str, source: str = IEC) -> Callable[[Draw], Draw]:
    """Register a function that draws one kind of symbol on a Sketch. legend: its words in the legend; source: where its shape comes from."""
    def register(function: Draw) -> Draw:
        if kind in _DRAWERS:
            raise ValueError(f"two symbols are called {kind}")
        _DRAWERS[kind] = (function, legend, source)
        return function
    return register


def declared(module: str) -> tuple[str, ...]:
    """The kinds that a module declares."""
    return tuple(kind for kind, (function, _, _) in _DRAWERS.items() if function.__module__ == module)


class Sketch:
    """Draws on a schemdraw element in the coordinates of a sheet: the wire comes in at (0, 0), y runs down, all in mm."""

    def __init__(self) -> None:
        self.element = _element_class()()
        self.ports: dict[str, Port] = {}
        self.texts: list[Text] = []

    def line(self, *points: Point, dash: bool = False) -> None:
        """A stroke through points."""
        from schemdraw.segments import Segment

        self.element.segments.append(Segment([_up(p) for p in points], ls="--" if dash else "-"))

    def shape(self, *points: Point, dash: bool = False, fill: bool = False, style: Style = "-") -> None:
        """A closed outline through points; style: "-." is dash-dot."""
        from schemdraw.segments import SegmentPoly

        self.element.segments.append(SegmentPoly([_up(p) for p in points], fill="black" if fill else None, ls="--" if dash else style))

    def box(self, x0: float, y0: float, x1: float, y1: float, dash: bool = False, fill: bool = False) -> None:
        """A rectangle."""
        self.shape((x0, y0), (x1, y0), (x1, y1), (x0, y1), dash=dash, fill=fill)

    def circle(self, x: float, y: float, radius: float, dash: bool = False, fill: bool = False) -> None:
        """A circle."""
        from schemdraw.segments import SegmentCircle

        self.element.segments.append(SegmentCircle(_up((x, y)), radius, fill="black" if fill else None, ls="--" if dash else "-"))

    def arc(self, x: float, y: float, radius: float, start: float, end: float) -> None:
        """Part of a circle, clockwise on paper from start to end [degrees], 0 is to the right."""
        from schemdraw.segments import SegmentArc

        self.element.segments.append(SegmentArc(_up((x, y)), 2 * radius, 2 * radius, theta1=-end, theta2=-start))

    def tilde(self, x: float, y: float, radius: float = 1.0) -> None:
        """The sign of alternating current, its middle at a point."""
        self.arc(x - radius, y, radius, 180, 360)
        self.arc(x + radius, y, radius, 0, 180)

    def head(self, x: float, y: float, to: str, length: float = 1.6, width: float = 1.2) -> None:
        """The head of an arrow, its tip at a point, pointing up or down."""
        back = y - length if to == "down" else y + length
        self.shape((x - width / 2, back), (x, y), (x + width / 2, back), fill=True)

    def text(self, x: float, y: float, text: str, height: float = 2.5) -> None:
        """Letters of the symbol itself, centred on x, base line at y."""
        self.texts.append(Text((x, y), text, height, "middle"))

    def port(self, name: str, x: float, y: float, direction: str) -> None:
        """A place where a wire ends, and the direction in which it leaves."""
        self.element.anchors[name] = _up((x, y))
        self.ports[name] = Port((x, y), direction)

    def inline(self, height: float) -> None:
        """The two ports of a device in line."""
        self.port("in", 0, 0, "up")
        self.port("out", 0, height, "down")

    def end(self) -> None:
        """The one port of a device at the end of a line."""
        self.port("in", 0, 0, "up")


@cache
def _element_class() -> type[Element]:
    import schemdraw
    from schemdraw.elements import Element

    schemdraw.use("svg")  # else another back end turns text into outlines where it is installed
    schemdraw.svgconfig.text = "text"

    class SymbolElement(Element):
        """An element that keeps the direction in which it was drawn."""

        def __init__(self) -> None:
            super().__init__()
            self.elmparams["theta"] = 0

    return SymbolElement


@cache
def compile_symbol(kind: str) -> Symbol:
    """The strokes, ports and box of a kind.

    Raises KeyError for a kind that nobody draws.
    """
    function, legend, source = _DRAWERS[kind]
    sketch = Sketch()
    function(sketch)
    strokes = (*map(_stroke, sketch.element.segments), *sketch.texts)
    ports = {name: Port(_down(sketch.element.anchors[name]), port.direction) for name, port in sketch.ports.items()}
    box = _box(strokes)
    label_at = (box[2] + LABEL_GAP, (box[1] + box[3] + CAPITAL) / 2)
    return Symbol(kind, strokes, ports, box, label_at, legend, source)


def _stroke(segment: Any) -> Primitive:
    name = type(segment).__name__
    pen = Pen(dash=DASHES[segment.ls or "-"])
    fill = "pen" if segment.fill else None
    if name == "SegmentCircle":
        return Circle(_down(segment.center), segment.radius, pen, fill)
    if name == "SegmentArc":
        return Arc(_down(segment.center), segment.width / 2, -segment.theta2, -segment.theta1, pen)
    if name == "SegmentPoly":
        return Polyline(tuple(map(_down, segment.verts)), pen, True, fill)
    return Polyline(tuple(map(_down, segment.path)), pen)


def _up(point: Point) -> Point:
    return (point[0], -point[1])


def _down(point: Any) -> Point:
    """schemdraw's y is up, ours down; adding 0.0 turns -0.0 into 0.0."""
    return (round(float(point[0]), 4) + 0.0, round(-float(point[1]), 4) + 0.0)


def _box(strokes: tuple[Primitive, ...]) -> Box:
    xs, ys = zip(*(corner for stroke in strokes for corner in _corners(stroke)))
    return (min(xs), min(ys), max(xs), max(ys))


def _corners(stroke: Primitive) -> Iterator[Point]:
    """Points that span what a stroke covers: of an arc its ends and the places where it is level or upright."""
    if isinstance(stroke, Polyline):
        yield from stroke.points
    elif isinstance(stroke, Text):
        x0, y0, x1, y1 = text_box(stroke)
        yield from ((x0, y0), (x1, y1))
    else:
        (x, y), r = stroke.centre, stroke.radius
        start, end = (stroke.start, stroke.end) if isinstance(stroke, Arc) else (0.0, 360.0)
        turns = [a for a in range(-720, 721, 90) if start <= a <= end]
        yield from ((round(x + r * cos(radians(a)), 4) + 0.0, round(y + r * sin(radians(a)), 4) + 0.0) for a in (start, *turns, end))
