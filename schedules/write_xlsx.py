# SPDX-License-Identifier: MIT
"""Tables → one workbook: a sheet of cautions first, then a sheet for each schedule with the rows of its CSV."""
from __future__ import annotations

import datetime
import io
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil
from textwrap import wrap
from typing import Any

from topology.errors import SiteError
from topology.flow import Flows

from .cautions import VERIFY, cautions, facts, is_open, site_cautions
from .columns import Cell, Column, Table, dotted
from .write_csv import printable

__all__ = ["NoWriter", "xlsx_bytes"]

A3, A4 = 8, 9
"""Paper sizes by the numbers that SpreadsheetML uses (ECMA-376, part 1, pageSetup)."""
ACROSS = {A4: 138, A3: 200}
"""Characters across a landscape page at full size: 277 and 400 mm between the margins, up to 2 mm each, as programs and printers differ."""
SMALLEST = 0.6
"""What a sheet may be shrunk to so that it stays legible; a wider one prints on several pages, each with the ids."""
NARROWEST, WIDEST = 5, 44
"""Widths of columns, in characters."""
PADDING = 0.72
"""What a column takes beside its characters: 5 pixels of 7 (XlsxWriter's documentation of set_column)."""
LINE = 15.0
"""Height of a line of the standard face [pt] (XlsxWriter's documentation of set_row); 409.5 is the most that a row can have."""
LETTER = 0.93
"""Width of a letter of running text beside that of a digit, by which columns are measured; bold ones are as wide. Measured on the standard face."""
MOST_HEADER = 48
"""Characters of one fact in a page header."""
MOST_TEXT = 32_767
"""Characters that a cell can hold. Source: XlsxWriter's documentation of write_string."""


class NoWriter(SiteError):
    """The library that writes workbooks is not installed."""


def xlsx_bytes(tables: Sequence[Table], flows: Flows) -> bytes:
    """The workbook as bytes. Numbers are numbers in the unit of their heading; text is never taken for a formula.

    Raises NoWriter where the extra `xlsx` is not installed.
    """
    try:
        import xlsxwriter
    except ImportError as error:
        raise NoWriter("workbooks need the extra 'xlsx': pip install 'lv-site-diagrams[xlsx]'") from error
    out = io.BytesIO()
    plain = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    book = xlsxwriter.Workbook(out, {"in_memory": True, **plain})
    head = facts(flows)
    book.set_properties({"title": f"Schedules: {printable(head['Site'])}", "created": _day(flows)})
    pens = {"head": book.add_format({"bold": True, "bg_color": "#eeeeee", "border": 1, "text_wrap": True, "valign": "bottom"}),
            "text": book.add_format({"text_wrap": True, "valign": "top", "border": 4}),
            "open": book.add_format({"bold": True, "bg_color": "#fff3c4", "valign": "top", "border": 4}),
            "title": book.add_format({"bold": True, "font_size": 16}),
            "bold": book.add_format({"bold": True, "text_wrap": True, "valign": "top"}),
            "plain": book.add_format({"text_wrap": True, "valign": "top"})}
    _cover(book.add_worksheet("Cautions"), tables, flows, pens)
    for table in tables:
        _sheet(book, table, head, pens)
    book.close()
    return out.getvalue()


def _day(flows: Flows) -> datetime.datetime:
    """The day of the last revision, so that the clock has no say."""
    revisions = dotted(flows.site.drawing, "revisions")
    day = dotted(revisions[-1], "date") if isinstance(revisions, tuple) and revisions else None
    return datetime.datetime(day.year, day.month, day.day) if isinstance(day, datetime.date) else datetime.datetime(2000, 1, 1)


def _cover(sheet: Any, tables: Sequence[Table], flows: Flows, pens: dict[str, Any]) -> None:
    """The first sheet: title block, what holds for the whole site, and what each schedule asks to be known."""
    rows = [("Schedules", "", "title"), *((name, value, "bold") for name, value in facts(flows).items()), ("", "", "plain")]
    rows += [("Caution", line, "bold") for line in (*site_cautions(flows), VERIFY)]
    rows.append(("", "", "plain"))
    for title, lines in _asked(tables, flows):
        rows += [(title if not n else "", line, "bold") for n, line in enumerate(lines or [""])]
    for number, (left, right, pen) in enumerate(rows):
        sheet.write_string(number, 0, printable(left), pens[pen])
        sheet.write_string(number, 1, printable(right)[:MOST_TEXT], pens["plain"])
        _height(sheet, number, [(left, 34), (right, 110 / LETTER)])
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 1, 110)
    _print_set_up(sheet, "Cautions", facts(flows), [34, 110])


def _asked(tables: Sequence[Table], flows: Flows) -> Iterator[tuple[str, list[str]]]:
    """What the reader of each table has to know; what an earlier one said is named."""
    said = dict.fromkeys((*site_cautions(flows), VERIFY), "")
    for table in tables:
        lines = [line for line in cautions(table, flows) if line not in said]
        earlier = dict.fromkeys(said[line] for line in table.notes if said.get(line))
        said |= dict.fromkeys(lines, table.title)
        yield table.title, [*lines, *(f"What is said of the {title.lower()} holds here too." for title in earlier)]


def _sheet(book: Any, table: Table, head: dict[str, str], pens: dict[str, Any]) -> None:
    sheet = book.add_worksheet(table.title[:31])
    texts = table.texts()
    widths: list[int] = []
    for number, column in enumerate(table.columns):
        shown = [row[number] for row in texts]
        cells = [row.cells[number] for row in table.rows]
        widths.append(max(column.room, _width(column.title, shown)))
        sheet.set_column(number, number, widths[-1])
        sheet.write_string(0, number, printable(column.title), pens["head"])
        amounts = book.add_format({"num_format": _number_format(column, shown, cells), "align": "right", "indent": 1, "valign": "top", "border": 4})
        for line, (cell, text) in enumerate(zip(cells, shown, strict=True), 1):
            _cell(sheet, (line, number), column, cell, text, {**pens, "number": amounts})
    _height(sheet, 0, [(column.title, width) for column, width in zip(table.columns, widths, strict=True)])
    for line, row in enumerate(texts, 1):
        _height(sheet, line, [(text, width / LETTER) for text, width in zip(row, widths, strict=True)])
    sheet.freeze_panes(1, 1)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.repeat_rows(0)
    sheet.repeat_columns(0)
    _print_set_up(sheet, table.title, head, widths, _starts(table.columns))


def _height(sheet: Any, row: int, cells: Sequence[tuple[str, float]]) -> None:
    """Room for all lines of a row, from its texts and the characters that their columns take; not every program finds it by itself."""
    lines = max(len(wrap(printable(text), max(int(room), 1))) for text, room in cells)
    if lines > 1:
        sheet.set_row(row, min(lines * LINE, 409.5))


def _cell(sheet: Any, at: tuple[int, int], column: Column, cell: Cell, text: str, pens: dict[str, Any]) -> None:
    if isinstance(cell, int | float):
        sheet.write_number(*at, float(text), pens["number"])
    elif text:
        sheet.write_string(*at, printable(text)[:MOST_TEXT], pens["open" if is_open(column, cell) else "text"])
    else:
        sheet.write_blank(*at, None, pens["text"])


def _number_format(column: Column, shown: list[str], cells: list[Cell]) -> str:
    """As many decimals as the finest number of a column has; what was typed stands as the trade writes it, 2.5 and 16."""
    numbers = [text for text, cell in zip(shown, cells, strict=True) if isinstance(cell, int | float)]
    decimals = max((len(text.partition(".")[2]) for text in numbers), default=0)
    if not decimals:
        return "0"
    return "General" if column.digits is None else f"0.{'0' * decimals}"


def _width(title: str, shown: list[str]) -> int:
    """Wide enough for the longest word of the heading and for most cells; longer text wraps."""
    word = max(len(word) for word in title.split())
    return min(WIDEST, max(NARROWEST, word + 2, *(len(text) + 2 for text in shown or [""])))


def _starts(columns: Sequence[Column]) -> list[int]:
    """Where the columns of each printed part begin, but for the first."""
    return [n for n, (before, column) in enumerate(pairwise(columns), 1) if column.part != before.part]


def _print_set_up(sheet: Any, title: str, head: dict[str, str], widths: Sequence[int], starts: Sequence[int] = ()) -> None:
    """Landscape on the smallest paper and the fewest pages that keep it legible, with the title block's facts on every page.

    widths : of the columns, in characters
    starts : columns that begin a part, which begins a page
    """
    sheet.set_landscape()
    taken = [width + PADDING for width in widths]
    parts = [taken[first:last] for first, last in pairwise([0, *starts, len(taken)])]
    across = max(sum(part) + (taken[0] if nth else 0.0) for nth, part in enumerate(parts))  # later pages repeat the ids
    paper = A4 if across * SMALLEST <= ACROSS[A4] else A3
    sheet.set_paper(paper)
    if len(parts) > 1 and across * SMALLEST <= ACROSS[paper]:
        sheet.set_print_scale(min(100, int(100 * ACROSS[paper] / across)))  # breaks count only where nothing is fitted to pages
        sheet.set_v_pagebreaks(list(starts))
    else:
        sheet.fit_to_pages(ceil(sum(taken) * SMALLEST / ACROSS[paper]), 0)
    sheet.set_margins(left=0.4, right=0.4, top=0.8, bottom=0.8)
    site, number, revision, status = (_in_header(text) for text in head.values())
    sheet.set_header(f"&L{site}&C{_in_header(title)}&R{number} rev. {revision}, {status}")
    sheet.set_footer(f"&L{VERIFY}&RPage &P of &N")


def _in_header(text: str) -> str:
    """Text of a page header, in which & begins a command and && is one; short, since a whole header holds 255 characters."""
    cut = printable(text).replace("&", "&&")[:MOST_HEADER]
    return cut[:-1] if (len(cut) - len(cut.rstrip("&"))) % 2 else cut
