# SPDX-License-Identifier: MIT
"""Table → one page of HTML that needs nothing else: no script, no network, no clock; it prints with its head on every page."""
from __future__ import annotations

from collections.abc import Iterator
from html import escape

from topology.flow import Flows

from .cautions import cautions, facts, is_open
from .columns import Column, Row, Table
from .nothing import nothing
from .write_csv import printable

__all__ = ["headings", "html_bytes", "page_foot", "printed_parts"]

WIDE = 12
"""Columns from which on the page prints on A3."""
WIDEST = 30
"""Columns from which on their headings print upright, so that the table fits A3 in letters of 7.5 points."""
MOST_FOOT = 90
"""Characters between the caution and the number of a printed page."""
STYLE = """
body{font:14px/1.4 sans-serif;color:#111;background:#fff;margin:24px}
h1{font-size:21px;margin:0 0 4px}
dl{display:flex;flex-wrap:wrap;gap:2px 28px;margin:0 0 10px}
dl div{display:flex;gap:6px}
dt{color:#555}
dd{margin:0}
.caution{border:2px solid #111;padding:6px 12px;margin:0 0 14px;max-width:960px}
.caution p{margin:2px 0}
table{border-collapse:collapse;font-size:13px}
th,td{border:1px solid #999;padding:3px 6px;text-align:left;vertical-align:top}
th{background:#eee;vertical-align:bottom}
td.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
td.i{font-weight:bold;white-space:nowrap}
.r8{min-width:4em}.r16{min-width:8em}.r24{min-width:13em}
td.o{font-weight:bold;background:#fff3c4}
@page{size:SHEET landscape;margin:12mm}
@media print{body{margin:0;font-size:9pt}table{font-size:7.5pt}thead{display:table-header-group}tr{break-inside:avoid}
th,td.o{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
"""
UPRIGHT = """@media print{th,td{padding:1px 3px}thead th{writing-mode:vertical-rl;white-space:nowrap;text-align:right;vertical-align:middle}
@supports(writing-mode:sideways-lr){thead th{writing-mode:sideways-lr;text-align:left}}}
"""


def html_bytes(table: Table, flows: Flows) -> bytes:
    """The table as the bytes of a page, with the facts of the title block and the cautions at its head."""
    style = STYLE.replace("SHEET", "A3" if len(table.columns) >= WIDE else "A4") + (UPRIGHT if len(table.columns) >= WIDEST else "") + page_foot(flows)
    head = facts(flows)
    lines = [
        "<!DOCTYPE html>", '<html lang="en">', "<head>", '<meta charset="utf-8">',
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'">',
        '<meta name="viewport" content="width=device-width">',
        f"<title>{_text(table.title)}: {_text(head['Site'])}</title>", f"<style>{style}</style>", "</head>", "<body>",
        f"<h1>{_text(table.title)}</h1>",
        "<dl>", *(f"<div><dt>{_text(name)}</dt><dd>{_text(value)}</dd></div>" for name, value in head.items()), "</dl>",
        '<div class="caution">', *(f"<p>{_text(line)}</p>" for line in cautions(table, flows)), "</div>",
        *_table(table), "</body>", "</html>"]
    return ("\n".join(lines) + "\n").encode("utf-8")


def page_foot(flows: Flows) -> str:
    """Style of the foot of each printed page, so that a loose one is known: caution, drawing with revision and status, number.

    Text of the site is escaped letter by letter (CSS Syntax Module, 4.3.7).
    """
    site, number, revision, status = facts(flows).values()
    letters = "".join(letter if letter.isascii() and letter.isalnum() else f"\\{ord(letter):x} "
                      for letter in printable(f"{number} rev. {revision}, {status}: {site}")[:MOST_FOOT])
    return ('@page{@bottom-left{content:"Isolate every source, then prove dead at each point of work. Verify under local rules.";font:bold 8pt sans-serif}'
            f'@bottom-center{{content:"{letters}";font:8pt sans-serif}}'
            '@bottom-right{content:counter(page) " of " counter(pages);font:8pt sans-serif}}\n')


def _text(text: str) -> str:
    return escape(printable(text), quote=True)


def printed_parts(table: Table) -> Iterator[str]:
    """The parts of a table that is too wide for paper, one below the other, for print alone; nothing for any other table.

    The page of a single schedule has none of them: it holds one table, as the CSV does.
    """
    parts = [part.lean() for part in table.printed()]
    if len(parts) == 1:
        return
    yield '<div class="printed" aria-hidden="true">'
    for part, said in parts:
        if part.title != table.title:
            yield f"<h2>{_text(part.title)}</h2>"
        yield from (f"<p>{_text(line)}</p>" for line in said)
        yield from _table(part)
    yield "</div>"


def _table(table: Table) -> Iterator[str]:
    yield "<table>"
    yield f"<thead><tr>{headings(table)}</tr></thead>"
    yield "<tbody>"
    for row in table.rows:
        cells = "".join(_cells(table, row))
        yield f'<tr data-id="{_text(row.id)}">{cells}</tr>'
    yield "</tbody>"
    yield "</table>"
    if not table.rows:
        yield f"<p>{_text(nothing(table.name))}</p>"


def headings(table: Table) -> str:
    """The cells of the heading."""
    return "".join(f'<th scope="col"{_room(column)}>{_text(column.title)}</th>' for column in table.columns)


def _room(column: Column) -> str:
    """The class that keeps a column wide enough to write in by hand."""
    wide = next((width for width in (8, 16, 24) if column.room <= width), 24)
    return f' class="r{wide}"' if column.room else ""


def _cells(table: Table, row: Row) -> Iterator[str]:
    for number, (column, cell) in enumerate(zip(table.columns, row.cells, strict=True)):
        kind = "i" if number == 0 else "o" if is_open(column, cell) else "n" if isinstance(cell, int | float) else ""
        yield f'<td class="{kind}">{_text(column.show(cell))}</td>' if kind else f"<td>{_text(column.show(cell))}</td>"
