# SPDX-License-Identifier: MIT
"""What a schedule is made of: columns declared once, cells that may not be known yet, and the table for every writer."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, TypeVar

from topology.dataclass import dataclass
from topology.errors import CannotTell, Unknown

__all__ = ["BOARD", "CIRCUIT", "CIRCUIT_OR_BUS", "CORES", "FROM", "ID", "LENGTH", "NAME", "PHASES", "RATING", "SEVERAL", "SIGN_HERE", "STATUS", "TO", "TYPE", "Cell", "Column", "Row",
           "Table", "build", "dotted", "given", "joined", "total"]

SEVERAL = "; "
NONE = "–"
"""In a printed column whose empty cells stand for what is usual."""


class _SignHere(str):
    """An empty text of its own kind."""


SIGN_HERE = _SignHere()
"""A cell that is left empty for a signature or what stands beside it; a printed sheet makes its row at least 12 mm high. Known by `is`."""
Cell = str | int | float | Unknown | None
"""What stands in a cell: text, a number in the unit that the program counts in, a value nobody knows, or nothing."""
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    heading : its name
    unit    : what its numbers are printed in; "" where it holds text or plain numbers
    shift   : power of ten from the unit that the program counts in to `unit`: 3 for A → mA, -3 for A → kA
    digits  : places after the point in `unit`; what was typed is never cut, what was computed is rounded and keeps its zeros
    room    : characters that are left free for writing by hand; 0 for none
    aside   : its words are long and recur; a printed sheet says each once below the table, under a number
    brief   : characters up to which words of an `aside` column stay in their place
    several : a cell of such a column holds several of them, divided by SEVERAL
    over    : what stands over rows that follow one another with the same value in a printed table, {} for the value; "" for a plain column
    part    : the printed table that it stands in, where a schedule is too wide to print as one; "" the first
    key     : whether it is printed again in the later parts, so that their rows are told apart
    across  : what is asked in each row; a printed sheet sets it across, one object a row, where the same is asked of many
    heads   : its words stand in the headings of such a table too
    each    : such a table has it under each thing that is asked, or for each end
    end     : which end of a core a row speaks of; a printed sheet has both ends in a row
    tells   : a printed part that has such columns leaves out rows that say nothing in them
    usual   : what it says of a plain site; a printed table in which it says nothing else leaves it out and says so; with other columns in it,
              {id}, a printed table says only in which rows it is something else
    bare    : a printed table leaves cells of such a column empty that say what is usual, and has a dash where there is nothing
    """

    heading: str
    unit: str = ""
    shift: int = 0
    digits: int | None = None
    room: int = 0
    aside: bool = False
    brief: int = 0
    several: bool = False
    over: str = ""
    part: str = ""
    key: bool = False
    across: bool = False
    heads: bool = False
    each: bool = False
    end: bool = False
    tells: bool = False
    usual: str = ""
    bare: bool = False

    @property
    def title(self) -> str:
        """The heading with its unit: `length [m]`."""
        return f"{self.heading} [{self.unit}]" if self.unit else self.heading

    def show(self, cell: Cell) -> str:
        """A cell as text: TBC where the value is open, nothing where the file does not speak of it."""
        if isinstance(cell, Unknown):
            return "TBC" if cell.given or cell.silent else ""
        if cell is None or isinstance(cell, str):
            return cell or ""
        # through the shortest decimal, so that 0.03 A prints as 30 mA; nine places hide what a sum of floats adds
        number = Decimal(repr(round(float(cell), 9))).scaleb(self.shift)
        return _plain(number) if self.digits is None else _rounded(number, self.digits)


def _rounded(number: Decimal, digits: int) -> str:
    """As many places as are asked for, 2.60 beside 2.67, without minus zero: they tell how fine a computed number is; from 100 on four figures in all."""
    digits = min(digits, max(0, 3 - number.adjusted())) if abs(number) >= 100 else digits
    text = format(number.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP), "f")
    return text.removeprefix("-") if not text.strip("-0.") else text


def _plain_words(template: str) -> str:
    """`id:conductor` of `{id}:{conductor}`."""
    return template.translate({ord(sign): None for sign in "{}"})


def _plain(number: Decimal) -> str:
    """Digits without exponent, trailing zeros or minus zero."""
    text = format(number, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """A row; its first cell is the id of the object that it speaks of."""

    cells: tuple[Cell, ...]

    @property
    def id(self) -> str:
        """The id of the object."""
        return str(self.cells[0])


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """A schedule: name (of the file), title, columns, rows, what its reader has to know; of these notes, which belong to a later part.

    on_paper : tables that paper shows in place of this one; nothing for the table itself or its parts
    whole    : its rows are read in one go; paper cuts it only where it is longer than a sheet

    Raises ValueError for a row that does not fit.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    part_notes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    on_paper: tuple[Table, ...] = ()
    whole: bool = False

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(f"{self.name}: row {row.id} has {len(row.cells)} cells for {len(self.columns)} columns")

    def texts(self) -> list[list[str]]:
        """The cells as text, row by row, without the headings."""
        return [[column.show(cell) for column, cell in zip(self.columns, row.cells, strict=True)] for row in self.rows]

    def printed(self) -> tuple[Table, ...]:
        """The tables that paper shows: those that the schedule gives for it, or one for each part of the columns; the whole table where it has neither.

        A later part begins with the first column and those that are keys, and leaves out rows that have nothing in it; so does the first
        where columns of it tell. Files for machines hold the whole table.
        """
        if self.on_paper:
            return self.on_paper
        parts = list(dict.fromkeys(column.part for column in self.columns))
        if len(parts) < 2:
            return (self,)
        return tuple(self._part(part, parts[0]) for part in parts)

    def lean(self) -> tuple[Table, tuple[str, ...]]:
        """The table as paper shows it, without columns that say nothing of this site, and sentences that name them."""
        table, hidden = self._without_usual()
        held = [{row[c] for row in table.texts()} for c in range(len(table.columns))]
        usual = [c for c, column in enumerate(table.columns) if column.usual and held[c] == {column.usual}]
        kept = [c for c, column in enumerate(table.columns) if c == 0 or column.room or (any(held[c]) and c not in usual)]
        empty = [column.heading for c, column in enumerate(table.columns) if c not in (*kept, *usual) and "{" not in column.usual]
        said = [f"Columns without any entry are left out: {', '.join(empty)}."] if empty else []
        if usual:
            said.append(f"The same in every row, and left out: {', '.join(f'{self.columns[c].heading} {self.columns[c].usual}' for c in usual)}.")
        rows = (Row(tuple(row.cells[c] for c in kept)) for row in table.rows)
        return replace(self, columns=tuple(self.columns[c] for c in kept), rows=tuple(rows)), (*said, *hidden)

    def _without_usual(self) -> tuple[Table, list[str]]:
        """The table without what only repeats other cells of its row as a column says; a row that has something else says it beside the last of these."""
        rows, said, texts = [list(row.cells) for row in self.rows], [], self.texts()
        names, empty = [column.heading for column in self.columns], []
        for c, column in enumerate(self.columns):
            whole = [column.usual.format(**dict(zip(names, row, strict=True))) for row in texts] if "{" in column.usual else []
            if 2 * sum(row[c] == text for row, text in zip(texts, whole, strict=False)) <= len(texts):
                continue
            if column.bare and any(row[c] != text for row, text in zip(texts, whole, strict=True)):
                for row, shown, text in zip(rows, texts, whole, strict=True):
                    row[c] = None if shown[c] == text else row[c] if shown[c] else NONE
                empty.append(f"under {column.heading} for {_plain_words(column.usual)}")
                continue
            beside = names.index(column.usual.rpartition("{")[2].partition("}")[0])
            for row, shown, text in zip(rows, texts, whole, strict=True):
                row[c] = None
                if shown[c] != text:
                    row[beside] = f"{shown[beside]}, {f'{column.heading} {shown[c]}' if shown[c] else f'no {column.heading}'}"
            said.append(f"Where nothing else is said the {column.heading} is {_plain_words(column.usual)}.")
        if empty:
            said.append(f"An empty cell stands {', '.join(empty)}; {NONE} stands for none.")
        return replace(self, rows=tuple(Row(tuple(row)) for row in rows)), said

    def _part(self, part: str, first: str) -> Table:
        chosen = [n for n, column in enumerate(self.columns) if column.part == part or part != first and (column.key or not n)]
        own = [n for n in chosen if self.columns[n].part == part]
        told = [n for n in own if self.columns[n].tells] or ([] if part == first else own)
        rows = (row for row in self.rows if not told or any(self.columns[n].show(row.cells[n]) for n in told))
        later = {note for notes in self.part_notes.values() for note in notes}
        notes = tuple(note for note in self.notes if note not in later) if part == first else tuple(self.part_notes.get(part, ()))
        return replace(self, title=f"{self.title}: {part}" if part else self.title, columns=tuple(self.columns[n] for n in chosen),
                       rows=tuple(Row(tuple(row.cells[n] for n in chosen)) for row in rows), notes=notes, part_notes={})


def build(name: str, title: str, declared: Sequence[tuple[Column, Callable[[T], Any]]], subjects: Iterable[T],
          notes: Iterable[str] = (), part_notes: Mapping[str, tuple[str, ...]] | None = None) -> Table:
    """A table with one row for each subject; each column is declared together with where its cell comes from.

    part_notes : notes of the later parts, see Table.printed; they follow the others
    """
    later = part_notes or {}
    rows = (Row(tuple(cell(subject) for _, cell in declared)) for subject in subjects)
    return Table(name, title, tuple(column for column, _ in declared), tuple(rows),
                 (*notes, *(note for each in later.values() for note in each)), later)


def joined(words: Any, by: str = " ") -> Cell:
    """Several words in one cell; an unknown list stays unknown, an unknown word prints TBC."""
    return words if words is None or isinstance(words, Unknown) else by.join(str(word) for word in words)


def dotted(thing: Any, *names: str) -> Any:
    """The attribute at the end of a trail; an unknown on the way is the answer, and so is None."""
    for name in names:
        if thing is None or isinstance(thing, Unknown):
            return thing
        thing = getattr(thing, name, None)
    return thing


def given(thing: Any, name: str, default: Cell = None) -> Any:
    """A field that the file gives; default where it does not (automatic bars and joints lack most fields)."""
    return getattr(thing, name) if name in getattr(thing, "marks", ()) else default


def total(values: Iterable[Any]) -> Cell:
    """Sum of lengths and their like; None of nothing; the first unknown one where one is unknown."""
    known = tuple(values)
    try:
        return sum(known, 0.0) if known else None
    except CannotTell as error:
        return error.unknown


ID = Column("id")
NAME = Column("name", key=True)
BOARD = Column("board")
CIRCUIT = Column("circuit")
CIRCUIT_OR_BUS = Column("circuit or bus")
PHASES = Column("phases")
RATING = Column("rating", "A")
CORES = Column("cores")
LENGTH = Column("length", "m")
FROM = Column("from")
TO = Column("to")
TYPE = Column("type")
STATUS = Column("status")
