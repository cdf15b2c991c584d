# SPDX-License-Identifier: MIT
"""index.html: the set as one page that needs nothing else. Diagrams to pan and zoom, lists to sort and filter, each lighting the other."""
from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256
from html import escape
from importlib import resources

from schedules.columns import Table
from schedules.write_html import headings, page_foot, printed_parts
from topology.errors import Unknown
from topology.flow import Flows
from topology.report import VERIFY

from sld.font import printable, subset
from sld.issue.attachments import Bound
from sld.issue.contents import Contents
from sld.issue.cover import what_it_is
from sld.issue.document import title_of
from sld.issue.index import kind_of, name_of
from sld.issue.page_front import front
from sld.issue.parts import parts
from sld.issue.reported import FINDING_TITLES, basis, finding_row
from sld.primitives import Scene, Sheet
from sld.sheet_info import sheet_info
from sld.svg import svg, texts

__all__ = ["page_bytes"]


def page_bytes(made: Contents, bound: Sequence[Bound]) -> bytes:
    """The page. Text from the site is escaped wherever it stands, and the script holds none of it."""
    info = sheet_info(made.flows, "", power=False, report=made.report)
    script, style = resource("page.js"), faces(sheet for scene in made.scenes for sheet in scene.sheets) + resource("page.css") + page_foot(made.flows)
    lines = ["<!DOCTYPE html>", '<html lang="en">', "<head>", '<meta charset="utf-8">',
             f'<meta http-equiv="Content-Security-Policy" content="{policy(script, style)}">',
             '<meta name="viewport" content="width=device-width">',
             f"<title>{plain(info.site)}: {plain(info.number)} {plain(info.revision)}</title>", f"<style>{style}</style>", "</head>", "<body>",
             "<header>", f"<h1>{plain(info.site)}</h1>", f'<div class="facts">{"".join(f"<p>{plain(line)}</p>" for line in [info.title, *what_it_is(made, info)])}</div>',
             '<div class="caution" role="note" aria-label="Caution">', *(f"<p>{plain(line)}</p>" for line in cautions(made)), "</div>",
             "</header>", *front(made), resource("page_tools.html"), "<main>",
             '<section id="drawings" aria-label="Drawings">', resource("page_zoom.html"), *drawings(made.scenes), "</section>",
             '<section id="lists" aria-label="Lists">', '<div class="top"><div class="tabs" role="tablist" aria-label="Lists"></div>',
             '<div class="zoom"><button type="button" id="list-alone" aria-pressed="false">List alone</button></div></div>', *lists(made, bound),
             "</section>", "</main>", f"<script>{script}</script>", "</body>", "</html>"]
    return ("\n".join(lines) + "\n").encode()


def plain(text: str) -> str:
    return escape(printable(text), quote=True)


def resource(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


def policy(script: str, style: str) -> str:
    """Nothing may be fetched, and nothing but our own script may run, whatever else should ever come into the page."""
    codes = [b64encode(sha256(text.encode()).digest()).decode() for text in (script, style)]
    return f"default-src 'none'; script-src 'sha256-{codes[0]}'; style-src 'sha256-{codes[1]}'; font-src data:; base-uri 'none'; form-action 'none'"


def faces(sheets: Iterable[Sheet]) -> str:
    """The font with the letters that any of the drawings uses."""
    letters: dict[bool, set[str]] = {False: set(), True: set()}
    for sheet in sheets:
        for text in texts(sheet):
            letters[text.bold].update(printable(text.text))
    return "".join(f"@font-face{{font-family:Lettering;font-weight:{'bold' if bold else 'normal'};"
                   f"src:url(data:font/ttf;base64,{b64encode(subset(''.join(used), bold)).decode()})}}\n" for bold, used in letters.items() if used)


def cautions(made: Contents) -> Iterator[str]:
    """What whoever opens the page has to know first."""
    if made.flows.sources:
        feeds = ", ".join([*([made.flows.root] if made.flows.root else []), *made.flows.sources])
        yield f"CAUTION. This site has several sources ({feeds}). Conductors can stay live after the main switch is opened."
    yield "Isolate every source, then prove dead at each point of work."
    status = getattr(made.flows.site.drawing, "status", None)
    if status != "as-built" if isinstance(status, str) else True:
        yield "NOT FOR ENERGISING until the status is as-built."
    yield VERIFY


# ---- drawings ----

def drawings(scenes: Sequence[Scene]) -> Iterator[str]:
    """Each sheet as a figure."""
    number = 0
    for scene in scenes:
        for sheet in scene.sheets:
            number += 1
            title = title_of(scene) + (f", sheet {sheet.number}" if len(scene.sheets) > 1 else "")
            several = f' data-sheet="{sheet.number}"' if len(scene.sheets) > 1 else ""
            yield f'<figure class="panel" id="sheet-{number}" data-name="{plain(title)}"{several}><figcaption>{plain(title)}</figcaption>'
            yield f'<div class="view" tabindex="0" role="group" aria-label="{plain(title)}: arrows move it, plus and minus zoom, 0 shows all">'
            yield inlined(svg(sheet, scene), f"s{number}")
            yield "</div></figure>"


def inlined(drawing: str, prefix: str) -> str:
    """A drawing as part of the page: its ids are its own, the font is the page's. No text of the site can hold the quotes that are looked for."""
    drawing = re.sub(r"<style>.*?</style>", "", drawing, count=1, flags=re.DOTALL)
    drawing = re.sub(r"<title>.*?</title>", "", drawing, count=1, flags=re.DOTALL)
    drawing = re.sub(r'<a xlink:href="[^"]*">|</a>', "", drawing)  # the page goes from sheet to sheet by the objects themselves
    drawing = re.sub(r' width="[\d.]+mm" height="[\d.]+mm"', "", drawing, count=1)
    drawing = drawing.replace(' id="', f' id="{prefix}-')
    drawing = drawing.replace(' data-id=""', "")
    return re.sub(r'(xlink:)?href="#', f'href="#{prefix}-', drawing)


# ---- lists ----

def lists(made: Contents, bound: Sequence[Bound]) -> Iterator[str]:
    """Schedules, findings, the index of ids and the files of the set, each as a panel with a table."""
    for table in made.tables:
        yield from panel(f"list-{table.name}", table.title, table.notes, headings(table), schedule_rows(table, made.flows), "".join(printed_parts(table)))
    found = ((with_parts(made.flows, finding.objects), [("", text) for text in finding_row(finding, made.report)]) for finding in made.report.findings)
    yield from panel("list-findings", "Findings", basis(made.report), plain_heads(FINDING_TITLES), found)
    ids = sorted({key for scene in made.scenes for sheet in scene.sheets for key in objects(sheet)}
                 | {row.id for table in made.tables for row in table.rows}, key=lambda key: (key.casefold(), key))
    known = ((with_parts(made.flows, (key,)), [("i", key), ("", kind_of(made.flows, key)), ("", name_of(made.flows, key))]) for key in ids)
    yield from panel("list-index", "Index of ids", (), plain_heads(("id", "what", "name")), known)
    yield from files(made, bound)


Rows = Iterable[tuple[Sequence[str], Sequence[tuple[str, str]]]]
"""Ids that a row speaks of, and its cells: class and text."""


def objects(sheet: Sheet) -> Iterator[str]:
    """The ids of all that is drawn on a sheet."""
    for drawn in (*sheet.areas, *sheet.wires, *sheet.symbols, *sheet.labels):
        if drawn.object:  # titles of a diagram stand for nothing on the site
            yield drawn.object


def with_parts(flows: Flows, ids: Sequence[str]) -> list[str]:
    """Ids, then what is drawn of those that have no symbol."""
    return list(dict.fromkeys([*ids, *(part for key in ids for part in parts(flows, key))]))


def schedule_rows(table: Table, flows: Flows) -> Rows:
    for row in table.rows:
        cells = []
        for number, (column, cell) in enumerate(zip(table.columns, row.cells, strict=True)):
            shown = column.show(cell)
            unknown = isinstance(cell, Unknown) and shown
            cells.append(("i" if not number else "o" if unknown else "n" if isinstance(cell, int | float) else "", shown))
        yield with_parts(flows, (row.id,)), cells


def panel(name: str, title: str, notes: Sequence[str], heads: str, rows: Rows, printed: str = "") -> Iterator[str]:
    """A list with its filter and its table. heads: cells of its heading; printed: what a print-out has in place of the table."""
    size = next((f" {word}" for word, least in (("widest", 30), ("wide", 18)) if heads.count("<th") >= least), "")
    parted = " parted" if printed else ""
    yield f'<section class="panel{size}{parted}" id="{name}" data-name="{plain(title)}"><h2>{plain(title)}</h2>'
    yield from noted(notes)
    written = [row_html(ids, cells) for ids, cells in rows]
    if written:
        yield f'<div class="bar"><label>Filter <input class="filter" type="search" aria-label="Filter {plain(title)}"></label>'
        yield '<span class="count" role="status"></span></div>'
        yield f'<div class="scroll"><table><thead><tr>{heads}</tr></thead><tbody>'
        yield from written
        yield f"</tbody></table></div>{printed}"
    else:
        yield "<p>Nothing of this kind.</p>"
    yield "</section>"


def plain_heads(titles: Sequence[str]) -> str:
    return "".join(f'<th scope="col">{plain(title)}</th>' for title in titles)


def noted(notes: Sequence[str]) -> Iterator[str]:
    """What the reader has to know: the first line always, the others on demand, so that the table is in sight."""
    if len(notes) > 1:
        yield f"<details open><summary>{plain(notes[0])} <b>{len(notes) - 1} more</b></summary>"
    yield from (f"<p>{plain(note)}</p>" for note in notes[1 if len(notes) > 1 else 0:])
    if len(notes) > 1:
        yield "</details>"


def row_html(ids: Sequence[str], cells: Sequence[tuple[str, str]]) -> str:
    inner = "".join(f'<td class="{kind}">{plain(text)}</td>' if kind else f"<td>{plain(text)}</td>" for kind, text in cells)
    return f'<tr data-ids="{plain(" ".join(ids))}">{inner}</tr>'


def files(made: Contents, bound: Sequence[Bound]) -> Iterator[str]:
    """What else lies in the folder, as links that work where the page lies beside it; attachments with their hash."""
    yield '<section class="panel" id="list-files" data-name="Files"><h2>Files of the set</h2>'
    yield "<p>The links work where this page lies in the folder of the set.</p><ul>"
    paths = sorted({"set.pdf", "manifest.json", *made.files} - {"index.html"})
    digests = {one.name: f": {one.title}, SHA-256 {one.digest}" for one in bound}
    yield from (f'<li><a href="{plain(address(path))}">{plain(path)}</a>{plain(digests.get(path, ""))}</li>' for path in paths)
    yield "</ul></section>"


def address(path: str) -> str:
    """A path of the set as a relative address that can mean nothing else."""
    from urllib.parse import quote

    return "./" + quote(path)
