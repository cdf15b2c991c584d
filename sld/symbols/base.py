# SPDX-License-Identifier: MIT
"""Symbols as schemdraw elements (1 unit = 1 mm, y up), compiled once into strokes (y down)."""
from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

from sld.primitives import Arc, Box, Circle, Point, Polyline, Port, Primitive, Symbol, Text

if TYPE_CHECKING:
    from schemdraw.elements import Element

__all__ = ["IEC", "OWN", "Sketch", "compile_symbol", "drawn", "registered"]

IEC = "after IEC 60617, from memory"
OWN = "own sign, no standard symbol known"
_DRAWERS: dict[str, tuple[Callable[[Sketch], None], str, str]] = {}


def drawn(kind: str, legend: str, source: str = IEC) -> Callable[[Callable[[Sketch], None]], Callable[[Sketch], None]]:
    """Register a function that draws one kind of symbol on a Sketch."""
    def register(function: Callable[[Sketch], None]) -> Callable[[Sketch], None]:
        _DRAWERS[kind] = (function, legend, source)
        return function
    return register


def registered() -> tuple[str, ...]:
    """All kinds, in the order in which the families declare them."""
    return tuple(_DRAWERS)


class Sketch:
    """Draws on a schemdraw Element in our coordinates: the wire comes in at (0, 0), y runs down."""

    def __init__(self) -> None:
        self.element: Element = _element()
        self.ports: dict[str, Port] = {}
        self.texts: list[Text] = []

    def line(self, *points: Point, dash: bool = False, fill: bool = False, closed: bool = False) -> None:
        """A stroke through points."""
        from schemdraw.segments import Segment, SegmentPoly

        up = [(x, -y) for x, y in points]
        if closed or fill:
            self.element.segments.append(SegmentPoly(up, closed=True, fill="black" if fill else None, ls=":" if dash else "-"))
        else:
            self.element.segments.append(Segment(up, ls=":" if dash else "-"))

    def box(self, x0: float, y0: float, x1: float, y1: float, dash: bool = False, fill: bool = False) -> None:
        """A rectangle."""
        self.line((x0, y0), (x1, y0), (x1, y1), (x0, y1), closed=True, dash=dash, fill=fill)

    def circle(self, x: float, y: float, radius: float, fill: bool = False) -> None:
        """A circle."""
        from schemdraw.segments import SegmentCircle

        self.element.segments.append(SegmentCircle((x, -y), radius, fill="black" if fill else None))

    def arc(self, x: float, y: float, radius: float, start: float, end: float) -> None:
        """Part of a circle, clockwise on paper from start to end [degrees]."""
        from schemdraw.segments import SegmentArc

        self.element.segments.append(SegmentArc((x, -y), 2 * radius, 2 * radius, theta1=-end, theta2=-start))

    def text(self, x: float, y: float, text: str, height: float = 2.5) -> None:
        """Letters of the symbol itself, centred on x, base line at y."""
        self.texts.append(Text((x, y), text, height, "middle"))

    def port(self, name: str, x: float, y: float, direction: str) -> None:
        """A place where a wire ends."""
        self.element.anchors[name] = (x, -y)
        self.ports[name] = Port((x, y), direction)

    def inline(self, height: float) -> None:
        """The two ports of a device in line."""
        self.port("in", 0, 0, "up")
        self.port("out", 0, height, "down")


def _element() -> Any:
    import schemdraw
    from schemdraw.elements import Element

    schemdraw.use("svg")  # else another back end turns text into outlines where it is installed
    schemdraw.svgconfig.text = "text"
    element = Element()
    element.elmparams["theta"] = 0
    return element


@cache
def compile_symbol(kind: str) -> Symbol:
    """The strokes, ports and box of a kind.

    Raises KeyError for a kind that nobody draws.
    """
    function, legend, source = _DRAWERS[kind]
    sketch = Sketch()
    function(sketch)
    strokes = (*(_stroke(s) for s in sketch.element.segments), *sketch.texts)
    box = _box(strokes, sketch.ports)
    return Symbol(kind, strokes, sketch.ports, box, (box[2] + 1.5, (box[1] + box[3]) / 2), legend, source)


def _stroke(segment: Any) -> Primitive:
    from sld.primitives import Pen

    pen = Pen(0.25, (1.0, 1.0)) if getattr(segment, "ls", "-") == ":" else Pen()
    name = type(segment).__name__
    if name == "SegmentCircle":
        return Circle(_down(segment.center), segment.radius, pen, "pen" if segment.fill else None)
    if name == "SegmentArc":
        return Arc(_down(segment.center), segment.width / 2, -segment.theta2, -segment.theta1, pen)
    if name == "SegmentPoly":
        return Polyline(tuple(_down(p) for p in segment.verts), pen, True, "pen" if segment.fill else None)
    return Polyline(tuple(_down(p) for p in segment.path), pen)


def _down(point: Any) -> Point:
    """schemdraw's y is up, ours down; adding 0.0 turns -0.0 into 0.0."""
    return (round(float(point[0]), 4) + 0.0, round(-float(point[1]), 4) + 0.0)


def _box(strokes: tuple[Primitive, ...], ports: dict[str, Port]) -> Box:
    from sld.font import text_box

    xs = [p.at[0] for p in ports.values()]
    ys = [p.at[1] for p in ports.values()]
    for stroke in strokes:
        if isinstance(stroke, Polyline):
            xs += [x for x, _ in stroke.points]
            ys += [y for _, y in stroke.points]
        elif isinstance(stroke, Text):
            x0, y0, x1, y1 = text_box(stroke)
            xs, ys = [*xs, x0, x1], [*ys, y0, y1]
        else:
            (x, y), r = stroke.centre, stroke.radius
            xs, ys = [*xs, x - r, x + r], [*ys, y - r, y + r]
    return (min(xs), min(ys), max(xs), max(ys))
