# SPDX-License-Identifier: MIT
"""Moving a finished drawing on its sheet."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sld.font import text_box
from sld.layout.model import Drawn
from sld.primitives import Arc, Area, Box, Circle, Label, Placed, Point, Polyline, Primitive, Text, Wire

__all__ = ["boxes_of", "moved", "moved_mark"]


def moved(drawn: Drawn, dx: float, dy: float) -> Drawn:
    """The same drawing somewhere else."""
    return Drawn(tuple(Placed(s.id, s.object, s.symbol, shift(s.at, dx, dy), s.title, s.pen) for s in drawn.symbols),
                 tuple(Wire(w.id, w.object, w.kind, tuple((x + dx, y + dy) for x, y in w.points), w.ends, w.net, w.pen)
                       for w in drawn.wires),
                 tuple(Label(t.id, t.object, t.of, moved_text(t.text, dx, dy), shift_box(t.bbox, dx, dy), t.inside, t.link) for t in drawn.labels),
                 tuple(Area(a.id, a.object, shift_box(a.bbox, dx, dy), a.pen) for a in drawn.areas),
                 tuple(moved_mark(mark, dx, dy) for mark in drawn.marks), drawn.width, drawn.height, drawn.uses)


def shift(point: Point, dx: float, dy: float) -> Point:
    return (point[0] + dx, point[1] + dy)


def shift_box(box: Box, dx: float, dy: float) -> Box:
    return (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)


def moved_text(text: Text, dx: float, dy: float) -> Text:
    return Text(shift(text.at, dx, dy), text.text, text.height, text.anchor, text.bold, text.turned, text.colour)


def moved_mark(mark: Primitive, dx: float, dy: float) -> Primitive:
    """One stroke or text somewhere else."""
    if isinstance(mark, Polyline):
        return replace(mark, points=tuple(shift(point, dx, dy) for point in mark.points))
    if isinstance(mark, (Arc, Circle)):
        return replace(mark, centre=shift(mark.centre, dx, dy))
    return moved_text(mark, dx, dy)


def boxes_of(drawn: Drawn) -> Iterator[Box]:
    """What a drawing takes on paper: enclosures whole, wires piece by piece, marks and their text."""
    yield from (area.bbox for area in drawn.areas)
    yield from (placed.bbox for placed in drawn.symbols)
    yield from (label.bbox for label in drawn.labels)
    for wire in drawn.wires:
        for (x0, y0), (x1, y1) in zip(wire.points, wire.points[1:]):
            yield (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    yield from map(box_of, drawn.marks)


def box_of(mark: Primitive) -> Box:
    """The box around a stroke or text."""
    if isinstance(mark, Text):
        return text_box(mark)
    if isinstance(mark, Polyline):
        xs, ys = zip(*mark.points)
        return (min(xs), min(ys), max(xs), max(ys))
    (x, y), r = mark.centre, mark.radius
    return (x - r, y - r, x + r, y + r)
