# SPDX-License-Identifier: MIT
"""Headings, paragraphs and tables onto sheets: in columns, from sheet to sheet, a table's heading on each of them. All text at full height."""
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field

from topology.dataclass import dataclass

from sld.font import printable, text_width
from sld.layout.text import wrap
from sld.primitives import Box, Pen, Point, Polyline, Primitive, Text
from sld.sheet.cells import TEXT

__all__ = ["Block", "Grid", "Heading", "Page", "Paragraph", "least_width", "pages", "split", "wrapped"]

LINE = 3.9  # from one base line to the next [mm]
INSET = 1.2  # between a line of a table and its text [mm]
LONGEST_WORD = 60.0  # a word wider than this [mm] is broken anywhere
GAP = 6.0  # between columns [mm]
DUST = 0.01  # more than floats lose [mm]
THIN, RULE = Pen(0.18), Pen(0.35)


@dataclass(frozen=True)
class Heading:
    """height: of capitals [mm]."""

    text: str
    height: float = 3.5


@dataclass(frozen=True)
class Paragraph:
    """Text, wrapped. target: key of the place that it links to."""

    text: str
    bold: bool = False
    target: str = ""


@dataclass(frozen=True)
class Grid:
    """A table.

    right   : columns set flush right
    anchors : for each row the key of its place, "" for none; or nothing at all
    links   : key of a place by row and column
    room    : width [mm] that a column keeps for what is written by hand; lines stand at its sides
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()
    anchors: tuple[str, ...] = ()
    links: Mapping[tuple[int, int], str] = field(default_factory=dict)
    room: Mapping[int, float] = field(default_factory=dict)


Block = Heading | Paragraph | Grid


@dataclass
class Page:
    """What stands on one sheet, about (0, 0) [mm]. links: boxes that lead to the place of a key; anchors: places by key."""

    marks: list[Primitive] = field(default_factory=list)
    links: list[tuple[Box, str]] = field(default_factory=list)
    anchors: list[tuple[str, Point]] = field(default_factory=list)


def pages(blocks: Iterable[Block], width: float, height: float, columns: int = 1) -> list[Page]:
    """All blocks on as many pages as they take. width, height: of the room on each [mm]."""
    flow = _Flow((width - GAP * (columns - 1)) / columns, height, columns)
    for block in blocks:
        if isinstance(block, Heading):
            flow.heading(block)
        elif isinstance(block, Paragraph):
            flow.paragraph(block)
        else:
            flow.grid(block)
    return flow.pages


def least_width(grid: Grid) -> float:
    """Width [mm] below which a table cannot be set."""
    return sum(least for least, _ in measures(grid))


def split(grid: Grid, width: float) -> list[Grid]:
    """A table that is too wide in several, one below the other: each begins with the first column; only the first has the places."""
    least = [low for low, _ in measures(grid)]
    groups: list[list[int]] = [[0]]
    for column in range(1, len(least)):
        if len(groups[-1]) > 1 and sum(least[c] for c in groups[-1]) + least[column] > width:
            groups.append([0])
        groups[-1].append(column)
    return [chosen(grid, columns, number == 0) for number, columns in enumerate(groups)]


def chosen(grid: Grid, columns: Sequence[int], first: bool) -> Grid:
    """Some columns of a table."""
    place = {column: number for number, column in enumerate(columns)}
    return Grid(tuple(grid.titles[c] for c in columns), tuple(tuple(row[c] for c in columns) for row in grid.rows),
                frozenset(place[c] for c in grid.right if c in place), grid.anchors if first else (),
                {(row, place[c]): key for (row, c), key in grid.links.items() if c in place},
                {place[c]: room for c, room in grid.room.items() if c in place})


class _Flow:
    """Where the next block goes."""

    def __init__(self, width: float, height: float, columns: int) -> None:
        self.width, self.height, self.columns = width, height, columns
        self.pages = [Page()]
        self.column, self.y = 0, 0.0

    @property
    def x(self) -> float:
        return self.column * (self.width + GAP)

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def next(self) -> None:
        """The next column, on the next page after the last one."""
        self.column, self.y = self.column + 1, 0.0
        if self.column == self.columns:
            self.column = 0
            self.pages.append(Page())

    def room(self, height: float) -> bool:
        """Whether a height fits below what stands in the column; an empty column takes all."""
        return not self.y or self.y + height <= self.height

    def heading(self, block: Heading) -> None:
        lines = wrapped(block.text, self.width, block.height, True, self.width)
        pitch = block.height * 1.55
        # a heading never stands alone at the foot of a page
        if not self.room(pitch * len(lines) + 4 * LINE):
            self.next()
        self.y += 2.0 if self.y else 0.0
        for line in lines:
            self.page.marks.append(Text((self.x, self.y + block.height * 1.2), line, block.height, bold=True))
            self.y += pitch
        self.y += 1.0

    def paragraph(self, block: Paragraph) -> None:
        for line in wrapped(block.text, self.width, TEXT, block.bold, self.width):
            if not self.room(LINE):
                self.next()
            self.page.marks.append(Text((self.x, self.y + 3.1), line, TEXT, bold=block.bold))
            if block.target:
                self.page.links.append(((self.x, self.y, self.x + text_width(line, TEXT, block.bold), self.y + LINE), block.target))
            self.y += LINE
        self.y += 0.8

    def grid(self, block: Grid) -> None:
        widths = shares(block, self.width)
        head = Row([wrapped(title, width - 2 * INSET, TEXT, True) for title, width in zip(block.titles, widths, strict=True)])
        most = int((self.height - head.height - 2 * INSET) / LINE)
        begun = False
        for number, cells in enumerate(block.rows):
            row = Row([wrapped(text, width - 2 * INSET, TEXT, False) for text, width in zip(cells, widths, strict=True)])
            for place, part in enumerate(row.parts(most)):
                if not begun or not self.room(part.height):
                    if not self.room(head.height + part.height):
                        self.next()
                    self.row(head, widths, block, True)
                    begun = True
                if not place:
                    self.point(block, number, widths, part.height)
                self.row(part, widths, block, False)
        self.y += 3.0

    def point(self, block: Grid, number: int, widths: Sequence[float], height: float) -> None:
        """Links from the cells of a row, and the place of the row itself."""
        if block.anchors and block.anchors[number]:
            self.page.anchors.append((block.anchors[number], (self.x, self.y)))
        x = self.x
        for column, width in enumerate(widths):
            if target := block.links.get((number, column)):
                self.page.links.append(((x, self.y, x + width, self.y + height), target))
            x += width

    def row(self, row: Row, widths: Sequence[float], grid: Grid, bold: bool) -> None:
        """One row with a line below it; the heading with one above it too."""
        x, end = self.x, self.x + sum(widths)
        if bold:
            self.page.marks.append(Polyline(((x, self.y), (end, self.y)), RULE))
        for column, (lines, width) in enumerate(zip(row.cells, widths, strict=True)):
            flush = column in grid.right
            for place, line in enumerate(lines):
                at = (x + width - INSET if flush else x + INSET, self.y + INSET / 2 + 3.0 + LINE * place)
                self.page.marks.append(Text(at, line, TEXT, "end" if flush else "start", bold=bold or column == 0))
            if column in grid.room:
                self.page.marks += [Polyline(((side, self.y), (side, self.y + row.height)), THIN) for side in (x, x + width)]
            x += width
        self.y += row.height
        self.page.marks.append(Polyline(((self.x, self.y), (end, self.y)), RULE if bold else THIN))


@dataclass
class Row:
    """The lines of each cell."""

    cells: Sequence[Sequence[str]]

    @property
    def height(self) -> float:
        return LINE * max(1, *map(len, self.cells)) + INSET if self.cells else LINE

    def parts(self, most: int) -> list[Row]:
        """The row cut into pieces of at most so many lines, so that each fits on a page."""
        lines = max(map(len, self.cells), default=0)
        return [Row([cell[first:first + most] for cell in self.cells]) for first in range(0, max(1, lines), most)]


def measures(grid: Grid) -> list[tuple[float, float]]:
    """For each column the least width and the one that needs no break [mm], insets included."""
    found = []
    for column, title in enumerate(grid.titles):
        texts = [(title, True), *((row[column], column == 0) for row in grid.rows)]
        kept = grid.room.get(column, 0.0)
        least = max(text_width(word, TEXT, bold) for text, bold in texts for word in (wrapped(text, 0.1, TEXT, bold) or ("",)))
        full = max(text_width(printable(text), TEXT, bold) for text, bold in texts)
        found.append((max(kept, least + 2 * INSET + DUST), max(kept, least + 2 * INSET + DUST, full + 2 * INSET + DUST)))
    return found


def shares(grid: Grid, width: float) -> list[float]:
    """Widths of the columns: as wide as they like where there is room, else what is left over in proportion to what each lacks."""
    wanted = measures(grid)
    least, full = sum(low for low, _ in wanted), sum(high for _, high in wanted)
    if full <= width:
        return [high for _, high in wanted]
    part = max(0.0, (width - least) / (full - least)) if full > least else 0.0
    return [low + (high - low) * part for low, high in wanted]


def wrapped(text: str, width: float, height: float, bold: bool, longest: float = LONGEST_WORD) -> tuple[str, ...]:
    """Lines of at most a width [mm]; a word wider than longest is broken anywhere."""
    words = [piece for word in printable(text).split() for piece in broken(word, height, bold, longest)]
    return wrap(" ".join(words), width, height, bold) if words else ()


def broken(word: str, height: float, bold: bool, longest: float) -> list[str]:
    """A word in pieces of at most a width [mm]."""
    if text_width(word, height, bold) <= longest:
        return [word]
    pieces, start = [], 0
    for end in range(1, len(word) + 1):
        if text_width(word[start:end], height, bold) > longest:
            pieces.append(word[start:end - 1])
            start = end - 1
    return [*pieces, word[start:]]
