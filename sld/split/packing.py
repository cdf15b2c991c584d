# SPDX-License-Identifier: MIT
"""Pieces onto sheets in the order in which they are read: in rows from left to right, rows from top to bottom."""
from __future__ import annotations

from collections.abc import Sequence

from sld.split.model import Room

__all__ = ["APART", "pack"]

APART = 9.0  # between two pieces [mm]

Spot = tuple[int, float, float]
"""sheet from 0, x and y of the upper left corner within the room [mm]"""


def pack(sizes: Sequence[tuple[float, float]], room: Room) -> list[Spot]:
    """A place for each piece of a size [mm]. What is larger than the room stands on a sheet of its own."""
    spots: list[Spot] = []
    sheet, x, y, row = 0, 0.0, 0.0, 0.0
    for width, height in sizes:
        if x and x + width > room.width:
            x, y, row = 0.0, y + row + APART, 0.0
        if (x or y) and y + max(row, height) > room.height:
            sheet, x, y, row = sheet + 1, 0.0, 0.0, 0.0
        spots.append((sheet, x, y))
        x, row = x + width + APART, max(row, height)
    return spots
