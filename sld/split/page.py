# SPDX-License-Identifier: MIT
"""One sheet of several: its pieces where they have been packed, title block and caution below, other blocks where there is room."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from topology.dataclass import dataclass

from sld.layout.model import Drawn
from sld.layout.move import moved
from sld.primitives import Box, Furniture, Sheet
from sld.sheet.blocks import Block, blocks, placed_block
from sld.sheet.frame import Paper, frame_box, frame_furniture
from sld.sheet.info import SheetInfo
from sld.sheet.place import AIR, EDGE, arrange, fill
from sld.sheet.titleblock import TITLE_WIDTH, title_block
from sld.split.model import Room

__all__ = ["Page", "beside", "free_box", "merged", "room_in"]

LEAST_WIDTH = 115.0  # of a caution that always stands beside the title block; a narrower one where that leaves more room [mm]
INSET = 12.0  # from the frame to the drawing, past the centring marks [mm]


def beside(drawn: Drawn, info: SheetInfo, kinds: Sequence[str] | None) -> tuple[list[Block], list[Block]]:
    """The blocks that stand on every sheet, and those that stand once in the set."""
    found = blocks(drawn, info, kinds)
    return [block for block in found if block.name == "caution"], [block for block in found if block.name != "caution"]


def free_box(paper: Paper, info: SheetInfo, every: Sequence[Block]) -> Box:
    """What a sheet leaves to the drawing: all above its title block, with the caution beside that, or above where the sheet is narrow."""
    frame = frame_box(*paper[1:])
    corner = title_block(info, frame).box
    assert corner is not None
    above = corner[1] - sum(block.content(TITLE_WIDTH - 2 * AIR)[1] + AIR for block in every)
    beside_it = corner[0] - frame[0] - 2 * AIR
    if beside_it >= max((block.least for block in every), default=0.0):
        low = min([corner[1], *(frame[3] - AIR - block.content(min(TITLE_WIDTH - AIR, beside_it))[1] for block in every)])
        above = low if beside_it >= LEAST_WIDTH else max(above, low)
    return (frame[0] + INSET, frame[1] + INSET, frame[2] - INSET, above - AIR)


def room_in(paper: Paper, info: SheetInfo, every: Sequence[Block], box: Box) -> Room:
    """The room for pieces in that box, and beside the title block."""
    frame = frame_box(*paper[1:])
    corner = title_block(info, frame).box
    assert corner is not None
    above = corner[1] - AIR - sum(block.content(TITLE_WIDTH - AIR)[1] + AIR for block in every)
    return Room(box[2] - box[0], box[3] - box[1], {}, {}, corner[0] - AIR - box[0], frame[3] - INSET - box[1], min(above, box[3]) - box[1])


def merged(parts: Sequence[Drawn]) -> Drawn:
    """Several drawings as one; each stays where it is."""
    return Drawn(tuple(s for part in parts for s in part.symbols), tuple(w for part in parts for w in part.wires),
                 tuple(t for part in parts for t in part.labels), tuple(a for part in parts for a in part.areas),
                 tuple(m for part in parts for m in part.marks), max((p.width for p in parts), default=0.0),
                 max((p.height for p in parts), default=0.0), frozenset().union(*(p.uses for p in parts)),
                 tuple(pair for part in parts for pair in part.pairs))


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet in the making. taken: the boxes of its pieces."""

    paper: Paper
    info: SheetInfo
    drawn: Drawn
    taken: tuple[Box, ...]

    def sheet(self, every: Sequence[Block], edge: float = EDGE) -> Sheet | None:
        """With blocks, or None where one of them finds no room. edge: from a block to the frame at least [mm]."""
        frame, border, fixed = self.border()
        boxes = fill(self.taken, every, frame, fixed, edge=edge)
        return None if boxes is None else self.finished(frame, border, every, boxes)

    def on(self, paper: Paper, every: Sequence[Block]) -> Sheet | None:
        """The same on another paper, wherever it then finds room with its blocks; None where it finds none."""
        x, y = min(box[0] for box in self.taken), min(box[1] for box in self.taken)
        own = [(x0 - x, y0 - y, x1 - x, y1 - y) for x0, y0, x1, y1 in self.taken]
        other = replace(self, paper=paper)
        frame, border, fixed = other.border()
        plan = arrange((max(box[2] for box in own), max(box[3] for box in own)), own, every, frame, fixed)
        if plan is None:
            return None
        return replace(other, drawn=moved(self.drawn, plan.at[0] - x, plan.at[1] - y)).finished(frame, border, every, plan.boxes)

    def border(self) -> tuple[Box, list[Furniture], list[Box]]:
        """Frame, what belongs to it, and what of that nothing may cover: title block first, then centring marks."""
        frame = frame_box(*self.paper[1:])
        corner = title_block(self.info, frame)
        border = frame_furniture(*self.paper, self.info.zoned or self.paper[0] != "A4", corner.box)
        return frame, [*border, corner], [box for box in (corner.box, *(mark.box for mark in border)) if box]

    def finished(self, frame: Box, border: Sequence[Furniture], every: Sequence[Block], boxes: Sequence[Box]) -> Sheet:
        """Everything at its place."""
        furniture = [*border, *(placed_block(block, box) for block, box in zip(every, boxes))]
        if self.drawn.marks:
            furniture.append(Furniture("conductor strokes", self.drawn.marks))
        return Sheet(self.info.sheet, *self.paper, frame, tuple(furniture), self.drawn.areas, self.drawn.wires,
                     self.drawn.symbols, self.drawn.labels)
