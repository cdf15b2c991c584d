# SPDX-License-Identifier: MIT
"""Outlines of a subtree: how far it reaches to the left and right at each height.

After van der Ploeg, Drawing non-layered tidy trees in linear time, 2014: outlines are joined by looking only at what the
shorter one covers, and what gets hidden is dropped, so that all joins together cost time in proportion to the tree.
"""
from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from math import inf

from sld.primitives import Box

__all__ = ["Contour", "Row", "rows"]

Row = tuple[float, float, float]
"""bottom y, left x, right x of a slice; it begins where the slice above ends"""


class Side:
    """One outline, topmost piece last, as (bottom y, x) with a common offset in x."""

    __slots__ = ("offset", "pieces")

    def __init__(self) -> None:
        self.pieces: deque[tuple[float, float]] = deque()
        self.offset = 0.0

    @property
    def bottom(self) -> float:
        return self.pieces[0][0] if self.pieces else -inf

    def reach(self, bottom: float, x: float) -> None:
        """Go on at x from where the outline ends down to bottom."""
        if bottom > self.bottom:
            self.pieces.appendleft((bottom, x - self.offset))

    def over(self, other: Side) -> Side:
        """This outline where it reaches, the other one below that."""
        if other.bottom <= self.bottom:
            return self
        while other.pieces and other.pieces[-1][0] <= self.bottom:
            other.pieces.pop()
        shift = self.offset - other.offset
        other.pieces.extend((bottom, x + shift) for bottom, x in self.pieces)
        return other

    def flatten(self, top: float, bottom: float, pick: Callable[[list[float]], float]) -> float:
        """Replace all between two heights by one straight piece at its outermost x, and return that x."""
        above: list[tuple[float, float]] = []
        while self.pieces and self.pieces[-1][0] <= top:
            above.append(self.pieces.pop())
        if self.pieces:
            above.append((top, self.pieces[-1][1]))
        found: list[float] = []
        begins = top
        while self.pieces and begins < bottom:
            begins, x = self.pieces[-1]
            found.append(x)
            if begins <= bottom:
                self.pieces.pop()
        self.pieces.append((bottom, pick(found)))
        self.pieces.extend(reversed(above))
        return pick(found) + self.offset

    def push(self, top: float, bottom: float, x: float, pick: Callable[[list[float]], float]) -> None:
        """Flatten, but at least out to x."""
        self.flatten(top, bottom, lambda found: pick([*found, x - self.offset]))


class Contour:
    """Both outlines of a subtree whose top is known to the caller; x counts from the axis of its wire."""

    __slots__ = ("left", "right")

    def __init__(self) -> None:
        self.left, self.right = Side(), Side()

    def lay_on_top(self, slices: Sequence[Row]) -> None:
        west, east = self.left, self.right
        west.pieces.extend((bottom, left - west.offset) for bottom, left, _ in reversed(slices))
        east.pieces.extend((bottom, right - east.offset) for bottom, _, right in reversed(slices))

    def move(self, dx: float) -> None:
        self.left.offset += dx
        self.right.offset += dx

    def distance(self, other: Contour) -> float:
        """How far the other one, which begins at the same height, must move to the right to stand beside this one."""
        mine, theirs = reversed(self.right.pieces), reversed(other.left.pieces)
        a, b = next(mine, None), next(theirs, None)
        most = -inf
        while a and b:
            if a[1] - b[1] > most:
                most = a[1] - b[1]
            ends = min(a[0], b[0])
            a = next(mine, None) if a[0] == ends else a
            b = next(theirs, None) if b[0] == ends else b
        return most + self.right.offset - other.left.offset

    def join(self, other: Contour) -> None:
        """Take in the other one, which stands to the right."""
        self.left = self.left.over(other.left)
        self.right = other.right.over(self.right)


def rows(boxes: Sequence[Box], top: float, bottom: float) -> list[Row]:
    """Cut boxes into slices from top to bottom. Where there is no box, the slice is that of the axis."""
    edges = {bottom}
    for _, y0, _, y1 in boxes:
        edges.add(y0)
        edges.add(y1)
    slices: list[Row] = []
    begins = top
    for ends in sorted(edges):
        if top < ends <= bottom:
            left = right = 0.0
            for x0, y0, x1, y1 in boxes:
                if y0 < ends and y1 > begins:
                    left, right = x0 if x0 < left else left, x1 if x1 > right else right
            slices.append((ends, left, right))
            begins = ends
    return slices
