# SPDX-License-Identifier: MIT
"""Enclosures side by side that are the same place: drawn as one, as one plant room is one room."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from sld.primitives import Area, Box, Label, Placed, Wire

__all__ = ["together"]


def together(areas: Sequence[Area], symbols: Iterable[Placed], wires: Iterable[Wire], labels: Sequence[Label]) -> tuple[list[Area], list[Label]]:
    """The same enclosures, and the labels without the names that would now stand twice.

    Two become one where they have the same object, top and bottom, and nothing stands or runs between them.
    """
    rows: dict[tuple[str, float, float], list[Area]] = {}
    for area in areas:
        rows.setdefault((area.object, area.bbox[1], area.bbox[3]), []).append(area)
    if len(rows) == len(areas):
        return list(areas), list(labels)
    things = [*(placed.bbox for placed in symbols), *(label.bbox for label in labels), *strokes(wires)]
    found = {area.id: area for row in rows.values() for area in joined(row, things)}
    gone = {area.id for area in areas} - set(found)
    return [found[area.id] for area in areas if area.id in found], [t for t in labels if t.id.rpartition(".text")[0] not in gone]


def strokes(wires: Iterable[Wire]) -> Iterator[Box]:
    """The boxes of all pieces of wire."""
    for wire in wires:
        for (x, y), (u, v) in zip(wire.points, wire.points[1:]):
            yield (min(x, u), min(y, v), max(x, u), max(y, v))


def joined(row: Sequence[Area], things: Sequence[Box]) -> list[Area]:
    """From left to right, each with those after it as far as nothing stands between; it keeps the id of its first."""
    found: list[Area] = []
    for area in sorted(row, key=lambda area: area.bbox[0]):
        before = found[-1].bbox if found else None
        if before and free((before[2], before[1], area.bbox[0], before[3]), things):
            found[-1] = replace(found[-1], bbox=(*before[:2], *area.bbox[2:]))
        else:
            found.append(area)
    return found


def free(gap: Box, things: Iterable[Box]) -> bool:
    return not any(x0 <= gap[2] and gap[0] <= x1 and y0 <= gap[3] and gap[1] <= y1 for x0, y0, x1, y1 in things)
