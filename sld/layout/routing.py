# SPDX-License-Identifier: MIT
"""A way for one line between two ends that stand already: only horizontals and verticals, past everything that is in the way.

Two shapes are tried, with two bends and with four; a line that needs more is harder to follow than a pair of references.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from topology.dataclass import dataclass

from sld.primitives import Box, Point

__all__ = ["End", "Obstacles", "route"]

LEAST = 2.5  # from an end to the first bend [mm]
NEAREST = 24  # heights that are tried at each end of a line with four bends
LONGEST = 900.0  # of a line that is still easy to follow [mm]

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class End:
    """Where a line ends, and whether it leaves from there downwards (1) or upwards (-1)."""

    at: Point
    way: int


class Obstacles:
    """What no line may enter. across, along: boxes that stop a horizontal and a vertical line; what touches an edge passes."""

    def __init__(self, across: Sequence[Box], along: Sequence[Box], room: Box) -> None:
        self.across, self.along, self.room = across, along, room
        self.upright: dict[float, list[Span]] = {}

    def vertical(self, x: float) -> list[Span]:
        """What of a vertical is taken."""
        if x not in self.upright:
            self.upright[x] = [(y0, y1) for x0, y0, x1, y1 in self.along if x0 < x < x1]
        return self.upright[x]

    def run(self, end: End) -> Span:
        """How far a line may go from an end, the way it leaves."""
        x, y = end.at
        if end.way > 0:
            return y + LEAST, min([self.room[3], *(y0 for y0, y1 in self.vertical(x) if y1 > y)])
        return max([self.room[1], *(y1 for y0, y1 in self.vertical(x) if y0 < y)]), y - LEAST

    def reach(self, x: float, y: float) -> Span:
        """How far a horizontal reaches to both sides of a point; nothing where the point is taken."""
        low, high = self.room[0], self.room[2]
        for x0, y0, x1, y1 in self.across:
            if y0 < y < y1:
                if x0 < x < x1:
                    return inf, -inf
                low, high = (max(low, x1), high) if x1 <= x else (low, min(high, x0))
        return low, high

    def heights(self, end: End, other: End) -> list[float]:
        """Heights at which a line from an end may turn: along the edges of obstacles, nearest first; or where the other end may."""
        low, high = self.run(end)
        edges = {low, high, *self.run(other)} | {y for box in self.across for y in (box[1], box[3])}
        return sorted((y for y in edges if low <= y <= high), key=lambda y: (abs(y - end.at[1]), y))

    def upwards(self, one: Span, other: Span) -> Iterator[float]:
        """Where a vertical may stand that both horizontals reach."""
        low, high = max(one[0], other[0]), min(one[1], other[1])
        if low <= high:
            yield from sorted({low, high} | {x for box in self.along for x in (box[0], box[2]) if low < x < high})

    def centred(self, x: float, deep: Span, within: Span) -> float:
        """The middle of the free gap round a vertical, which it divides without being any longer."""
        if not within[0] <= x <= within[1]:
            return x
        low, high = within
        for x0, y0, x1, y1 in self.along:
            if y0 < max(deep) and y1 > min(deep):
                low, high = (max(low, x1), high) if x1 <= x else (low, min(high, x0)) if x0 >= x else (low, high)
        return (low + high) / 2

    def free(self, x: float, y: float, v: float) -> bool:
        """Whether nothing stands on a vertical between two heights."""
        return all(y1 <= min(y, v) or y0 >= max(y, v) for y0, y1 in self.vertical(x))


def route(start: End, goal: End, obstacles: Obstacles) -> tuple[Point, ...] | None:
    """The corners between two ends, the shortest way with two bends, else with four; None where there is none. All in mm."""
    heights = obstacles.heights(start, goal), obstacles.heights(goal, start)
    for shapes in (level, stepped):
        ways = [(length((start.at, *corners, goal.at)), corners) for corners in shapes(start.at[0], goal.at[0], obstacles, *heights)]
        if ways and min(ways)[0] < LONGEST:
            return min(ways)[1]
    return None


def level(x: float, u: float, obstacles: Obstacles, heights: Sequence[float], others: Sequence[float]) -> Iterator[tuple[Point, ...]]:
    """Along one horizontal."""
    for y in sorted(set(heights) & set(others)):
        low, high = obstacles.reach(x, y)
        if low <= u <= high:
            yield (x, y), (u, y)


def stepped(x: float, u: float, obstacles: Obstacles, heights: Sequence[float], others: Sequence[float]) -> Iterator[tuple[Point, ...]]:
    """Along two horizontals with a vertical between them."""
    goals = [(last, obstacles.reach(u, last)) for last in others[:NEAREST]]
    for first in heights[:NEAREST]:
        span = obstacles.reach(x, first)
        for last, back in goals:
            for between in obstacles.upwards(span, back) if first != last else ():
                if obstacles.free(between, first, last):
                    at = obstacles.centred(between, (first, last), (max(span[0], back[0], min(x, u)), min(span[1], back[1], max(x, u))))
                    yield (x, first), (at, first), (at, last), (u, last)


def length(points: Sequence[Point]) -> float:
    return sum(abs(x - u) + abs(y - v) for (x, y), (u, v) in zip(points, points[1:]))
