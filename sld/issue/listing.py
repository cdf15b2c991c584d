# SPDX-License-Identifier: MIT
"""Schedules as they are printed: without columns that hold nothing, with long words that recur said once below the table."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from schedules.columns import CIRCUIT_OR_BUS, SEVERAL, SIGN_HERE, Column, Row, Table
from schedules.nothing import nothing
from topology.flow import Flows

from sld.issue.alike import OF_OBJECT, Alike, apart
from sld.issue.ends import both_ends
from sld.issue.flow import BETWEEN, UNDER, Block, Heading, Paragraph
from sld.issue.grid import LINE, OF_GROUP, Grid, best_setting, split, wrapped
from sld.issue.parts import parts
from sld.issue.stacks import FEW as LEAST
from sld.sheet.cells import TEXT

__all__ = ["schedule_blocks"]

WRITTEN = 1.8
"""Width of a character that is written by hand [mm]."""
SIGNED = 13.0
"""Height of a row in which somebody signs [mm]."""
TITLE = 8.0
"""Height of a title within a schedule [mm]."""
LONG, LOWER = 120.0, 0.9
"""Height [mm] of a table that is long, and part of it that is clearly less."""
MANY = 2.0
"""Rows of each id, on average, from which they stand in groups under it."""
SINGLE = 0.6
"""Part of the ids that may have one row only for all that."""
PLAIN = ("name", "device")
"""Headings of columns that speak of the object and whose words need no heading."""
FEW = 3
"""Rows up to which nothing is moved below the table."""
Texts = Sequence[Sequence[str]]


def schedule_blocks(tables: Sequence[Table], flows: Flows, width: float) -> Iterator[Block]:
    """All schedules, one behind the other, with what their readers have to know. width: of the sheets [mm]. A row is a place."""
    said: dict[str, str] = {}
    for table in (part for table in tables for place, part in enumerate(table.printed()) if part.rows or not place):
        told = list(notes(table, said))
        made = list(printed(table, flows, width)) if table.rows else [Paragraph(nothing(table.name))]
        yield Heading(table.title, 5.0, told_height(told, width) + begun(made, width, table.whole), part=True)
        yield from told
        yield from made


def begun(blocks: Sequence[Block], width: float, whole: bool = False) -> float:
    """Height [mm] that is worth beginning a table on a sheet: that of a short one as a whole, and of one that is read in one go."""
    said = told_height(blocks, width)
    first = next((block for block in blocks if not isinstance(block, Paragraph)), None)
    if first is None or isinstance(first, Heading):
        return said + (first.needs + TITLE if first else 0.0)
    return said + (best_setting(first, width).height if whole else begins(first, width))


def told_height(blocks: Sequence[Block], width: float) -> float:
    """Height of the paragraphs among them [mm]."""
    return sum(LINE * len(wrapped(block.text, width, TEXT, block.bold, width)) + BETWEEN for block in blocks if isinstance(block, Paragraph))


def begins(grid: Grid, width: float) -> float:
    """Height [mm] that a table asks for where it begins: that of its first rows, of a short one as a whole."""
    made = best_setting(grid, width)
    if len(grid.rows) < 2 * LEAST:
        return made.height
    over = {grid.groups[number] for number in range(LEAST)} if grid.groups else ()
    return made.head.height + sum(row.height for row in made.rows[:LEAST]) + sum(made.leads[text].height for text in over)


def notes(table: Table, said: dict[str, str]) -> Iterator[Block]:
    """What the reader of a table has to know; what was said with an earlier one is not said again. said: title by note, is added to."""
    earlier = [said[note] for note in table.notes if note in said]
    for title in dict.fromkeys(earlier):
        count = earlier.count(title)
        yield Paragraph(f"• {count} note{'s' if count > 1 else ''} of the {title.lower()} hold{'' if count > 1 else 's'} here too.", target=f"part {title}")
    for note in table.notes:
        if note not in said:
            said[note] = table.title
            yield Paragraph(f"• {note}")


def printed(table: Table, flows: Flows, width: float) -> Iterator[Block]:
    """The table, cut where the width [mm] asks for it, then what was moved out of it."""
    table, said = both_ends(table).lean()
    yield from (Paragraph(f"• {line}") for line in said)
    many, table = apart(table)
    for alike in many:
        yield from across(table, alike, flows, width)
    if not table.rows:
        return
    texts = table.texts()
    aside = worthwhile(table, texts, flows, numbered(table, texts), width)
    grids = split(grid_of(table, texts, flows, aside), width)
    if many:
        yield Heading(f"Other {many[0].titles[0]}s", needs=begins(grids[0], width))
    yield from grids
    if aside:
        yield words_below(aside)


def words_below(aside: dict[str, int]) -> Grid:
    return Grid(("note", "words"), tuple((f"({number})", text) for text, number in aside.items()), strong=False, below=True)


def worthwhile(table: Table, texts: Texts, flows: Flows, aside: dict[str, int], width: float) -> dict[str, int]:
    """The words below a table where they recur, or where a long table is clearly lower with them; else none."""
    met = sum(len(words_of(column, text)) for row in texts for column, text in zip(table.columns, row, strict=True) if column.aside)
    if not aside or 2 * len(aside) <= met:
        return aside
    plain, short = (best_setting(grid_of(table, texts, flows, chosen), width).height for chosen in ({}, aside))
    return aside if plain > LONG and short + best_setting(words_below(aside), width).height < plain * LOWER else {}


def across(table: Table, alike: Alike, flows: Flows, width: float) -> Iterator[Block]:
    """What is asked of many objects alike, said once; then one object a row."""
    asked = Grid(alike.titles, alike.asked)
    grid = rows_across(table, alike, flows)
    words = f"{len(alike.rows)} objects with the same {alike.titles[0]}s: {', '.join(row[0] for row in alike.asked)}"
    grids = split(grid, width)
    yield Heading(words, needs=best_setting(asked, width).height + UNDER + begins(grids[0], width))
    yield asked
    yield from grids


def rows_across(table: Table, alike: Alike, flows: Flows) -> Grid:
    """The table with one object a row."""
    right = frozenset(n for n, cells in enumerate(zip(*alike.cells, strict=True)) if all(isfigure(cell) for cell in cells))
    links = {(number, 0): f"drawn {(*parts(flows, row.id), row.id)[0]}" for number, row in enumerate(alike.rows)}
    return Grid(alike.across, alike.cells, right, places(table.name, alike.rows), links, {number: room * WRITTEN for number, room in alike.room.items()})


def isfigure(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def places(name: str, rows: Sequence[Row]) -> tuple[str, ...]:
    """The place of the first row of each id; nothing for the others."""
    seen: set[str] = set()
    return tuple("" if row.id in seen else seen.add(row.id) or f"listed {name} {row.id}" for row in rows)


def numbered(table: Table, texts: Texts) -> dict[str, int]:
    """Numbers of the words that columns let stand below the table, in the order in which they are met; nothing where there are few."""
    columns = [c for c, column in enumerate(table.columns) if column.aside]
    met = [words for row in texts for c in columns for words in words_of(table.columns[c], row[c])]
    different = dict.fromkeys(met)
    return {text: number for number, text in enumerate(different, 1)} if len(met) > FEW else {}


def grid_of(table: Table, texts: Texts, flows: Flows, aside: dict[str, int]) -> Grid:
    """A table; each row is a place and leads to its object on the drawings."""
    over = above(table, texts)
    columns = [c for c in range(len(table.columns)) if c not in over]
    chosen = [table.columns[c] for c in columns]
    at = OF_GROUP if 0 in over else 0
    links = {(number, at): f"drawn {(*parts(flows, row.id), row.id)[0]}" for number, row in enumerate(table.rows)}
    right = frozenset(n for n, c in enumerate(columns) if any(isinstance(row.cells[c], int | float) for row in table.rows))
    rows = tuple(tuple(shown(table.columns[c], row[c], aside) for c in columns) for row in texts)
    return Grid(tuple(column.title for column in chosen), rows, right, places(table.name, table.rows), links,
                {number: column.room * WRITTEN for number, column in enumerate(chosen) if column.room},
                tuple(group_words(table, row, over) for row in texts) if over else (), 0 not in over,
                high={number: SIGNED for number, row in enumerate(table.rows) if any(cell is SIGN_HERE for cell in row.cells)}, single=table.whole)


def above(table: Table, texts: Texts) -> list[int]:
    """Columns that stand over groups of rows: one that is declared so; or the id and what hangs on it, where ids have several rows each."""
    if declared := [c for c, column in enumerate(table.columns) if column.over]:
        return declared[:1]
    runs = [[*run] for _, run in groupby(texts, lambda row: row[0])]
    if len(texts) < MANY * len(runs) or sum(len(run) == 1 for run in runs) > SINGLE * len(runs):
        return []
    return [c for c, column in enumerate(table.columns) if c == 0 or (column.heading in OF_OBJECT and all(row[c] == run[0][c] for run in runs for row in run))]


def group_words(table: Table, row: Sequence[str], over: Sequence[int]) -> str:
    """`W1: Bakehouse sockets, board MSB, size 2.5 mm²`."""
    if template := table.columns[over[0]].over:
        at = over[0]
        return template.format(row[at]) if row[at] else f"On no {table.columns[at].heading}"
    said = [_word(table.columns[c], row[c], row[0]) for c in over if c and row[c]]
    said = [word for word in said if word]
    return f"{row[0]}: {', '.join(said)}" if said else row[0]


def _word(column: Column, text: str, id_: str) -> str:
    """What stands over a group of one of its columns; nothing for the circuit whose id begins that of the group."""
    if column.heading == CIRCUIT_OR_BUS.heading:
        return "" if id_.startswith(f"{text}.") else f"of {text}"
    return text if column.heading in PLAIN else f"{column.heading} {text} {column.unit}".rstrip()


def words_of(column: Column, text: str) -> list[str]:
    """What of a cell may stand below the table."""
    return [words for words in (text.split(SEVERAL) if column.several else [text]) if len(words) > column.brief]


def shown(column: Column, text: str, aside: dict[str, int]) -> str:
    told = words_of(column, text) if column.aside and aside else []
    return " ".join(f"({aside[words]})" for words in told) if told else text
