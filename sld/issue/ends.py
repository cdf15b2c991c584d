# SPDX-License-Identifier: MIT
"""A list with a row for each end, printed with both ends of a core in one row."""
from __future__ import annotations

from dataclasses import replace

from schedules.columns import Cell, Column, Row, Table

__all__ = ["both_ends"]

ENDS = ("from", "to")


def both_ends(table: Table) -> Table:
    """The table with what differs at the ends of a core side by side; an end of another kind stands under the first, called by its name."""
    end = next((c for c, column in enumerate(table.columns) if column.end), None)
    if end is None:
        return table
    each = [c for c, column in enumerate(table.columns) if column.each]
    common = [c for c in range(len(table.columns)) if c != end and c not in each]
    found: dict[tuple[str, ...], dict[str, Row]] = {}
    for row in table.rows:
        said = tuple(table.columns[c].show(row.cells[c]) for c in common)
        kind = str(row.cells[end])
        found.setdefault((*said, "" if kind in ENDS else kind), {})[kind] = row
    # cores of one run stay together, in the order of their first end
    rows = [merged(table, sides, common, each) for sides in found.values()]
    columns = (*(table.columns[c] for c in common), *(titled(table.columns[c], name) for name in ENDS for c in each))
    return Table(table.name, table.title, columns, tuple(rows), table.notes, table.part_notes)


def titled(column: Column, name: str) -> Column:
    return replace(column, heading=f"{name}: {column.heading}")


def merged(table: Table, sides: dict[str, Row], common: list[int], each: list[int]) -> Row:
    """One row of the ends of a core."""
    first = next(iter(sides.values()))
    cells: list[Cell] = [first.cells[c] for c in common]
    for name in ENDS:
        row = sides.get(name)
        cells += [row.cells[c] if row else None for c in each]
    if not set(sides) & set(ENDS):
        kind = next(iter(sides))
        cells[len(common)] = f"{kind}: {table.columns[each[0]].show(first.cells[each[0]])}"
        cells[len(common) + 1:len(common) + len(each)] = [first.cells[c] for c in each[1:]]
    return Row(tuple(cells))
