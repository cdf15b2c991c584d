# SPDX-License-Identifier: MIT
"""Objects of which a long record asks the same: printed one in a row, what is asked across, as test sheets of the trade do (common practice, no source)."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from schedules.columns import Column, Row, Table
from topology.dataclass import dataclass

__all__ = ["OF_OBJECT", "Alike", "apart"]

LEAST = 5
"""Objects from which a table of their own is worth its heading."""
OF_OBJECT = ("name", "device", "board", "circuit", "circuit or bus", "status")
"""Headings of columns that speak of the object and not of the row."""
NUMBER, OPEN = "#", "…"
STOPS = ":;,"
LONGEST = 30
"""Characters of what stands around a figure that its heading repeats."""
Texts = Sequence[Sequence[str]]


@dataclass(frozen=True)
class Alike:
    """Objects of which the same is asked.

    asked  : one row for each thing that is asked, under titles; a figure that differs from object to object is an ellipsis in it
    across : headings of the table, one object a row
    rows   : the first row of each object in the schedule
    cells  : of the table
    room   : characters that columns leave free for writing
    """

    titles: tuple[str, ...]
    asked: tuple[tuple[str, ...], ...]
    across: tuple[str, ...]
    rows: tuple[Row, ...]
    cells: tuple[tuple[str, ...], ...]
    room: dict[int, int]


def apart(table: Table) -> tuple[list[Alike], Table]:
    """Tables of what is asked of many objects alike, and what is left. Objects of which something is entered already are left as they are."""
    if not any(column.across for column in table.columns):
        return [], table
    classes: dict[tuple[object, ...], list[list[tuple[Row, list[str]]]]] = {}
    for _, run in groupby(zip(table.rows, table.texts(), strict=True), lambda pair: pair[0].id):
        lines = list(run)
        if not any(text for _, texts in lines for column, text in zip(table.columns, texts, strict=True) if column.room):
            classes.setdefault(kind(table.columns, [texts for _, texts in lines]), []).append(lines)
    large = [runs for runs in classes.values() if len(runs) >= LEAST]
    taken = {runs[0][0].id for many in large for runs in many}
    return [alike(table.columns, many) for many in large], replace_rows(table, [row for row in table.rows if row.id not in taken])


def replace_rows(table: Table, rows: Sequence[Row]) -> Table:
    """The same table with other rows."""
    return Table(table.name, table.title, table.columns, tuple(rows), table.notes, table.part_notes)


def kind(columns: Sequence[Column], texts: Texts) -> tuple[object, ...]:
    """What is asked of an object, figures apart."""
    said = said_columns(columns)
    return tuple((*(row[c] for c, column in enumerate(columns) if column.across), *(bare(row[c]) for c in said)) for row in texts)


def said_columns(columns: Sequence[Column]) -> list[int]:
    """Columns that say what is asked: neither of the object, nor for writing."""
    return [c for c, column in enumerate(columns) if c and not (column.across or column.room or column.heading in OF_OBJECT)]


def bare(text: str) -> tuple[str, ...]:
    """The words of a text without its figures."""
    return tuple(NUMBER if any(letter.isdigit() for letter in word) else word for word in text.split())


def alike(columns: Sequence[Column], runs: Sequence[Sequence[tuple[Row, list[str]]]]) -> Alike:
    """The table of some objects."""
    texts = [[cells for _, cells in run] for run in runs]
    across = next(c for c, column in enumerate(columns) if column.across)
    said = said_columns(columns)
    made = list(of_objects(columns, [each[0] for each in texts]))
    asked = []
    for n, first in enumerate(texts[0]):
        differs = {c: parted([each[n][c] for each in texts]) for c in said}
        asked.append((first[across], *(around for around, _ in differs.values())))
        name = " ".join([first[across], *(f"({first[c]})" for c in said if columns[c].heads and first[c])])
        made += [(heading(first[across], columns[c], around, figures), figures, 0) for c, (around, figures) in differs.items() if any(figures)]
        made += [(f"{name}, {column.heading}", [""] * len(texts), column.room) for column in columns if column.room and column.each]
    made += [(column.title, [""] * len(texts), column.room) for column in columns if column.room and not column.each]
    return Alike((columns[across].heading, *(columns[c].title for c in said)), tuple(asked), tuple(title for title, *_ in made),
                 tuple(run[0][0] for run in runs), tuple(zip(*(cells for _, cells, _ in made), strict=True)),
                 {number: room for number, (*_, room) in enumerate(made) if room})


def of_objects(columns: Sequence[Column], firsts: Texts) -> Iterator[tuple[str, list[str], int]]:
    """The id and what else is said of the objects, as title, cells and room."""
    for c, column in enumerate(columns):
        cells = [row[c] for row in firsts]
        if not c or (column.heading in OF_OBJECT and any(cells)):
            yield column.title, cells, 0


def parted(texts: Sequence[str]) -> tuple[str, list[str]]:
    """What is common to texts of one kind, with an ellipsis for what is not, and that of each; the whole and nothing where all are the same."""
    words = [text.split() for text in texts]
    other = [n for n in range(len(words[0])) if len({each[n] for each in words}) > 1]
    if not other:
        return texts[0], [""] * len(texts)
    first, last = other[0], other[-1] + 1
    figures = [" ".join(each[first:last]) for each in words]
    stop = figures[0][-1] if figures[0][-1] in STOPS and all(figure[-1] == figures[0][-1] for figure in figures) else ""
    return " ".join([*words[0][:first], OPEN + stop, *words[0][last:]]), [figure.removesuffix(stop) for figure in figures]


def heading(asked: str, column: Column, around: str, figures: Sequence[str]) -> str:
    """`earth fault loop, limit ≤ … ohm`; of long words around a number what stands next to it, its unit."""
    if len(around) > LONGEST and all(figure.replace(".", "", 1).isdecimal() for figure in figures):
        before, _, after = around.partition(OPEN)
        around = " ".join([*before.split()[-1:], OPEN, *after.split()[:1]])
    return f"{asked}, {column.heading}" + (f" {around}" if around.strip(STOPS) != OPEN and len(around) <= LONGEST else "")
