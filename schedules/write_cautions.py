# SPDX-License-Identifier: MIT
"""Cautions of all schedules as one text file, to lie beside the CSV files, which have room for a table only."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from topology.flow import Flows

from .cautions import VERIFY, cautions, facts, site_cautions
from .columns import Table
from .write_csv import printable

__all__ = ["CAUTIONS", "cautions_text"]

CAUTIONS = "cautions.txt"
"""Name of the file."""


def cautions_text(tables: Sequence[Table], flows: Flows) -> bytes:
    """Title block, what holds for the whole site, then what the reader of each schedule has to know; UTF-8, a sentence a line."""
    return "".join(f"{printable(line)}\n" for line in _lines(tables, flows)).encode("utf-8")


def _lines(tables: Sequence[Table], flows: Flows) -> Iterator[str]:
    general = (*site_cautions(flows), VERIFY)
    yield from (f"{name}: {value}" for name, value in facts(flows).items())
    yield from ("", "Read this before the CSV files in this folder: they hold tables only. Do not pass one on without it.", "", *general)
    for table in tables:
        own = [line for line in cautions(table, flows) if line not in general]
        if own:
            yield from ("", f"{table.title} ({table.name}.csv)", *(f"- {line}" for line in own))
