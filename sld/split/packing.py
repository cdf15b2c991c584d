# SPDX-License-Identifier: MIT
"""Pieces onto sheets in the order in which they are read: each as high as it can stand on the sheet begun last, then as far left."""
from __future__ import annotations

from collections.abc import Sequence

from sld.split.model import Room

__all__ = ["APART", "Spot", "pack"]

APART = 9.0  # between two pieces [mm]

Spot = tuple[int, float, float]
"""sheet from 0, x and y of the upper left corner within the room [mm]"""
Step = tuple[float, float]
"""x from which on the outline has a depth, and that depth [mm]"""


def pack(sizes: Sequence[tuple[float, float]], room: Room) -> list[Spot]:
    """A place for each piece of a size [mm]. What is larger than the room stands on a sheet of its own."""
    spots: list[Spot] = []
    sheet, outline, lows = 0, [(0.0, 0.0)], (0.0, 0.0)
    for width, height in sizes:
        at = highest(outline, width, height, room, lows)
        if at is None:
            sheet, outline, lows = sheet + bool(spots), [(0.0, 0.0)], (0.0, 0.0)
            at = (0.0, 0.0)
        spots.append((sheet, *at))
        outline = sunk(outline, at[0], at[0] + width + APART, at[1] + height + APART)
        left, right = lows
        lows = (max(left, at[1] + height), right) if at[0] + width <= room.corner else (left, max(right, at[1] + height))
    return spots


def highest(outline: Sequence[Step], width: float, height: float, room: Room, lows: tuple[float, float]) -> tuple[float, float] | None:
    """The highest place for a piece, and of these the leftmost; None where it fits nowhere. lows: how low left and right parts are filled."""
    found: list[tuple[float, float]] = []
    for x, _ in outline:
        if x + width > room.width:
            continue
        ends = [nxt for nxt, _ in outline[1:]] + [room.width + APART]
        top = max(depth for (begins, depth), end in zip(outline, ends) if end > x and begins < x + width + APART)
        if x + width <= room.corner:
            most = room.deep if lows[1] <= room.shallow else room.height
        else:
            most = room.height if lows[0] <= room.height else room.shallow
        if top + height <= most:
            found.append((top, x))
    return min(found)[::-1] if found else None


def sunk(outline: Sequence[Step], x0: float, x1: float, depth: float) -> list[Step]:
    """The outline with a piece hung into it."""
    after = [at for at in outline if at[0] <= x1][-1][1]
    kept = [at for at in outline if at[0] < x0]
    return [*kept, (x0, depth), (x1, after), *(at for at in outline if at[0] > x1)]
