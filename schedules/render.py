# SPDX-License-Identifier: MIT
"""All schedules of a site as the bytes of their files."""
from __future__ import annotations

from collections.abc import Callable, Sequence

from topology.flow import Flows

from . import SCHEDULES
from .columns import Table
from .write_csv import csv_bytes
from .write_html import html_bytes
from .write_xlsx import xlsx_bytes

__all__ = ["FORMATS", "WORKBOOK", "render"]

WORKBOOK = "workbook.xlsx"
"""The one file that holds every schedule."""
PAGES: dict[str, Callable[[Table, Flows], bytes]] = {"csv": lambda table, flows: csv_bytes(table), "html": html_bytes}
"""Writers of one schedule a file, by the ending of their files."""
FORMATS = (*PAGES, "xlsx")


def render(flows: Flows, formats: Sequence[str] = ("csv", "html")) -> dict[str, bytes]:
    """Every schedule in every format, by file name: circuits.csv, circuits.html, cables.csv …, and workbook.xlsx for `xlsx`.

    Raises ValueError for a format that nobody writes, NoWriter where its library is absent. No name of the site is part of a file name.
    """
    for name in formats:
        if name not in FORMATS:
            raise ValueError(f"no schedule is written as '{name}'; there are {', '.join(FORMATS)}")
    tables = [make(flows) for make in SCHEDULES.values()]
    files = {f"{table.name}.{name}": PAGES[name](table, flows) for table in tables for name in formats if name in PAGES}
    return {**files, WORKBOOK: xlsx_bytes(tables, flows)} if "xlsx" in formats else files
