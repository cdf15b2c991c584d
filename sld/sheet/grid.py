# SPDX-License-Identifier: MIT
"""What is taken on a sheet, in squares of 1 mm: asking for free room costs the same however much is drawn."""
from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from math import ceil, floor
from operator import or_

from sld.primitives import Box

__all__ = ["Grid"]


class Grid:
    """Rows of squares, each row one whole number with a bit for each square."""

    def __init__(self, frame: Box, taken: Iterable[Box] = (), air: float = 0.0, edge: float = 0.0) -> None:
        """frame: outside of it nothing is free [mm]; taken: boxes that nothing may come nearer than air; edge: to the frame at least [mm]."""
        self.frame, self.air, self.edge = frame, air, edge
        self.rows = [0] * (ceil(frame[3]) + 1)
        for box in taken:
            self.take(box)

    def copy(self) -> Grid:
        """The same squares, to be taken further."""
        other = Grid.__new__(Grid)
        other.frame, other.air, other.edge, other.rows = self.frame, self.air, self.edge, self.rows.copy()
        return other

    def take(self, box: Box, air: float | None = None) -> None:
        """Mark a box with its air [mm], that of the grid if none is given."""
        air = self.air if air is None else air
        mask = _mask(floor(max(0.0, box[0] - air)), ceil(box[2] + air))
        for row in range(floor(max(0.0, box[1] - air)), min(len(self.rows), ceil(box[3] + air))):
            self.rows[row] |= mask

    def first(self, width: float, height: float, xs: Iterable[float], ys: Iterable[float]) -> tuple[float, float] | None:
        """The first of these upper left corners at which a box is free, all heights at one x before the next x."""
        left, top, right, bottom = self.frame[0] + self.edge, self.frame[1] + self.edge, self.frame[2] - self.edge, self.frame[3] - self.edge
        bands = [(y, reduce(or_, self.rows[ceil(y):floor(y + height)], 0)) for y in ys if y >= top and y + height <= bottom]
        for x in xs if bands else ():
            if x >= left and x + width <= right:
                mask = _mask(ceil(x), floor(x + width))
                for y, taken in bands:
                    if not taken & mask:
                        return (x, y)
        return None


def _mask(low: int, high: int) -> int:
    return (1 << max(low, high)) - (1 << low)
