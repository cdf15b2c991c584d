# SPDX-License-Identifier: MIT
"""Tables: single facts of standards as CSV files, each with its source; a table without one is refused.

A file begins with lines `# word: text`. Needed are `table` (which kind it is, see KINDS), `edition` and `source`. Then come the
columns of that kind and one fact a row; a `note` may stand beside them. `found` says how a row was seen: text, second-hand, derived
or memory; what is known from memory alone can warn, never refuse. A column `source` names the source of a row where the rows differ. Users' own tables have the
same form. The licensed edition of a standard prevails over anything here.
"""
from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import resources

from ..dataclass import dataclass
from ..errors import SiteError

__all__ = ["FOUND", "KINDS", "NoRow", "Row", "Table", "TableError", "Tables", "parse_table", "shipped"]

FOUND = ("text", "second-hand", "derived", "memory")
KINDS: dict[str, dict[str, type]] = {
    "resistance": {"conductor_class": float, "material": str, "area_mm2": float, "r20_ohm_per_km": float},
    "temperature": {"temperature_degc": float, "factor": float},
    "capacity": {"insulation": str, "method": str, "loaded": float, "material": str, "area_mm2": float, "ampere": float,
                 "reference_degc": float},
    "grouping": {"arrangement": str, "circuits": float, "factor": float},
    "ratings": {"ampere": float},
    "trip_bands": {"curve": str, "lower": float, "upper": float, "mean": float},
    "conventional": {"device": str, "from_a": float, "below_a": float, "state": str, "multiple": float},
    "residual_times": {"delay": str, "multiple": float, "seconds": float},
    "energy_limits": {"energy_class": float, "curve": str, "above_a": float, "up_to_a": float, "breaking_a": float, "a2s": float},
    "fuses": {"utilisation": str, "rated_a": float, "seconds": float, "ampere": float},
    "disconnection": {"earthing": str, "use": str, "u0_above_v": float, "u0_to_v": float, "seconds": float},
    "reactance": {"area_mm2": float, "x_ohm_per_km": float},
    "sizes": {"area_mm2": float},
    "protective": {"profile": str, "line_mm2": float, "protective_mm2": float},
    "methods": {"words": str, "method": str, "arrangement": str},
    "insulation": {"insulation": str, "family": str, "operating_degc": float, "final_degc": float},
    "materials": {"material": str, "k0": float, "beta_degc": float, "alpha_per_k": float, "rho20_ohm_mm2_per_km": float},
}
"""The columns of each kind of table, with the type of their cells; `source` and `found` stand in any of them."""

MAY_BE_ZERO = ("above_a", "from_a", "reference_degc", "temperature_degc", "u0_above_v", "x_ohm_per_km")


class TableError(SiteError):
    """A table that lacks what makes its facts usable. line: of its file, 0 where it is the whole of it; column: by its name; known: what would do."""

    def __init__(self, message: str, line: int = 0, column: str = "", known: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.line, self.column, self.known = line, column, known


class NoRow(SiteError):
    """A table has no row for what was asked."""


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One fact. cells: by column; source and edition: where it comes from; found: how it was seen; at: file and line."""

    cells: Mapping[str, str | float]
    source: str
    edition: str
    found: str
    at: str

    def __getitem__(self, column: str) -> str | float:
        return self.cells[column]

    def number(self, column: str) -> float:
        """A cell that holds a number."""
        return float(self.cells[column])

    @property
    def firm(self) -> bool:
        """Whether the fact may refuse and not merely warn."""
        return self.found != "memory"


@dataclass(frozen=True, eq=False)
class Table:
    """Rows of one kind from one file."""

    kind: str
    edition: str
    source: str
    rows: tuple[Row, ...]


class Tables:
    """Tables to look things up in; rows of tables that come first win."""

    def __init__(self, tables: Iterable[Table]) -> None:
        self.all = tuple(tables)
        self._rows: dict[str, list[Row]] = {}
        self._found: dict[tuple[object, ...], Row | None] = {}
        self.memo: dict[object, object] = {}
        """what was computed from these tables alone, by what it was computed from"""
        for table in self.all:
            self._rows.setdefault(table.kind, []).extend(table.rows)

    def rows(self, kind: str, **wanted: str | float) -> Iterator[Row]:
        """The rows of a kind whose cells are as wanted, in the order of the files."""
        return (row for row in self._rows.get(kind, ()) if all(row[column] == value for column, value in wanted.items()))

    def row(self, kind: str, **wanted: str | float) -> Row:
        """The first row whose cells are as wanted. Raises NoRow; nothing is ever interpolated."""
        found = self.first(kind, **wanted)
        if found is None:
            raise NoRow(f"the tables have no {kind} for {', '.join(_words(wanted))}")
        return found

    def first(self, kind: str, **wanted: str | float) -> Row | None:
        """As `row`, and None where there is none."""
        key = (kind, *wanted.items())
        if key not in self._found:
            self._found[key] = next(self.rows(kind, **wanted), None)
        return self._found[key]

    def sizes(self) -> tuple[float, ...]:
        """The standard cross-sections, smallest first [mm²]."""
        return tuple(sorted({row.number("area_mm2") for row in self.rows("sizes")}))


def _words(wanted: Mapping[str, str | float]) -> Iterator[str]:
    for column, value in wanted.items():
        yield f"{column.replace('_', ' ')} {value:g}" if isinstance(value, float | int) else f"{column.replace('_', ' ')} {value}"


def parse_table(text: str, name: str) -> Table:
    """A table from the text of its file. Raises TableError where a fact would have no source or could not be read."""
    lines = text.splitlines()
    head = _head(lines)
    for need in ("table", "edition", "source"):
        if not head.get(need):
            raise TableError(f"{name} has no line '# {need}: …'")
    kind = head["table"]
    if kind not in KINDS:
        raise TableError(f"{name}: there is no kind of table '{kind}'; there are {', '.join(KINDS)}")
    start = next((n for n, line in enumerate(lines) if not line.startswith("#")), len(lines))
    reader = csv.DictReader(lines[start:], strict=True)
    missing = [column for column in (*KINDS[kind], "found") if column not in (reader.fieldnames or ())]
    if missing:
        raise TableError(f"{name} has no column {', '.join(missing)}", start + 1)
    allowed = (*KINDS[kind], "source", "found", "note")
    for column in reader.fieldnames or ():
        if column not in allowed:
            raise TableError(f"{name}:{start + 1}: a table of {kind} has no column '{column}'", start + 1, column, allowed)
    rows = tuple(_row(cells, head, f"{name}:{start + n}") for n, cells in enumerate(reader, 2))
    return Table(kind, head["edition"], head["source"], rows)


def _head(lines: list[str]) -> dict[str, str]:
    """The words at the head of a file."""
    head: dict[str, str] = {}
    for line in lines:
        if not line.startswith("#"):
            break
        word, _, rest = line[1:].partition(":")
        head[word.strip()] = rest.strip()
    return head


def _row(cells: dict[str, str], head: dict[str, str], at: str) -> Row:
    line = int(at.rpartition(":")[2])
    if None in cells:  # what csv calls cells beyond the last column
        raise TableError(f"{at} has more cells than columns (text with a comma stands in quotes)", line)
    found = cells.get("found") or ""
    if found not in FOUND:
        raise TableError(f"{at}: found is one of {', '.join(FOUND)}", line, "found", FOUND)
    if "source" in cells and not (cells["source"] or "").strip():
        raise TableError(f"{at} has no source", line, "source")
    values: dict[str, str | float] = {}
    for column, kind in KINDS[head["table"]].items():
        try:
            values[column] = kind((cells[column] or "").strip())
        except ValueError:
            raise TableError(f"{at}: '{cells[column]}' is no number ({column})", line, column) from None
        value = values[column]
        if isinstance(value, float) and not (math.isfinite(value) and (value > 0 or value == 0 and column in MAY_BE_ZERO)):
            raise TableError(f"{at}: '{cells[column]}' cannot be ({column}): it is above 0 and has an end", line, column)
    return Row(values, cells.get("source") or head["source"], head["edition"], found, at)


@cache
def shipped() -> Tables:
    """The tables that ship with the program."""
    folder = resources.files(__package__)
    names = sorted(path.name for path in folder.iterdir() if path.name.endswith(".csv"))
    return Tables(parse_table(folder.joinpath(name).read_text(encoding="utf-8"), name) for name in names)
