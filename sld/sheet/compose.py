# SPDX-License-Identifier: MIT
"""From a drawing to a sheet: the smallest paper on which it fits at full size, with all that a sheet must say."""
from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import ceil

from sld.layout.model import Drawn
from sld.layout.move import boxes_of, moved
from sld.primitives import Furniture, Sheet
from sld.sheet.blocks import Block, blocks, placed_block
from sld.sheet.frame import SIZES, frame_box, frame_furniture, papers
from sld.sheet.info import SheetInfo
from sld.sheet.place import AIR, EDGE, Plan, arrange
from sld.sheet.titleblock import TITLE_WIDTH, title_block
from topology.errors import SiteError

__all__ = ["DoesNotFit", "compose"]

LONG = "The drawing needs a sheet beyond A0: print it from a roll, or draw its boards on sheets of their own."


class DoesNotFit(SiteError):
    """The drawing is larger than the sheet that was asked for."""


def compose(drawn: Drawn | Sequence[Drawn], info: SheetInfo, legend_kinds: Sequence[str] | None = None, size: str | None = None) -> Sheet:
    """A sheet with the drawing at full size.

    drawn        : a drawing, or the same one in several styles, of which the one that needs the least paper is taken
    legend_kinds : kinds of symbol in the order of the legend; None takes them as they occur
    size         : A4 to A0; None takes what the site asks for, else the smallest that fits, or a longer sheet where none does
    Raises DoesNotFit where the given size is too small: nothing is ever drawn smaller, so that its text stays legible.
    """
    variants = [drawn] if isinstance(drawn, Drawn) else list(drawn)
    size = size or info.paper or None
    for paper in papers(size):
        for edge, variant in product((EDGE, 0.0) if size else (EDGE,), variants):
            sheet = try_sheet(variant, info, legend_kinds, *paper, edge=edge)
            if sheet:
                return sheet
    least = min(variants, key=lambda variant: variant.width * variant.height)
    if size:
        raise DoesNotFit(f"the drawing is {least.width:.0f} × {least.height:.0f} mm and does not fit on {size} beside its title block; "
                         "leave the size out, or choose a larger one")
    return long_sheet(least, info, legend_kinds)


def try_sheet(drawn: Drawn, info: SheetInfo, kinds: Sequence[str] | None, name: str, width: float, height: float,
              extra: tuple[str, ...] = (), edge: float = EDGE) -> Sheet | None:
    """The drawing on paper of this size, or None."""
    frame = frame_box(width, height)
    if drawn.width > frame[2] - frame[0] or drawn.height > frame[3] - frame[1]:
        return None
    corner = title_block(info, frame)
    border = frame_furniture(name, width, height, info.zoned or name != "A4", corner.box)
    beside = blocks(drawn, info, kinds, extra)
    fixed = [corner.box, *(mark.box for mark in border)]
    plan = arrange((drawn.width, drawn.height), list(boxes_of(drawn)), beside, frame, [box for box in fixed if box], edge)
    return finished(drawn, info, (name, width, height), plan, (border, corner, beside)) if plan else None


def finished(drawn: Drawn, info: SheetInfo, paper: tuple[str, float, float], plan: Plan,
             parts: tuple[list[Furniture], Furniture, list[Block]]) -> Sheet:
    """Everything at its place."""
    border, corner, beside = parts
    placed = moved(drawn, *plan.at)
    furniture = [*border, corner]
    furniture += [placed_block(block, box) for block, box in zip(beside, plan.boxes)]
    if placed.marks:
        furniture.append(Furniture("conductor strokes", placed.marks))
    return Sheet(info.sheet, *paper, frame_box(*paper[1:]), tuple(furniture), placed.areas, placed.wires, placed.symbols, placed.labels)


def long_sheet(drawn: Drawn, info: SheetInfo, kinds: Sequence[str] | None) -> Sheet:
    """As high as A0, or higher where the drawing is, and as long as it takes."""
    width, height = SIZES["A0"]
    long = max(width, drawn.width + TITLE_WIDTH + 30.0 + 4 * AIR)
    high = max(height, drawn.height + 20.0 + 2 * AIR)
    while True:  # text without end needs paper without end
        paper = (ceil(long / 10) * 10.0, ceil(high / 10) * 10.0)
        sheet = try_sheet(drawn, info, kinds, f"{paper[1]:.0f} × {paper[0]:.0f}", *paper, (LONG,))
        if sheet is not None:
            return sheet
        high += height
