# SPDX-License-Identifier: MIT
"""Blocks that stand where the drawing leaves room: caution, notes, totals, legend."""
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sld.layout.model import Drawn
from sld.layout.move import moved_mark
from sld.primitives import Box, Furniture, Primitive
from sld.sheet.cells import WIDE, heading, outline, paragraph
from sld.sheet.info import SheetInfo
from sld.sheet.legend import entries, legend_marks
from sld.symbols import symbol

__all__ = ["Block", "blocks", "placed_block"]

CAUTIONS = (
    "Several sources of supply. Solar and storage can keep conductors live after the main switch is opened.",
    "Isolate every source, then prove dead at each point of work.",
    "This drawing does not replace local rules. A licensed person must verify it before work and before use.",
)
NOT_FINAL = "NOT FOR ENERGISING until the status is as-built."
INSET = 2.5

Content = Callable[[float], tuple[list[Primitive], float]]


@dataclass(frozen=True, slots=True)
class Block:
    """A block as wide as the sheet wants it: content(width) gives its marks about (0, 0) and its height."""

    name: str
    content: Content
    framed: bool = False


def blocks(drawn: Drawn, info: SheetInfo, kinds: Sequence[str] | None, extra: tuple[str, ...] = ()) -> list[Block]:
    """In the order of their weight."""
    notes = ("Diagram, not to scale.", *info.notes, *extra)
    found = [Block("caution", lambda width: caution(info, width), True),
             Block("notes", lambda width: listed("NOTES", notes, width, True))]
    if info.totals:
        found.append(Block("totals", lambda width: listed("TOTALS", info.totals, width, False)))
    samples = entries(drawn, kinds)
    return found + [Block("legend", lambda width: legend_marks(samples, width))]


def caution(info: SheetInfo, width: float) -> tuple[list[Primitive], float]:
    """The sign, then what everybody must know who works from this sheet."""
    sign = symbol("warning")
    x0, y0, x1, y1 = sign.bbox
    indent = INSET + x1 - x0 + 3.0
    marks: list[Primitive] = [moved_mark(mark, INSET - x0, INSET - y0) for mark in sign.strokes]
    marks.append(heading(indent, 1.0, "CAUTION"))
    status = f"Status of this drawing: {info.status or 'not stated'}."
    bold = (status,) if info.final else (status, NOT_FINAL)
    more, y = paragraph(indent, 5.5, CAUTIONS + info.cautions, width - indent - INSET, False)
    last, y = paragraph(indent, y, bold, width - indent - INSET, False, True)
    return marks + more + last, max(y, y1 - y0 + 2 * INSET)


def listed(title: str, lines: tuple[str, ...], width: float, numbered: bool) -> tuple[list[Primitive], float]:
    marks, y = paragraph(0.0, 5.5, lines, width, numbered)
    return [heading(0.0, 0.0, title), *marks], y


def placed_block(block: Block, box: Box) -> Furniture:
    """A block at its place."""
    marks, _ = block.content(box[2] - box[0])
    moved = tuple(moved_mark(mark, box[0], box[1]) for mark in marks)
    return Furniture(block.name, (*moved, outline(box, WIDE)) if block.framed else moved, box)
