# SPDX-License-Identifier: MIT
"""Pieces onto sheets in about the order in which they are read: each as high as it can stand on its sheet, then as far left."""
from __future__ import annotations

from collections.abc import Sequence

from sld.split.model import Room

__all__ = ["APART", "Spot", "pack", "pack_again"]

APART = 9.0  # between two pieces [mm]
BACK = 2  # how many sheets a piece may stand before the one begun last

Spot = tuple[int, float, float]
"""sheet from 0, x and y of the upper left corner within the room [mm]"""
Step = tuple[float, float]
"""x from which on the outline has a depth, and that depth [mm]"""


class Filling:
    """A sheet as it is filled."""

    def __init__(self, room: Room) -> None:
        self.room, self.outline, self.lows = room, [(0.0, 0.0)], (0.0, 0.0)

    def add(self, width: float, height: float) -> tuple[float, float] | None:
        """A place for one more piece; None where it fits nowhere. What is larger than the room stands on an empty sheet."""
        empty = len(self.outline) == 1
        at = highest(self.outline, width, height, self.room, self.lows) or ((0.0, 0.0) if empty else None)
        if at:
            self.outline = sunk(self.outline, at[0], at[0] + width + APART, at[1] + height + APART)
            left, right = self.lows
            low = at[1] + height
            self.lows = (max(left, low), right) if at[0] + width <= self.room.corner else (left, max(right, low))
        return at


def pack(sizes: Sequence[tuple[float, float]], room: Room, after: Sequence[int | None] = ()) -> list[Spot]:
    """A place for each piece of a size [mm].

    after : the piece that each is continued from: it may also stand on a sheet begun a little earlier, but never before that piece;
            without, each stands on the sheet begun last
    """
    spots: list[Spot] = []
    fillings: list[Filling] = []
    for n, (width, height) in enumerate(sizes):
        before = after[n] if after else None
        least = max(len(fillings) - 1 - BACK, 0 if before is None else spots[before][0]) if after else len(fillings) - 1
        spots.append(first_place(fillings, max(0, least), width, height, room))
    return spots


def first_place(fillings: list[Filling], first: int, width: float, height: float, room: Room) -> Spot:
    """A place on the first sheet with room from a given one on, else on one more."""
    for sheet in range(first, len(fillings)):
        at = fillings[sheet].add(width, height)
        if at:
            return (sheet, *at)
    fillings.append(Filling(room))
    return (len(fillings) - 1, *(fillings[-1].add(width, height) or (0.0, 0.0)))


def pack_again(sizes: Sequence[tuple[float, float]], wanted: Sequence[int | None], room: Room) -> list[Spot]:
    """A place for each piece, on the sheet where it stood before wherever it still fits there. wanted: that sheet, from 0.

    Where a sheet can no longer hold all its pieces, the smallest moves whose place is enough. What is new or moves comes onto the first
    sheet with room, from the one that it was meant for on, else onto a new one at the end. Sheets that nothing stands on any more are left out.
    """
    fillings: list[Filling] = []
    spots: dict[int, Spot] = {}
    for sheet in range(1 + max((sheet for sheet in wanted if sheet is not None), default=-1)):
        filling, at = staying([n for n, one in enumerate(wanted) if one == sheet], sizes, room)
        fillings.append(filling)
        spots |= {n: (sheet, *spot) for n, spot in at.items()}
    meant = 0
    for n, (width, height) in enumerate(sizes):
        sheet = wanted[n]
        meant = meant if sheet is None else sheet
        if n not in spots:
            spots[n] = first_place(fillings, meant, width, height, room)
    number = {sheet: place for place, sheet in enumerate(sorted({sheet for sheet, _, _ in spots.values()}))}
    return [(number[sheet], x, y) for sheet, x, y in (spots[n] for n in range(len(sizes)))]


def staying(pieces: Sequence[int], sizes: Sequence[tuple[float, float]], room: Room) -> tuple[Filling, dict[int, tuple[float, float]]]:
    """The places of those pieces that one sheet holds: all, all but the smallest that makes room for the others, or as many as fit in turn."""
    found = filled(pieces, sizes, room)
    if len(found[1]) < len(pieces):
        for less in sorted(pieces, key=lambda n: sizes[n][0] * sizes[n][1]):
            others = filled([n for n in pieces if n != less], sizes, room)
            if len(others[1]) == len(pieces) - 1:
                return others
    return found


def filled(pieces: Sequence[int], sizes: Sequence[tuple[float, float]], room: Room) -> tuple[Filling, dict[int, tuple[float, float]]]:
    """One sheet with as many of some pieces as find a place one after the other."""
    filling = Filling(room)
    places = {n: filling.add(*sizes[n]) for n in pieces}
    return filling, {n: at for n, at in places.items() if at}


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
