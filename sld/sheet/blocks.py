# SPDX-License-Identifier: MIT
"""Blocks that stand where the drawing leaves room: caution, notes, totals, legend."""
from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache

from topology.dataclass import dataclass

from sld.layout.model import Drawn
from sld.layout.move import moved_mark
from sld.primitives import Box, Furniture, Primitive
from sld.sheet.cells import WIDE, heading, outline, paragraph
from sld.sheet.info import SheetInfo
from sld.sheet.legend import COLUMN, Entry, entries, legend_marks
from sld.sheet.table import table_marks
from sld.symbols import symbol

__all__ = ["Block", "blocks", "placed_block"]

SOURCES = "Several sources of supply: solar, storage or a generator can keep conductors live after the main switch is opened."
NO_SOURCES = "No source but the supply is shown. Several sources of supply may be there all the same: look for them."
CAUTIONS = (
    "Isolate every source and prove dead at each, and at the point of work, before work begins.",
    "This drawing replaces no local rule: a licensed person must verify it under the rules of the place before work and before use.",
)
FIRST = "Notes, checks, totals and limits stand on sheet 1."
NOT_FINAL = "NOT FOR ENERGISING until the status is as-built."
OPEN = "TBC: to be confirmed. The survey list has all that is open."
CONTINUED = " (CONTINUED)"
INSET = 2.5

Content = Callable[[float], tuple[list[Primitive], float]]


@dataclass(frozen=True, slots=True)
class Block:
    """A block as wide as the sheet wants it: content(width) gives its marks about (0, 0) and its height.

    least : width below which it is not read any more [mm]
    wider : widths beyond that of the title block at which it may stand beside that [mm]
    halves : the block as two, for sheets that are too small for it; None where it cannot be divided
    """

    name: str
    content: Content
    framed: bool = False
    least: float = 0.0
    wider: tuple[float, ...] = ()
    halves: Callable[[], tuple[Block, Block]] | None = None


def blocks(drawn: Drawn, info: SheetInfo, kinds: Sequence[str] | None, extra: tuple[str, ...] = ()) -> list[Block]:
    """In the order of their weight. Notes, checks and totals stand on the first sheet; caution and a legend on each."""
    first = info.sheet == 1
    notes = ("Diagram, not to scale.", *open_words(drawn, info), *(info.notes if first else (FIRST,)), *extra)
    found = [Block("caution", lambda width: caution(info, width), True, 75.0),
             words("notes", "NOTES", notes, 1)]
    if first and info.checks:
        found.append(words("checks", "CHECKS AND ASSUMPTIONS", info.checks))
    if first and (info.totals or info.limits):
        found.append(Block("totals", lambda width: totals(info, width)))
    if samples := entries(drawn, kinds, info.changed):
        found.append(legend(samples))
    return [replace(block, content=lru_cache(maxsize=32)(block.content)) for block in found]


def open_words(drawn: Drawn, info: SheetInfo) -> tuple[str, ...]:
    """What TBC stands for, where it is written."""
    written = any("TBC" in label.text.text for label in drawn.labels)
    beside = any("TBC" in text for row in (info.notes, info.limits, *info.totals) for text in row) and info.sheet == 1
    return (OPEN,) if written or beside else ()


def words(name: str, title: str, lines: tuple[str, ...], first: int = 0) -> Block:
    """Lines of text below a title, numbered from `first` on unless that is 0."""
    middle = (len(lines) + 1) // 2
    more = f"{title.removesuffix(CONTINUED)}{CONTINUED}"
    return Block(name, lambda width: listed(title, lines, width, first), halves=None if len(lines) < 2 else lambda: (
        words(name, title, lines[:middle], first), words(name, more, lines[middle:], first and first + middle)))


def legend(samples: Sequence[Entry], title: str = "LEGEND") -> Block:
    """The legend, or a part of it."""
    middle = (len(samples) + 1) // 2
    return Block("legend", lambda width: legend_marks(samples, width, title), wider=tuple(COLUMN * count for count in (7, 6, 5, 4, 3)),
                 halves=None if len(samples) < 2 else lambda: (legend(samples[:middle], title), legend(samples[middle:], f"LEGEND{CONTINUED}")))


def caution(info: SheetInfo, width: float) -> tuple[list[Primitive], float]:
    """The sign, then what everybody must know who works from this sheet."""
    sign = symbol("warning")
    x0, y0, x1, y1 = sign.bbox
    indent = INSET + x1 - x0 + 3.0
    marks: list[Primitive] = [moved_mark(mark, INSET - x0, INSET - y0) for mark in sign.strokes]
    marks.append(heading(indent, 1.0, "CAUTION"))
    status = f"Status of this drawing: {info.status or 'not stated'}."
    bold = (status,) if info.final else (status, NOT_FINAL)
    plain = (SOURCES if info.fed else NO_SOURCES, *CAUTIONS, *info.cautions, info.counted, info.elsewhere)
    more, y = paragraph(indent, 5.5, plain, width - indent - INSET, False)
    last, y = paragraph(indent, y, bold, width - indent - INSET, False, True)
    return marks + more + last, max(y, y1 - y0 + 2 * INSET)


def listed(title: str, lines: tuple[str, ...], width: float, first: int) -> tuple[list[Primitive], float]:
    marks, y = paragraph(0.0, 5.5, lines, width, bool(first), first=first)
    return [heading(0.0, 0.0, title), *marks], y


def totals(info: SheetInfo, width: float) -> tuple[list[Primitive], float]:
    """Amounts of each phase, then the limits that were set."""
    marks, y = table_marks(info.totals, 5.0, width) if info.totals else ([], 5.0)
    more, y = paragraph(0.0, y + 0.8, info.limits, width, False)
    return [heading(0.0, 0.0, "TOTALS AND LIMITS"), *marks, *more], y


def placed_block(block: Block, box: Box) -> Furniture:
    """A block at its place."""
    marks, _ = block.content(box[2] - box[0])
    moved = tuple(moved_mark(mark, box[0], box[1]) for mark in marks)
    return Furniture(block.name, (*moved, outline(box, WIDE)) if block.framed else moved, box)
