# SPDX-License-Identifier: MIT
"""All schedules of a site as the bytes of their files."""
from __future__ import annotations

from collections.abc import Callable, Sequence

from topology.flow import Flows

from . import SCHEDULES
from .columns import Table
from .write_csv import csv_bytes
from .write_html import html_bytes

__all__ = ["FORMATS", "render"]

FORMATS: dict[str, Callable[[Table, Flows], bytes]] = {"csv": lambda table, flows: csv_bytes(table), "html": html_bytes}
"""Writers by the ending of their files."""


def render(flows: Flows, formats: Sequence[str] = ("csv", "html")) -> dict[str, bytes]:
    """Every schedule in every format, by file name: circuits.csv, circuits.html, cables.csv …

    Raises ValueError for a format that nobody writes. No name of the site is part of a file name.
    """
    for name in formats:
        if name not in FORMATS:
            raise ValueError(f"no schedule is written as '{name}'; there are {', '.join(FORMATS)}")
    tables = [make(flows) for make in SCHEDULES.values()]
    return {f"{table.name}.{name}": FORMATS[name](table, flows) for table in tables for name in formats}
