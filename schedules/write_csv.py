# SPDX-License-Identifier: MIT
"""Table → CSV: UTF-8, line feeds, text that no spreadsheet takes for a formula."""
from __future__ import annotations

import csv
import io
import re

from .columns import Cell, Column, Table

__all__ = ["UNSAFE", "csv_bytes", "printable", "safe"]

UNSAFE = frozenset("=+-@\t\r\uff1d\uff0b\uff0d\uff20")
"""First characters by which a spreadsheet takes text for a formula, with their wide forms. Source: OWASP, "CSV Injection", from memory."""
HIDDEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff\ud800-\udfff]")
"""Control characters, marks that turn the direction of writing, line separators, and what UTF-8 cannot hold."""


def csv_bytes(table: Table) -> bytes:
    """The table with its headings as the bytes of a CSV file. Numbers stay numbers; unsafe text begins with an apostrophe."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([safe(column.title) for column in table.columns])
    for row in table.rows:
        writer.writerow([_field(column, cell) for column, cell in zip(table.columns, row.cells, strict=True)])
    return out.getvalue().encode("utf-8")


def printable(text: str) -> str:
    """The text without control characters."""
    return HIDDEN.sub("", text)


def safe(text: str) -> str:
    """The text without control characters, and with an apostrophe before it where a spreadsheet could run it."""
    clean = printable(text)
    return f"'{clean}" if text[:1] in UNSAFE or clean.lstrip()[:1] in UNSAFE else clean


def _field(column: Column, cell: Cell) -> str:
    """A number as it is, anything else made safe."""
    return column.show(cell) if isinstance(cell, int | float) else safe(column.show(cell))
