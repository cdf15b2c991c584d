# SPDX-License-Identifier: MIT
"""Tables on paper: how wide each column is, where a wide table is cut, how high its rows are."""
from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import field
from itertools import pairwise

from topology.dataclass import dataclass

from sld.font import printable, text_width
from sld.layout.text import wrap
from sld.sheet.cells import TEXT

__all__ = ["GAP", "GOES_ON", "INSET", "LINE", "OF_GROUP", "Grid", "Row", "Setting", "best_setting", "least_width", "shares", "split", "wrapped"]

LINE = 3.9  # from one base line to the next [mm]
INSET = 1.0  # between a line of a table and its text [mm]
GAP = 6.0  # between columns of a page [mm]
LONGEST_WORD = 60.0  # a word wider than this [mm] is broken anywhere
BY_HAND = 6.0  # least height of a row in which somebody writes [mm]
MOST_MORE = 12.0  # that a column for writing gets beyond its room [mm]
DUST = 0.01  # more than floats lose [mm]
FLAT = 2  # lines of a heading that are low enough
STEP = 3.0  # between widths that are tried for a column [mm]
POWER = 2
"""A row is as high as its highest cell: lines to this power make the highest count most, and yet let each column be judged alone."""
GOES_ON = ", continued"
OF_GROUP = -1
MOST_SIDES = 3
"""Times that a narrow table stands beside itself on a page."""
WORTH = 0.85
"""A table stands beside itself once more only where this part of the height, or less, is left."""


@dataclass(frozen=True)
class Grid:
    """A table.

    right   : columns set flush right
    anchors : for each row the key of its place, "" for none; or nothing at all
    links   : key of a place by row and column
    room    : width [mm] that a column keeps for what is written by hand; lines stand at its sides
    groups  : for each row what it stands under together with its neighbours, or nothing at all; column OF_GROUP of links leads from there
    strong  : the first column is bold, as ids are
    below   : stands with the last rows of the table before it, where both are longer than a sheet
    high    : least height [mm] of rows that are signed
    single  : its rows are read in one go, and never stand beside each other
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()
    anchors: tuple[str, ...] = ()
    links: Mapping[tuple[int, int], str] = field(default_factory=dict)
    room: Mapping[int, float] = field(default_factory=dict)
    groups: tuple[str, ...] = ()
    strong: bool = True
    below: bool = False
    high: Mapping[int, float] = field(default_factory=dict)
    single: bool = False

    def begins(self, row: int) -> bool:
        """Whether a row is the first of its group."""
        return row == 0 or self.groups[row - 1] != self.groups[row]


@dataclass
class Row:
    """The lines of each cell; least: height [mm] that it has anyway."""

    cells: Sequence[Sequence[str]]
    least: float = 0.0

    @property
    def height(self) -> float:
        return max(self.least, LINE * max(1, *map(len, self.cells)) + INSET if self.cells else LINE)

    def parts(self, most: int) -> list[Row]:
        """The row cut into pieces of at most so many lines, so that each fits on a page."""
        lines = max(map(len, self.cells), default=0)
        return [Row([cell[first:first + most] for cell in self.cells], self.least) for first in range(0, max(1, lines), most)]


@dataclass
class Setting:
    """A table as it is set: how often it stands beside itself, the widths of its columns [mm], its heading, its rows."""

    sides: int
    widths: list[float]
    head: Row
    rows: list[Row]
    leads: Mapping[str, Row] = field(default_factory=dict)
    """What stands over each group."""

    @property
    def height(self) -> float:
        """About what it takes of a page [mm]."""
        return self.head.height + (sum(row.height for row in self.rows) + sum(lead.height for lead in self.leads.values())) / self.sides


def best_setting(grid: Grid, width: float) -> Setting:
    """The table on a width [mm], beside itself where that saves height."""
    best = setting(grid, width, 1)
    for sides in range(2, 1 if grid.single else MOST_SIDES + 1):
        each = (width - GAP * (sides - 1)) / sides
        if len(grid.rows) < 2 * sides or least_width(grid) > each:
            break
        other = setting(grid, each, sides)
        best = other if other.height < best.height * WORTH else best
    return best


def setting(grid: Grid, width: float, sides: int) -> Setting:
    widths = roomy(grid, headed(grid, shares(grid, width), width), width)
    inner = [wide - 2 * INSET for wide in widths]
    head = Row([wrapped(title, wide, TEXT, True) for title, wide in zip(grid.titles, inner, strict=True)])
    least = BY_HAND if grid.room else 0.0
    rows = [Row([wrapped(text, wide, TEXT, grid.strong and not column) for column, (text, wide) in enumerate(zip(cells, inner, strict=True))],
                max(least, grid.high.get(number, 0.0))) for number, cells in enumerate(grid.rows)]
    whole = sum(widths) - 2 * INSET
    return Setting(sides, widths, head, rows, {text: Row([wrapped(f"{text}{GOES_ON}", whole, TEXT, True)]) for text in grid.groups})


def least_width(grid: Grid) -> float:
    """Width [mm] below which a table cannot be set."""
    return sum(least for least, _ in measures(grid))


def split(grid: Grid, width: float) -> list[Grid]:
    """A table that is too wide in several, one below the other: each begins with the first column; only the first has the places.

    No more of them than must be, and none much wider than the others.
    """
    wanted = measures(grid)
    count = len(groups([low for low, _ in wanted], width))
    if count == 1:
        return [grid]
    full = [high for _, high in wanted]
    even = sum(full) / count
    while len(made := groups([low for low, _ in wanted], width, full, even)) > count:
        even *= 1.05
    return [chosen(grid, columns, number == 0) for number, columns in enumerate(made)]


def groups(least: Sequence[float], width: float, full: Sequence[float] = (), even: float = 0.0) -> list[list[int]]:
    """Columns one after another in groups that can be set on a width [mm]; with full, none asks for more than about even [mm]."""
    found: list[list[int]] = [[0]]
    for column in range(1, len(least)):
        here = [*found[-1], column]
        if len(found[-1]) > 1 and (sum(least[c] for c in here) > width or (full and sum(full[c] for c in here) > even)):
            found.append([0])
        found[-1].append(column)
    return found


def chosen(grid: Grid, columns: Sequence[int], first: bool) -> Grid:
    """Some columns of a table."""
    place = {column: number for number, column in enumerate(columns)}
    return Grid(tuple(grid.titles[c] for c in columns), tuple(tuple(row[c] for c in columns) for row in grid.rows),
                frozenset(place[c] for c in grid.right if c in place), grid.anchors if first else (),
                {(row, place.get(c, c)): key for (row, c), key in grid.links.items() if c in place or c == OF_GROUP},
                {place[c]: room for c, room in grid.room.items() if c in place}, grid.groups, grid.strong, grid.below, grid.high if first else {})


def measures(grid: Grid) -> list[tuple[float, float]]:
    """For each column the least width and the one that needs no break [mm], insets included."""
    found = []
    for column, title in enumerate(grid.titles):
        texts = [(title, True), *((text, grid.strong and not column) for text in {row[column] for row in grid.rows})]
        kept = grid.room.get(column, 0.0)
        least = max(text_width(word, TEXT, bold) for text, bold in texts for word in (wrapped(text, 0.1, TEXT, bold) or ("",)))
        # a heading is broken before a column is made wider than its cells ask for
        full = max(text_width(printable(text), TEXT, bold) for text, bold in texts[1:] or texts)
        found.append((max(kept, least + 2 * INSET + DUST), max(kept, least + 2 * INSET + DUST, full + 2 * INSET + DUST)))
    return found


def shares(grid: Grid, width: float) -> list[float]:
    """Widths of the columns: as wide as they like where there is room, else what is left over goes where it saves most lines."""
    wanted = measures(grid)
    if sum(high for _, high in wanted) <= width:
        return [high for _, high in wanted]
    widths = [low for low, _ in wanted]
    left = width - sum(widths)
    costs = [column_costs(grid, column, low, min(high, low + left)) if low < high else [] for column, (low, high) in enumerate(wanted)]
    while options := [(gain, -column, wide) for column, tried in enumerate(costs) for gain, wide in gains(tried, left)]:
        gain, column, wide = max(options)
        if gain <= 0.0:
            break
        left -= wide - widths[-column]
        widths[-column] = wide
        costs[-column] = [(other, cost) for other, cost in costs[-column] if other >= wide]
    return widths


def roomy(grid: Grid, widths: Sequence[float], width: float) -> list[float]:
    """What the columns leave over goes to those in which somebody writes."""
    more = min((width - sum(widths)) / len(grid.room), MOST_MORE) if grid.room else 0.0
    return [wide + more if column in grid.room else wide for column, wide in enumerate(widths)]


def headed(grid: Grid, widths: list[float], width: float) -> list[float]:
    """What the columns leave over makes the heading lower first: those that are highest are widened together, line by line."""
    while True:
        lines = [heading_lines(title, wide) for title, wide in zip(grid.titles, widths, strict=True)]
        most = max(lines)
        wider = [flatter(title, wide, most, width) if count == most else wide for title, wide, count in zip(grid.titles, widths, lines, strict=True)]
        if most <= FLAT or sum(wider) > width:
            return widths
        widths = wider


def heading_lines(title: str, width: float) -> int:
    """Lines of a heading in a column of a width [mm]."""
    return max(1, len(wrapped(title, width - 2 * INSET, TEXT, True)))


def flatter(title: str, width: float, lines: int, most: float) -> float:
    """A width [mm] at which a heading has fewer lines than now; more than the most where there is none."""
    while heading_lines(title, width) >= lines and width <= most:
        width += 1.0
    return width


def gains(tried: Sequence[tuple[float, float]], left: float) -> list[tuple[float, float]]:
    """What each greater width of a column saves for a millimetre, and that width; as far as what is left over allows."""
    return [((tried[0][1] - cost) / (wide - tried[0][0]), wide) for wide, cost in tried[1:] if wide - tried[0][0] <= left]


def column_costs(grid: Grid, column: int, least: float, full: float) -> list[tuple[float, float]]:
    """Widths that are tried for a column, and what its lines cost at each."""
    texts = Counter(row[column] for row in grid.rows)
    tried = [least + STEP * n for n in range(int((full - least) / STEP) + 1)]
    tried += [full] if full - tried[-1] > DUST else []
    return [(wide, sum(count * len(wrapped(text, wide - 2 * INSET, TEXT, grid.strong and not column)) ** POWER for text, count in texts.items())) for wide in tried]


def wrapped(text: str, width: float, height: float, bold: bool, longest: float = LONGEST_WORD) -> tuple[str, ...]:
    """Lines of at most a width [mm]; a word wider than longest is broken anywhere."""
    words = [piece for word in printable(text).split() for piece in broken(word, height, bold, longest)]
    return wrap(" ".join(words), width, height, bold) if words else ()


def broken(word: str, height: float, bold: bool, longest: float) -> list[str]:
    """A word in pieces of at most a width [mm]."""
    if text_width(word, height, bold) <= longest:
        return [word]
    cuts = [0]
    for end in range(1, len(word) + 1):
        if text_width(word[cuts[-1]:end], height, bold) > longest:
            cuts.append(end - 1)
    return [word[start:end] for start, end in pairwise([*cuts, len(word)])]
