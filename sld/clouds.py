# SPDX-License-Identifier: MIT
"""Clouds round what changed: a line of arcs round symbols and their text, with the letter of the revision in a triangle."""
from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Protocol

from sld.primitives import Arc, Box, Label, Pen, Placed, Point, Polyline, Primitive, Sheet, Text, Wire

__all__ = ["BUMP", "changed", "cloud", "clouds"]

AIR = 0.8  # from what changed to its cloud [mm]
BUMP = 1.4  # radius of an arc of the cloud, about [mm]
PEN = Pen(0.35)
NOT_ITSELF = ("board-spare", "reference", "reference-from", "reference-lead")
"""Kinds of symbol that bear the id of an object without being it."""
TRIANGLE = (6.6, 6.0)  # width and height [mm]
LETTERS = 2.5
STEP = 2.5  # from one place that is tried for a triangle to the next [mm]


def clouds(sheet: Sheet, ids: Collection[str], letter: str) -> tuple[tuple[Primitive, ...], ...]:
    """All clouds of a sheet, each with its triangle. ids: of the objects that changed. Clouds that would touch are one."""
    boxes = joined([grown(box, AIR) for box in changed(sheet, ids)])
    taken = [placed.bbox for placed in sheet.symbols] + [label.bbox for label in sheet.labels]
    taken += [furniture.box for furniture in sheet.furniture if furniture.box]
    taken += [around([(*a, *a), (*b, *b)]) for wire in sheet.wires for a, b in zip(wire.points, wire.points[1:], strict=False)]
    taken += [edge for area in sheet.areas for edge in edges(area.bbox)] + [grown(box, BUMP) for box in boxes]
    found: list[tuple[Primitive, ...]] = []
    for box in boxes:
        triangle = tuple(flag(box, taken, sheet.frame, letter))
        taken += [around([(*point, *point) for point in mark.points]) for mark in triangle if isinstance(mark, Polyline)]
        found.append((*cloud(box), *triangle))
    return tuple(found)


class Shown(Protocol):
    """A sheet, or a drawing that will stand on one."""

    @property
    def symbols(self) -> tuple[Placed, ...]: ...
    @property
    def labels(self) -> tuple[Label, ...]: ...
    @property
    def wires(self) -> tuple[Wire, ...]: ...


def changed(sheet: Shown, ids: Collection[str]) -> Iterator[Box]:
    """What a changed object takes on paper: its symbol with its text; of a wire the text, or the middle of its longest stroke."""
    texts: dict[tuple[str, str], list[Box]] = {}
    for label in sheet.labels:
        texts.setdefault((label.of, label.object), []).append(label.bbox)
    for placed in sheet.symbols:
        if placed.object in ids and placed.symbol.kind not in NOT_ITSELF:
            yield around([placed.bbox, *texts.get((placed.id, placed.object), ())])
    for wire in sheet.wires:
        if wire.object in ids:
            yield around(texts.get((wire.id, wire.object)) or [middle(wire)])


def around(boxes: Sequence[Box]) -> Box:
    return (min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))


def edges(box: Box) -> tuple[Box, ...]:
    """The four sides of a box."""
    x0, y0, x1, y1 = box
    return (x0, y0, x1, y0), (x0, y1, x1, y1), (x0, y0, x0, y1), (x1, y0, x1, y1)


def grown(box: Box, air: float) -> Box:
    return (box[0] - air, box[1] - air, box[2] + air, box[3] + air)


def middle(wire: Wire) -> Box:
    """Three millimetres about the middle of the longest stroke."""
    strokes = list(zip(wire.points, wire.points[1:], strict=False))
    (x0, y0), (x1, y1) = max(strokes, key=lambda s: abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]))
    return grown(((x0 + x1) / 2, (y0 + y1) / 2, (x0 + x1) / 2, (y0 + y1) / 2), 3.0)


def joined(boxes: Sequence[Box]) -> list[Box]:
    """Boxes none of which meets another: those that do become one."""
    found: list[Box] = []
    for box in boxes:
        while meeting := [other for other in found if meets(box, other)]:
            found = [other for other in found if other not in meeting]
            box = around([box, *meeting])
        found.append(box)
    return sorted(found)


def meets(a: Box, b: Box) -> bool:
    """Whether the clouds round two boxes would meet."""
    air = 2 * BUMP
    return a[0] < b[2] + air and b[0] < a[2] + air and a[1] < b[3] + air and b[1] < a[3] + air


def cloud(box: Box) -> Iterator[Arc]:
    """Arcs that bulge outwards along the four sides."""
    x0, y0, x1, y1 = box
    across, down = max(1, round((x1 - x0) / 2 / BUMP)), max(1, round((y1 - y0) / 2 / BUMP))
    wide, high = (x1 - x0) / across / 2, (y1 - y0) / down / 2
    for n in range(across):
        yield Arc((x0 + wide * (2 * n + 1), y0), wide, 180.0, 360.0, PEN)
        yield Arc((x0 + wide * (2 * n + 1), y1), wide, 0.0, 180.0, PEN)
    for n in range(down):
        yield Arc((x1, y0 + high * (2 * n + 1)), high, 270.0, 450.0, PEN)
        yield Arc((x0, y0 + high * (2 * n + 1)), high, 90.0, 270.0, PEN)


def flag(box: Box, taken: Sequence[Box], frame: Box, letter: str) -> Iterator[Primitive]:
    """The triangle with the letter, beside the cloud where nothing stands; none where there is no such place."""
    width, height = TRIANGLE
    left, right, middle = box[0] - BUMP - width - 0.5, box[2] + BUMP + 0.5, (box[1] + box[3] - height) / 2
    spots = [(right, box[1] - BUMP - height), (right, middle), (left, box[1] - BUMP - height), (left, middle), (right, box[3] + BUMP),
             (left, box[3] + BUMP), (box[2] - width, box[1] - BUMP - height - 0.5), *along(box, left, right)]
    x0, y0, x1, y1 = grown(frame, -1.0)
    inside = [(x, y) for x, y in spots if x0 < x and x + width < x1 and y0 < y and y + height < y1]
    free = [(x, y) for x, y in inside if clear((x, y, x + width, y + height), taken)]
    if not free:
        return  # a note on the sheet says which revision the clouds belong to
    x, y = free[0]
    yield Polyline(((x, y + height), (x + width, y + height), (x + width / 2, y)), PEN, True)
    yield Text((x + width / 2, y + height - 0.9), letter, LETTERS, "middle")


def along(box: Box, left: float, right: float) -> Iterator[Point]:
    """Further places, step by step down both sides, then below and above."""
    width, height = TRIANGLE
    for n in range(int((box[3] - box[1]) / STEP) + 1):
        yield from ((right, box[1] + n * STEP), (left, box[1] + n * STEP))
    for n in range(int((box[2] - box[0] - width) / STEP) + 1):
        yield from ((box[2] - width - n * STEP, box[3] + BUMP + 0.5), (box[2] - width - n * STEP, box[1] - BUMP - height - 0.5))


def clear(box: Box, taken: Sequence[Box]) -> bool:
    return not any(box[0] <= o[2] and o[0] <= box[2] and box[1] <= o[3] and o[1] <= box[3] for o in taken)
