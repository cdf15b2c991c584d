# SPDX-License-Identifier: MIT
"""Finding room on a sheet for the drawing, and for the blocks beside it.

The title block stands in its corner. Two arrangements are tried on each size, and the first that fits is taken: the blocks in
a column above the title block with the drawing at its left; else the drawing wherever it clears the title block, and each block
in the first free place along the edges. All blocks are as wide as the title block in the first, and may be narrower in the second.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from topology.dataclass import dataclass

from sld.primitives import Box
from sld.sheet.blocks import Block
from sld.sheet.frame import INWARD
from sld.sheet.grid import Grid
from sld.sheet.titleblock import TITLE_WIDTH

__all__ = ["EDGE", "Plan", "arrange", "fill"]

AIR = 6.0  # between frame, drawing and blocks [mm]; from the drawing to the frame half of it, rather than the next larger sheet
EDGE = 2.5  # from a block to the frame [mm]; nearer only on a size that was asked for and has no other place
PAST = INWARD + 0.5  # from the frame past a centring mark, which is 0.7 wide [mm]
WIDTHS = (TITLE_WIDTH - AIR, 148.0, 115.0, 85.0, 75.0, 60.0)  # the second one passes between the centring marks of A4


@dataclass(frozen=True, slots=True)
class Plan:
    """Where the drawing begins, and a box for each block."""

    at: tuple[float, float]
    boxes: tuple[Box, ...]


def arrange(size: tuple[float, float], taken: Sequence[Box], blocks: Sequence[Block], frame: Box, fixed: Sequence[Box],
            edge: float = EDGE) -> Plan | None:
    """A place for all on this frame, or None.

    size  : of the drawing
    taken : what it takes on paper, about (0, 0)
    fixed : title block first, then centring marks
    edge  : from a block to the frame at least [mm]
    """
    plans = (plan for air in (AIR, AIR / 2) for plan in (column_plan(size, taken, blocks, frame, fixed, air),
                                                         free_plan(size, taken, blocks, frame, fixed, air, edge)))
    return next((plan for plan in plans if plan), None)


def column_plan(size: tuple[float, float], taken: Sequence[Box], blocks: Sequence[Block], frame: Box, fixed: Sequence[Box],
                air: float = AIR) -> Plan | None:
    """The drawing in the middle of what a column of blocks above the title block leaves, or where it clears the centring marks."""
    left, top, right, bottom = frame[0] + air, frame[1] + air, frame[2] - TITLE_WIDTH - air, frame[3] - air
    if size[0] > right - left or size[1] > bottom - top:
        return None
    boxes = column(blocks, frame, fixed)
    if not boxes:
        return None
    for x in (middle(left, right, size[0]), right - size[0], left):
        for y in (middle(top, bottom, size[1]), top, bottom - size[1], *((top + PAST,) if size[1] <= bottom - top - PAST else ())):
            if clear(taken, (x, y), fixed, air):
                return Plan((x, y), boxes)
    return None


def column(blocks: Sequence[Block], frame: Box, fixed: Sequence[Box]) -> tuple[Box, ...]:
    """A box for each block, the last one uppermost, as wide as the title block and past the centring mark; none where they are too high."""
    boxes: list[Box] = []
    x0, x1, y = frame[2] - TITLE_WIDTH, frame[2] - AIR, frame[1] + AIR
    for block in reversed(blocks):
        height = block.content(x1 - x0)[1]
        y = max([y, *(mark[3] + AIR for mark in fixed[1:] if meets((x0, y, x1, y + height), mark, 1.0))])
        boxes.append((x0, y, x1, y + height))
        y += height + AIR
    if not boxes or y > fixed[0][1]:
        return ()
    low = (x0, fixed[0][1] - AIR - (boxes[-1][3] - boxes[-1][1]), x1, fixed[0][1] - AIR)
    last = boxes[-1] if any(meets(low, mark, 1.0) for mark in fixed[1:]) else low  # the weightiest stands right above the title block
    return (last, *reversed(boxes[:-1]))


def clear(taken: Sequence[Box], at: tuple[float, float], fixed: Sequence[Box], air: float) -> bool:
    """Whether a drawing that begins there keeps its distance from title block and centring marks."""
    x, y = at
    return not any(meets((x0 + x, y0 + y, x1 + x, y1 + y), other, air) for other in fixed for x0, y0, x1, y1 in taken)


def middle(low: float, high: float, length: float) -> float:
    return low + int((high - low - length) / 2 / 2.5) * 2.5


def free_plan(size: tuple[float, float], taken: Sequence[Box], blocks: Sequence[Block], frame: Box, fixed: Sequence[Box],
              air: float = AIR, edge: float = EDGE) -> Plan | None:
    """The drawing at the first place where it clears the title block and leaves room for every block."""
    for at in places(size, frame, air):
        if clear(taken, at, fixed, air):
            drawing = [(x0 + at[0], y0 + at[1], x1 + at[0], y1 + at[1]) for x0, y0, x1, y1 in taken]
            boxes = fill(drawing, blocks, frame, fixed, edge=edge)
            if boxes is not None:
                return Plan(at, boxes)
    return None


def places(size: tuple[float, float], frame: Box, air: float) -> Iterator[tuple[float, float]]:
    """Upper left corners to try for the drawing: left, past the left centring mark, middle, right; then the bottom."""
    width, height = frame[2] - frame[0] - 2 * air - size[0], frame[3] - frame[1] - 2 * air - size[1]
    if width < 0 or height < 0:
        return
    left, top = frame[0] + air, frame[1] + air
    below = (0.0, PAST) if height >= PAST else (0.0,)  # past the upper centring mark
    for dx in (0.0, *([PAST] if width >= PAST else []), middle(0.0, width + size[0], size[0]), width):
        for dy in below:
            yield (left + dx, top + dy)
    yield (left, top + height)


def fill(drawing: Sequence[Box], blocks: Sequence[Block], frame: Box, fixed: Sequence[Box],
         widths: Sequence[float] = WIDTHS, air: float = AIR, edge: float = EDGE) -> tuple[Box, ...] | None:
    """A free box for each block, or None where one finds none.

    The blocks are set one after the other, the weightiest first; where that fails the others or all by size, then all of them narrower.
    """
    empty = Grid(frame, fixed, air - 1.0, edge)
    for box in drawing:
        empty.take(box, air)
    heavy = list(range(len(blocks)))
    large = tuple(sorted(heavy, key=lambda place: -blocks[place].content(WIDTHS[2])[1]))
    orders = dict.fromkeys((tuple(heavy), tuple(sorted(large, key=bool)), large))  # key=bool: the weightiest, then the others by size
    hopeless: set[int] = set()
    for narrower in range(len(widths)):
        for order in orders:
            if hopeless.intersection(order[:1]):
                continue
            boxes = filled(empty.copy(), [blocks[place] for place in order], fixed, widths[narrower:], air)
            if len(boxes) == len(order):
                return tuple(boxes[order.index(place)] for place in heavy)
            if not boxes:
                hopeless.add(order[0])  # alone on the sheet it found no room: with fewer widths it finds none either
    return None


def filled(grid: Grid, blocks: Sequence[Block], fixed: Sequence[Box], widths: Sequence[float], air: float) -> list[Box]:
    """A box for each block in turn, up to one that finds no room; takes them on the grid."""
    found: list[Box] = []
    for block in blocks:
        own = [widths[0], *block.wider, *widths[1:]] if widths[0] == WIDTHS[0] else widths
        box = seat(block, grid, [*fixed, *found], own, air)
        if box is None:
            break
        grid.take(box)
        found.append(box)
    return found


def room(block: Block, obstacles: Sequence[Box], anchors: Sequence[Box], frame: Box, widths: Sequence[float], air: float) -> Box | None:
    """The first free place of the widest form among obstacles."""
    return seat(block, Grid(frame, obstacles, air - 1.0), anchors, widths, air)


def seat(block: Block, grid: Grid, anchors: Sequence[Box], widths: Sequence[float], air: float) -> Box | None:
    """The first free place of the widest form: above the title block, along the right edge, the top, then below."""
    for width in (width for width in widths if width >= block.least):
        height = block.content(width)[1]
        if height < grid.frame[3]:
            at = grid.first(width, height, *corners(width, height, anchors, grid.frame, air))
            if at:
                return (*at, at[0] + width, at[1] + height)
    return None


def corners(width: float, height: float, anchors: Iterable[Box], frame: Box, air: float) -> tuple[Iterable[float], Iterable[float]]:
    """x and y of the upper left corners at which a block lines up with the frame or with another block."""
    anchors = list(anchors)
    xs = [frame[2] - air - width, *(box[0] for box in anchors if box[0] > frame[0]), frame[0] + air,
          *(box[0] - air - width for box in anchors)]
    ys = [*(box[1] - air - height for box in anchors), frame[1] + air, *(box[3] + air for box in anchors), frame[3] - air - height]
    return dict.fromkeys(xs), dict.fromkeys(ys)


def meets(a: Box, b: Box, air: float) -> bool:
    """Whether two boxes are nearer than air."""
    return a[0] < b[2] + air and b[0] < a[2] + air and a[1] < b[3] + air and b[1] < a[3] + air
