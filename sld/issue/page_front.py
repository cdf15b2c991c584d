# SPDX-License-Identifier: MIT
"""The first sheet of the page when it is printed: what follows, and what the findings rest on. On a screen tabs say the first, a list the second."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from sld.counts import many
from sld.font import printable
from sld.issue.contents import Contents
from sld.issue.document import title_of
from sld.issue.reported import basis

__all__ = ["front"]


def front(made: Contents) -> Iterator[str]:
    """Lines of HTML."""
    yield '<section class="front" aria-label="Contents">'
    yield from listed("Drawings", [f"{title_of(scene)}: {many(len(scene.sheets), 'sheet')}" for scene in made.scenes])
    yield from listed("Lists", [f"{table.title}: {many(len(table.rows), 'row')}" for table in made.tables]
                      + [f"Findings: {len(made.report.findings)}", "Index of ids", "Files of the set"])
    yield from listed("Findings and assumptions", basis(made.report))
    yield "</section>"


def listed(title: str, lines: Sequence[str]) -> Iterator[str]:
    yield f"<div><h2>{escape(title)}</h2><ul>"
    yield from (f"<li>{escape(printable(line), quote=True)}</li>" for line in lines)
    yield "</ul></div>"
