# SPDX-License-Identifier: MIT
"""Tables of the user's own: read from the folder of the site file, every row with words that something can ask for."""
from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from . import site_faults
from .cables import CablePart
from .devices import Fuse
from .errors import Finding, Mark
from .fields import field_by_key
from .kinds import Said
from .profiles import profile_names
from .tables import Row, Table, TableError, Tables, parse_table, shipped

__all__ = ["own_tables"]

METHODS = ("A1", "A2", "B1", "B2", "C", "D", "E")
"""The letters that a cable of the site file can say"""


def own_tables(named: Any, folder: Path | None, findings: list[Finding], texts: dict[str, tuple[str, ...]]) -> tuple[Table, ...]:
    """The tables that a site file names, those left out that cannot be used; what is wrong with these goes to `findings`.

    named: references of the site file; texts: takes the text of each table by its name, for messages.
    """
    read: list[tuple[Said, Table]] = []
    for said in named if isinstance(named, tuple) else ():
        if isinstance(said, Said):
            read += ((said, table) for table in _read(said, folder, findings, texts))
    every = [table for _, table in read]
    good = []
    for said, table in read:
        wrong = list(_unknown_words(said, table, every, texts))
        findings += wrong
        good += [] if wrong else [table]
    return tuple(good)


def _read(said: Said, folder: Path | None, findings: list[Finding], texts: dict[str, tuple[str, ...]]) -> Iterator[Table]:
    try:
        if folder is None:
            raise FileNotFoundError(2, "the site was not read from a folder")
        text = (folder / said.id).read_text(encoding="utf-8-sig")
        texts[said.id] = tuple(text.splitlines())
        yield parse_table(text, said.id)
    except OSError as error:
        findings.append(site_faults.table_refused(said.mark, said.id, error.strerror or "it cannot be opened"))
    except TableError as error:
        mark = _place(said, error.line, error.column, texts.get(said.id, ()))
        findings.append(site_faults.table_refused(mark, said.id, str(error), _nearest(said, mark, error.known, texts)))
    except (UnicodeError, csv.Error) as error:
        findings.append(site_faults.table_refused(said.mark, said.id, str(error)))


def _place(said: Said, line: int, column: str, lines: tuple[str, ...]) -> Mark:
    """The place of a cell in the table's own file; where no line is given, that of its name in the site file."""
    if not 0 < line <= len(lines):
        return said.mark
    heads = next((text for text in lines if not text.startswith("#")), "").split(",")
    cells = lines[line - 1].split(",")
    number = heads.index(column) if column in heads else len(cells)
    if number >= len(cells):
        return Mark(said.id, line, 1, max(1, len(lines[line - 1])))
    return Mark(said.id, line, sum(len(cell) + 1 for cell in cells[:number]) + 1, max(1, len(cells[number])))


def _nearest(said: Said, mark: Mark, known: tuple[str, ...], texts: dict[str, tuple[str, ...]]) -> str:
    """The next step where a word is not known: the one that was meant, or those that there are; "" where there is none to choose."""
    if not known or mark.file != said.id:
        return ""
    word = texts[said.id][mark.line - 1][mark.column - 1:][:mark.width]
    near = difflib.get_close_matches(word, known, 1, 0.5) or [name for name in known if name.casefold() == word.casefold()]
    return f"did you mean '{near[0]}'?" if near else f"there are: {', '.join(known)}"


def _unknown_words(said: Said, table: Table, every: list[Table], texts: dict[str, tuple[str, ...]]) -> Iterator[Finding]:
    """For each column the first cell whose word nothing can ask for."""
    for column in table.rows[0].cells if table.rows else ():
        known = _known(table, column, every)
        row = next((row for row in table.rows if known and not _is_known(row, column, known)), None)
        if row is not None:
            mark = _place(said, int(row.at.rpartition(":")[2]), column, texts[said.id])
            why = f"{row.at}: no {column.replace('_', ' ')} '{_word(row, column)}' is known, so that nothing would ever use this row"
            yield site_faults.table_refused(mark, said.id, why, _nearest(said, mark, known, texts))


def _is_known(row: Row, column: str, known: tuple[str, ...]) -> bool:
    return (word := _word(row, column)) in known or column == "words" and re.fullmatch(_part("installed").token, word) is not None


def _word(row: Row, column: str) -> str:
    cell = row.cells[column]
    return f"{cell:g}" if isinstance(cell, float) else cell


def _known(table: Table, column: str, every: list[Table]) -> tuple[str, ...]:
    """The words that a column can hold; none where it holds numbers."""
    if (table.kind, column) in _SAID:
        return _SAID[table.kind, column]()
    if column in ("insulation", "material"):
        return (*_part(column).words, *_of(shipped(), table.kind, column))
    if table.kind in ("capacity", "methods") and column == "method":
        other = "methods" if table.kind == "capacity" else "capacity"  # a method of one's own needs both: who asks for it, and what it carries
        return tuple(dict.fromkeys([*METHODS, *_of(shipped(), "capacity", "method"), *_of(Tables(every), other, "method")]))
    if table.rows and isinstance(table.rows[0].cells[column], float):
        return ()
    return _of(shipped(), table.kind, column)


def _of(tables: Tables, kind: str, column: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(str(row[column]) for row in tables.rows(kind)))


def _part(key: str) -> Any:
    """What the grammar says of a word of a cable."""
    return field_by_key(CablePart)[key].kind


_SAID: dict[tuple[str, str], Callable[[], tuple[str, ...]]] = {
    ("capacity", "loaded"): lambda: ("2", "3"), ("protective", "profile"): profile_names, ("methods", "words"): lambda: _part("installed").words,
    ("fuses", "utilisation"): lambda: field_by_key(Fuse)["utilisation"].kind.words, ("methods", "arrangement"): lambda: _of(shipped(), "grouping", "arrangement")}
"""Words of columns that stand elsewhere than in the shipped table of the same kind"""
