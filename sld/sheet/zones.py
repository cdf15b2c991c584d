# SPDX-License-Identifier: MIT
"""Zones of a sheet after ISO 5457: numerals from left to right, letters from top to bottom, 50 mm long from the middle outwards."""
from __future__ import annotations

from bisect import bisect_right

from sld.primitives import Sheet

__all__ = ["LETTERS", "ZONES", "cuts", "letter", "zone_of"]

ZONES = "zones"
"""name of the furniture that shows them; a sheet without it has no zones"""
ZONE = 50.0  # length of a zone [mm]
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O


def cuts(length: float, low: float, high: float) -> list[float]:
    """Borders of the zones along an edge of a sheet of this length [mm], from frame line to frame line.

    Counted outward from the middle of the trimmed sheet; what is left goes to the corner zones (ISO 5457:1999, two public paraphrases).
    """
    half = round(length / 2 / ZONE) - 1
    return [low, *(length / 2 + ZONE * step for step in range(-half, half + 1)), high]


def letter(place: int) -> str:
    """The letter of a row, from 0; after Z come AA, AB, … (ISO 5457 for sheets beyond A0)."""
    more, last = divmod(place, len(LETTERS))
    return (LETTERS[more - 1] if more else "") + LETTERS[last]


def zone_of(sheet: Sheet, x: float, y: float) -> str:
    """The zone in which a point of a sheet lies [mm from the upper left corner]: letter of the row, numeral of the column (B4).

    A point on a border belongs to the zone right of it or below it; one outside the frame to the nearest zone.
    Empty where the sheet shows no zones, since nobody could find the place by them.
    """
    if not any(part.name == ZONES for part in sheet.furniture):
        return ""
    x0, y0, x1, y1 = sheet.frame
    return letter(_place(y, cuts(sheet.height, y0, y1))) + str(_place(x, cuts(sheet.width, x0, x1)) + 1)


def _place(value: float, borders: list[float]) -> int:
    return bisect_right(borders[1:-1], value)
