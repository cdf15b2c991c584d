# SPDX-License-Identifier: MIT
"""Lines in the place of references: where a line is continued on the same drawing and there is a way, it is drawn."""
from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from topology.dataclass import dataclass

from sld.layout.model import Drawn
from sld.layout.move import box_of
from sld.layout.routing import End, Obstacles, route
from sld.primitives import Area, Box, Placed, Point, Wire

__all__ = ["joined"]

REFERENCES = ("reference", "reference-from")
BERTH = 2.5  # from a line to symbols, text and other lines [mm]: as far as text stands from its own line, or farther
OWN = 1.5  # to its own text [mm]
EDGE = 2.0  # from a line to the edge of a board along which it runs [mm]


@dataclass(frozen=True, slots=True)
class Tie:
    """Two references that continue one line, with the wires that end at them."""

    refs: tuple[Placed, Placed]
    wires: tuple[Wire, Wire]

    def ways(self) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
        """Both wires towards their reference."""
        return tuple(wire.points if wire.ends[1] == ref.id else wire.points[::-1]  # type: ignore[return-value]
                     for ref, wire in zip(self.refs, self.wires))

    def ends(self) -> tuple[End, End]:
        """Where the line must go on, and in which direction."""
        return tuple(End(way[-1], 1 if way[-1][1] > way[-2][1] else -1) for way in self.ways())  # type: ignore[return-value]

    def wire(self, corners: tuple[Point, ...]) -> Wire:
        """One wire for both, through corners."""
        one, other = self.ways()
        far = [next(end for end in wire.ends if end != ref.id) for ref, wire in zip(self.refs, self.wires)]
        return replace(self.wires[0], points=straightened((*one, *corners, *other[::-1])), ends=(far[0], far[1]))


def straightened(points: Iterable[Point]) -> tuple[Point, ...]:
    """Without the points at which a line goes straight on."""
    found: list[Point] = []
    for point in points:
        while len(found) > 1 and (found[-2][0] == found[-1][0] == point[0] or found[-2][1] == found[-1][1] == point[1]):
            found.pop()
        if not found or found[-1] != point:
            found.append(point)
    return tuple(found)


def joined(drawn: Drawn, room: Box, which: Collection[str] | None = None) -> Drawn:
    """The same drawing with real lines between references that belong together. They cross nothing and run through nothing.

    room  : what lines may use [mm]
    which : ids of references whose lines are drawn; None takes all
    Where there is no way, both references stay.
    """
    for tie in ties(drawn):
        if which is None or tie.refs[0].id in which or tie.refs[1].id in which:
            corners = route(*tie.ends(), obstacles(drawn, tie, room))
            drawn = without(drawn, tie, tie.wire(corners)) if corners else drawn
    return drawn


def ties(drawn: Drawn) -> list[Tie]:
    """All pairs of references that stand on a drawing both, in its order."""
    refs = {placed.id: placed for placed in drawn.symbols if placed.symbol.kind in REFERENCES}
    wires = {end: wire for wire in drawn.wires for end in wire.ends if end in refs}
    pairs = [(a, b) for a, b in drawn.pairs if a in wires and b in wires and a.rpartition(".")[2].startswith("to")]
    return [Tie((refs[a], refs[b]), (wires[a], wires[b])) for a, b in pairs if wires[a] is not wires[b]]


def obstacles(drawn: Drawn, tie: Tie, room: Box) -> Obstacles:
    """What a line must keep clear of. It may leave the boards in which its ends stand, not run along their edges, nor enter others."""
    own = {*(ref.id for ref in tie.refs), *(wire.id for wire in tie.wires)}
    things = [grown(box, BERTH) for box in standing(drawn, own)]
    things += [grown(label.bbox, OWN) for label in drawn.labels if label.of in {wire.id for wire in tie.wires}]
    points = [end.at for end in tie.ends()]
    at_home = [area for area in drawn.areas if any(holds(area.bbox, point) for point in points)]
    things += [grown(area.bbox, EDGE) for area in drawn.areas if area not in at_home]
    level, upright = edges(at_home)
    return Obstacles([*things, *level], [*things, *upright], room)


def standing(drawn: Drawn, own: Collection[str]) -> Iterator[Box]:
    """Boxes of all that is drawn but two references, their lines, and text of any of these."""
    yield from (placed.bbox for placed in drawn.symbols if placed.id not in own)
    yield from (label.bbox for label in drawn.labels if label.of not in own)
    for wire in drawn.wires:
        if wire.id not in own:
            for (x, y), (u, v) in zip(wire.points, wire.points[1:]):
                yield (min(x, u), min(y, v), max(x, u), max(y, v))
    yield from map(box_of, drawn.marks)


def edges(areas: Iterable[Area]) -> tuple[list[Box], list[Box]]:
    """The horizontal and the vertical edges of enclosures, as narrow boxes."""
    level, upright = [], []
    for x0, y0, x1, y1 in (area.bbox for area in areas):
        level += [grown((x0, y, x1, y), EDGE) for y in (y0, y1)]
        upright += [grown((x, y0, x, y1), EDGE) for x in (x0, x1)]
    return level, upright


def grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def holds(box: Box, point: Point) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def without(drawn: Drawn, tie: Tie, wire: Wire) -> Drawn:
    """The drawing with a line instead of two references."""
    gone = {ref.id for ref in tie.refs}
    old = {one.id for one in tie.wires}
    xs, ys = zip(*wire.points)
    return replace(drawn, symbols=tuple(one for one in drawn.symbols if one.id not in gone),
                   wires=tuple(wire if one is tie.wires[0] else one for one in drawn.wires if one is tie.wires[0] or one.id not in old),
                   labels=tuple(replace(one, of=wire.id) if one.of in old else one for one in drawn.labels if one.of not in gone),
                   pairs=tuple(pair for pair in drawn.pairs if pair[0] not in gone),
                   width=max(drawn.width, *xs), height=max(drawn.height, *ys))
