# SPDX-License-Identifier: MIT
"""From filled pages to sheets: lines where they can be drawn, all that stands beside the drawing, numbers, references filled in."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from topology.dataclass import dataclass

from sld.layout.joining import joined
from sld.layout.model import Drawn
from sld.primitives import Box, Sheet
from sld.sheet import DoesNotFit
from sld.sheet.blocks import Block
from sld.sheet.frame import PAPERS, Paper
from sld.sheet.info import SheetInfo
from sld.sheet.place import EDGE
from sld.split.page import Page, beside, merged
from sld.split.references import resolved

__all__ = ["Book", "Filled", "bound"]

ELSEWHERE = "Notes, totals and legend: sheet {}."
Filled = tuple[list[Drawn], list[Box]]
"""pieces where they stand on a sheet, and the boxes that they take"""


@dataclass(frozen=True, slots=True)
class Book:
    """What all sheets of a set have in common. kinds: of the legend; box: room for drawing; ties: references of lines outside the trees."""

    paper: Paper
    info: SheetInfo
    kinds: Sequence[str] | None
    box: Box
    ties: frozenset[str]

    def pages(self, drawn: Sequence[Drawn], filled: Sequence[Filled]) -> list[Page]:
        """Sheets in the making."""
        return [Page(self.paper, self.info, one, (*boxes, *bends(one, parts))) for one, (parts, boxes) in zip(drawn, filled)]

    def empty(self) -> Page:
        return Page(self.paper, self.info, merged(()), ())


def bends(one: Drawn, parts: Sequence[Drawn]) -> list[Box]:
    """What lines take that are not part of any piece."""
    own = {id(wire) for part in parts for wire in part.wires}
    return [(min(x, u), min(y, v), max(x, u), max(y, v)) for wire in one.wires if id(wire) not in own
            for (x, y), (u, v) in zip(wire.points, wire.points[1:])]


def bound(filled: Sequence[Filled], book: Book) -> tuple[Sheet, ...]:
    """Pages with all that stands beside the drawing.

    A line outside the trees is drawn where both its ends stand on one sheet, but not where notes and legend then find no room. Where a
    tree was cut the references stay: the way from the bottom of one board to the top of the next takes four bends.
    """
    plain = [merged(parts) for parts, _ in filled]
    lined = [joined(one, book.box, book.ties) for one in plain]
    every, once = beside(merged(lined), book.info, book.kinds)
    drawn, host = lined, host_of(book.pages(lined, filled), [*every, *once])
    if host is None and any(one is not other for one, other in zip(lined, plain)):
        every, once = beside(merged(plain), book.info, book.kinds)
        drawn, host = plain, host_of(book.pages(plain, filled), [*every, *once])
    return numbered(book, book.pages(drawn, filled), every, once, host)


def host_of(made: Sequence[Page], beside: Sequence[Block]) -> int | None:
    """The first page that has room for all blocks."""
    return next((number for number, page in enumerate(made) if page.sheet(beside)), None)


def numbered(book: Book, made: list[Page], every: Sequence[Block], once: Sequence[Block], host: int | None) -> tuple[Sheet, ...]:
    """The sheets with their numbers and blocks, and sheets for what found no room."""
    extra = {host: once} if host is not None else dict(enumerate(shared(book.empty(), every, once), len(made)))
    made = made + [book.empty() for number in extra if number >= len(made)]
    told = [replace(page, info=replace(book.info, sheet=number, sheets=len(made))) for number, page in enumerate(made, 1)]
    found = [with_blocks(page, book, extra.get(number, ()), min(extra) + 1) for number, page in enumerate(told)]
    if len(made) > 1 and found[-1] and not book.info.paper:
        found[-1] = smaller(told[-1], book, extra.get(len(made) - 1, ()), min(extra) + 1) or found[-1]
    if not all(found):
        raise DoesNotFit(f"a part of the drawing does not fit on {book.paper[0]} beside title block and caution; leave the size out, or choose a larger one")
    return resolved([sheet for sheet in found if sheet], dict(pair for page in made for pair in page.drawn.pairs))


def smaller(page: Page, book: Book, own: Sequence[Block], notes: int) -> Sheet | None:
    """The last page on the smallest paper that holds it; None where none smaller does, or where nothing is drawn on it."""
    there = "" if own else ELSEWHERE.format(notes)
    caution = beside(merged(()), replace(page.info, elsewhere=there), book.kinds)[0]
    papers = PAPERS[:[name for name, _, _ in PAPERS].index(book.paper[0])] if page.taken else ()
    return next((sheet for paper in papers if (sheet := page.on(paper, [*caution, *own]))), None)


def with_blocks(page: Page, book: Book, own: Sequence[Block], notes: int) -> Sheet | None:
    """A page with its caution and blocks of its own; one without these says where they stand, if there is room for that too."""
    there = "" if own else ELSEWHERE.format(notes)
    for elsewhere, edge in ((there, EDGE), ("", EDGE), ("", 0.0)):
        caution = beside(merged(()), replace(page.info, elsewhere=elsewhere), book.kinds)[0]
        if (sheet := page.sheet([*caution, *own], edge)) is not None:
            return sheet
    return None


def shared(page: Page, every: Sequence[Block], once: Sequence[Block]) -> list[list[Block]]:
    """Blocks over as few sheets of their own as hold them; one that no sheet holds is divided."""
    found: list[list[Block]] = [[]]
    for block in divided(page, every, once):
        if found[-1] and not page.sheet([*every, *found[-1], block]):
            found.append([])
        found[-1].append(block)
    return found


def divided(page: Page, every: Sequence[Block], once: Sequence[Block]) -> Iterator[Block]:
    """Blocks, each so small that an empty sheet holds it where it can be made so."""
    for block in once:
        if block.halves is None or page.sheet([*every, block]):
            yield block
        else:
            yield from divided(page, every, block.halves())
