# SPDX-License-Identifier: MIT
"""Headings, paragraphs and tables onto sheets: in columns, from sheet to sheet, a table's heading on each of them. All text at full height."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field

from topology.dataclass import dataclass

from sld.font import text_width
from sld.issue.grid import GAP, GOES_ON, INSET, LINE, OF_GROUP, Grid, Row, Setting, best_setting, wrapped
from sld.issue.stacks import Piece, ahead, without_orphans
from sld.primitives import Box, Pen, Point, Polyline, Primitive, Text
from sld.sheet.cells import TEXT

__all__ = ["BETWEEN", "UNDER", "Block", "Heading", "Page", "Paragraph", "pages"]

THIN, RULE = Pen(0.18), Pen(0.35)
PITCH = 1.55  # from one line of a heading to the next, in heights of its capitals
APART = 5.0  # before a part that does not begin its sheet [mm]
BETWEEN = 0.8  # from one paragraph to the next [mm]
ABOVE = 2.0  # between a heading and what precedes it [mm]
BELOW = 1.0  # between a heading and what follows it [mm]
MOST_LINES = 3  # of a heading
UNDER = 3.0  # below a table [mm]
UNEVEN = 2 * LINE  # by which a stack of a table can be higher than the mean [mm]


@dataclass(frozen=True)
class Heading:
    """A heading.

    height : of capitals [mm]
    needs  : what has to fit below it on the same sheet [mm]
    part   : begins a part, which is named where it goes on
    aside  : stands at the head of the second column where the first one holds all before it
    """

    text: str
    height: float = 3.5
    needs: float = 4 * LINE
    part: bool = False
    aside: bool = False


@dataclass(frozen=True)
class Paragraph:
    """Text, wrapped. target: key of the place that it links to."""

    text: str
    bold: bool = False
    target: str = ""


Block = Heading | Paragraph | Grid


@dataclass
class Page:
    """What stands on one sheet, about (0, 0) [mm]. links: boxes that lead to the place of a key; anchors: places by key; parts: by title."""

    marks: list[Primitive] = field(default_factory=list)
    links: list[tuple[Box, str]] = field(default_factory=list)
    anchors: list[tuple[str, Point]] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)


def pages(blocks: Iterable[Block], width: float, height: float, columns: int = 1) -> list[Page]:
    """All blocks on as many pages as they take. width, height: of the room on each [mm]. Each part is a place, `part TITLE`."""
    flow = _Flow((width - GAP * (columns - 1)) / columns, height, columns)
    blocks = list(blocks)
    for block, after in zip(blocks, [*blocks[1:], None], strict=True):
        if isinstance(block, Heading):
            flow.heading(block)
        elif isinstance(block, Paragraph):
            flow.paragraph(block)
        else:
            flow.grid(block, after if isinstance(after, Grid) and after.below else None)
    return flow.pages


class _Flow:
    """Where the next block goes."""

    def __init__(self, width: float, height: float, columns: int) -> None:
        self.width, self.height, self.columns = width, height, columns
        self.pages = [Page()]
        self.column, self.y = 0, 0.0
        self.top = 0.0  # where content begins in this column, below the name of a part that goes on
        self.part = ""

    @property
    def x(self) -> float:
        return self.column * (self.width + GAP)

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def next(self) -> None:
        """The next column, on the next page after the last one; a part that goes on is named."""
        self.column, self.y, self.top = self.column + 1, 0.0, 0.0
        if self.column == self.columns:
            self.column = 0
            self.pages.append(Page())
            if self.part:
                self.page.parts.append(self.part)
                self.page.marks.append(Text((self.x, 3.1), f"{self.part}, continued", TEXT, bold=True))
                self.y = self.top = LINE + INSET

    def room(self, height: float) -> bool:
        """Whether a height fits below what stands in the column; an empty column takes all."""
        return self.y <= self.top or self.y + height <= self.height

    def heading(self, block: Heading) -> None:
        lines = capped(wrapped(block.text, self.width, block.height, True, self.width))
        pitch = block.height * PITCH
        if block.part:
            self.part = ""
            self.y += APART if self.y > self.top else 0.0
        # a heading never stands alone at the foot of a page
        if (block.aside and self.columns > 1 and len(self.pages) == 1 and not self.column) or not self.room(ABOVE + pitch * len(lines) + BELOW + block.needs):
            self.next()
        if block.part:
            self.part = block.text
            self.page.parts.append(block.text)
            self.page.anchors.append((f"part {block.text}", (self.x, self.y)))
        self.y += ABOVE if self.y > self.top else 0.0
        for line in lines:
            self.page.marks.append(Text((self.x, self.y + block.height * 1.2), line, block.height, bold=True))
            self.y += pitch
        self.y += BELOW

    def paragraph(self, block: Paragraph) -> None:
        for line in wrapped(block.text, self.width, TEXT, block.bold, self.width):
            if not self.room(LINE):
                self.next()
            self.page.marks.append(Text((self.x, self.y + 3.1), line, TEXT, bold=block.bold))
            if block.target:
                self.page.links.append(((self.x, self.y, self.x + text_width(line, TEXT, block.bold), self.y + LINE), block.target))
            self.y += LINE
        self.y += BETWEEN

    def grid(self, block: Grid, below: Grid | None = None) -> None:
        """A table; one that stands beside itself is read down and then to the right, on each page anew. below: what stands with its last rows."""
        made = best_setting(block, self.width)
        over = made.head.height + max((lead.height for lead in made.leads.values()), default=0.0)
        most = int((self.height - self.top - over - LINE - 3 * INSET) / LINE)
        pieces = [(number, place, part) for number, row in enumerate(made.rows) for place, part in enumerate(row.parts(most))]
        under = best_setting(below, self.width).height + UNDER + UNEVEN if below else 0.0
        while pieces:
            if not self.room(over + sum(part.height for *_, part in ahead(pieces, made.sides))):
                self.next()
                continue
            stacks = without_orphans(pieces, self.height - self.y - made.head.height, made, block.groups, under)
            self.beside(block, made, stacks)
            pieces = pieces[sum(map(len, stacks)):]
            if pieces:
                self.next()
        self.y += UNDER

    def beside(self, block: Grid, made: Setting, stacks: Sequence[Sequence[Piece]]) -> None:
        """Pieces of a table one beside the other, from here on."""
        top, ends = self.y, [self.y]
        each = (self.width - GAP * (made.sides - 1)) / made.sides
        for side, stack in enumerate(stacks):
            x, self.y = self.x + side * (each + GAP), top
            self.row(x, made.head, made.widths, block, True)
            for nth, (number, place, part) in enumerate(stack):
                if block.groups and (not nth or (not place and block.begins(number))):
                    self.lead(x, block, number, made, place > 0 or not block.begins(number))
                if not place:
                    self.point(x, block, number, made.widths, part.height)
                self.row(x, part, made.widths, block, False)
            ends.append(self.y)
        self.y = max(ends)

    def lead(self, x: float, block: Grid, number: int, made: Setting, goes_on: bool) -> None:
        """What a group stands under, with a line below it, as high as if it went on."""
        text, width, high = block.groups[number], sum(made.widths), made.leads[block.groups[number]].height
        for place, line in enumerate(wrapped(f"{text}{GOES_ON}" if goes_on else text, width - 2 * INSET, TEXT, True)):
            self.page.marks.append(Text((x + INSET, self.y + INSET / 2 + 3.0 + LINE * place), line, TEXT, bold=True))
        if target := block.links.get((number, OF_GROUP)):
            self.page.links.append(((x, self.y, x + width, self.y + high), target))
        self.y += high
        self.page.marks.append(Polyline(((x, self.y), (x + width, self.y)), THIN))

    def point(self, x: float, block: Grid, number: int, widths: Sequence[float], height: float) -> None:
        """Links from the cells of a row, and the place of the row itself."""
        if block.anchors and block.anchors[number]:
            self.page.anchors.append((block.anchors[number], (x, self.y)))
        for column, width in enumerate(widths):
            if target := block.links.get((number, column)):
                self.page.links.append(((x, self.y, x + width, self.y + height), target))
            x += width

    def row(self, x: float, row: Row, widths: Sequence[float], grid: Grid, bold: bool) -> None:
        """One row with a line below it; the heading with one above it too."""
        begin, end = x, x + sum(widths)
        if bold:
            self.page.marks.append(Polyline(((begin, self.y), (end, self.y)), RULE))
        for column, (lines, width) in enumerate(zip(row.cells, widths, strict=True)):
            flush = column in grid.right
            for place, line in enumerate(lines):
                at = (x + width - INSET if flush else x + INSET, self.y + INSET / 2 + 3.0 + LINE * place)
                self.page.marks.append(Text(at, line, TEXT, "end" if flush else "start", bold=bold or (grid.strong and not column)))
            if column in grid.room:
                self.page.marks += [Polyline(((side, self.y), (side, self.y + row.height)), THIN) for side in (x, x + width)]
            x += width
        self.y += row.height
        self.page.marks.append(Polyline(((begin, self.y), (end, self.y)), RULE if bold else THIN))


def capped(lines: Sequence[str]) -> Sequence[str]:
    """The lines of a heading; a name without end is cut, it stands in full in the tables."""
    return lines if len(lines) <= MOST_LINES else (*lines[:MOST_LINES - 1], f"{lines[MOST_LINES - 1][:-2]} …")
