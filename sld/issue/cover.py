# SPDX-License-Identifier: MIT
"""The cover of the set: what it is, its cautions, its sheets, its attachments."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from hashlib import sha256

from schedules.cautions import site_cautions
from schedules.write_cautions import CAUTIONS

from sld.issue.attachments import Bound
from sld.issue.contents import Contents
from sld.issue.flow import Block, Heading, Paragraph
from sld.issue.grid import Grid
from sld.issue.leaves import Leaf, in_frame
from sld.issue.reported import basis
from sld.sheet import SheetInfo

__all__ = ["cover", "what_it_is"]


def cover(made: Contents, info: SheetInfo, leaves: Sequence[Leaf], before: int, bound: Sequence[Bound]) -> list[Leaf]:
    """The cover. leaves: all that follow it; before: pages of the cover itself."""
    return in_frame("Cover", info, blocks(made, info, leaves, before, bound), 2, brief=False)


def what_it_is(made: Contents, info: SheetInfo) -> list[str]:
    """Number, revision, date, status and purpose, in lines."""
    lines = [f"Drawing {info.number}, revision {info.revision} of {info.date}", f"Status: {info.status or 'not stated'}"]
    if info.address:
        lines.append(f"Address: {info.address}")
    if info.connection:
        lines.append(f"Connection identifier: {info.connection}")
    if made.purpose.title:
        lines.append(f"Issued for: {made.purpose.title.lower()}")
    return lines


def documents(leaves: Sequence[Leaf], before: int) -> list[tuple[int, int, str, str]]:
    """First and last page, title and sizes of each document."""
    found: dict[str, list[tuple[int, str]]] = {}
    for number, leaf in enumerate(leaves, before + 1):
        for title in leaf.holds:
            found.setdefault(title, []).append((number, leaf.sheet.size))
    return [(pages[0][0], pages[-1][0], title, ", ".join(dict.fromkeys(size for _, size in pages))) for title, pages in found.items()]


def attached(one: Bound) -> str:
    """An attachment in a sentence, with the hash of its file."""
    shows = f", shows {' '.join(one.shows)}" if one.shows else ""
    listed = "" if one.image or one.sizes else ", beside this document only"
    return f"{one.name}: {one.title} ({one.kind}){shows}{listed}, SHA-256 {one.digest}"


def blocks(made: Contents, info: SheetInfo, leaves: Sequence[Leaf], before: int, bound: Sequence[Bound]) -> Iterator[Block]:
    yield Heading(info.site or "Site without a name", 7.0)
    if info.title and info.title != info.site:
        yield Heading(info.title, 5.0)
    yield from (Paragraph(line) for line in what_it_is(made, info))
    yield from errors_found(made)
    yield Heading("Sheets")
    yield sheet_list(documents(leaves, before), info.revision)
    if bound:
        yield Heading("Attachments")
        yield from (Paragraph(attached(one)) for one in bound)
    yield from beside(made)


def errors_found(made: Contents) -> Iterator[Block]:
    """What cannot be overlooked: that the checks found errors."""
    errors = made.report.counts["error"]
    if errors:
        yield Heading(f"{errors} ERROR{'S' if errors > 1 else ''} FOUND", 7.0)
        yield Paragraph("Build and energise nothing from this set until a licensed person has settled each of them.", True, "part Findings and assumptions")


def sheet_list(listed: Sequence[tuple[int, int, str, str]], revision: str) -> Grid:
    """Each document with its pages; all sheets of a set bear the same revision."""
    rows = tuple((str(first) if first == last else f"{first} to {last}", title, revision, size) for first, last, title, size in listed)
    return Grid(("page", "title", "rev.", "size"), rows, links={(n, c): f"page {first}" for n, (first, *_) in enumerate(listed) for c in (0, 1)})


def beside(made: Contents) -> Iterator[Block]:
    """What whoever takes the set up has to know before the sheets."""
    yield Heading("Cautions", aside=True)
    yield from (Paragraph(line, True) for line in site_cautions(made.flows))
    yield Paragraph("The sheets and files of this set belong together: use none of them without its cautions.")
    yield Heading("Findings and assumptions")
    first, *others = basis(made.report)
    yield Paragraph(first, True, "part Findings and assumptions")
    yield from (Paragraph(line) for line in others)
    if made.left_out:
        yield Heading("Left out")
        yield from (Paragraph(line) for line in made.left_out)
    yield Heading("Files of this set")
    yield from (Paragraph(line) for line in files(made))


def files(made: Contents) -> Iterator[str]:
    """What stands beside the document, and the mark by which the site file is known again."""
    endings = {path.rpartition(".")[2].upper() for path in made.files if path.startswith("drawings/")}
    lists = {path.rpartition(".")[2].upper() for path in made.files if path.startswith("schedules/") and not path.endswith(CAUTIONS)}
    yield f"drawings/: each sheet as {', '.join(sorted(endings))}; schedules/: each list as {', '.join(sorted(lists))}, and {CAUTIONS}."
    book = "workbook.xlsx: all lists; " if "workbook.xlsx" in made.files else ""
    yield f"{book}index.html: diagrams, lists and findings to search; findings.json; manifest.json: every file with its SHA-256."
    yield f"site.yaml, from which all of this is made: SHA-256 {sha256(made.files['site.yaml']).hexdigest()}"
