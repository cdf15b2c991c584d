# SPDX-License-Identifier: MIT
"""The head of every schedule and of the workbook: facts of the title block, and what whoever reads it has to know first."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows

from .columns import Column, Table, dotted

__all__ = ["VERIFY", "cautions", "facts", "is_open", "site_cautions"]

VERIFY = "Have the work verified under local rules by a licensed person."


def facts(flows: Flows) -> dict[str, str]:
    """What the title block says of the issue, by its heading."""
    drawing = flows.site.drawing
    revisions = dotted(drawing, "revisions")
    last = revisions[-1] if isinstance(revisions, tuple) and revisions else None if isinstance(revisions, tuple) else revisions
    said = {"Site": dotted(flows.site.site, "name"), "Drawing": dotted(drawing, "number"), "Revision": dotted(last, "rev"),
            "Drawing status": dotted(drawing, "status")}
    return {name: _said(value) for name, value in said.items()}


def _said(value: Any) -> str:
    return Column("").show(value) or "not given"


def site_cautions(flows: Flows) -> Iterator[str]:
    """What holds for the whole site, in sentences, without the last one (VERIFY)."""
    if flows.sources:
        feeds = ", ".join([*([flows.root] if flows.root else []), *flows.sources])
        yield f"This site has several sources ({feeds}). Isolate every source, then prove dead at each point of work."
    else:
        yield "Isolate, then prove dead at each point of work."
    faults = sum(finding.severity == "error" for finding in flows.read.findings)
    if faults:
        yield f"The site file has {faults} fault{'s' if faults > 1 else ''} of reading: what could not be read may be missing here."


def cautions(table: Table, flows: Flows) -> Iterator[str]:
    """What whoever reads a schedule has to know first: of the site, of the schedule, and how much of it is open."""
    yield from site_cautions(flows)
    yield from table.notes
    cells = ((column, cell) for row in table.rows for column, cell in zip(table.columns, row.cells, strict=True))
    values = len({(cell.mark, cell.what) for column, cell in cells if isinstance(cell, Unknown) and is_open(column, cell)})
    if values:
        yield f"{values} value{'s are' if values > 1 else ' is'} to be confirmed (TBC)."
    yield VERIFY


def is_open(column: Column, cell: Any) -> bool:
    """Whether a cell prints TBC."""
    return isinstance(cell, Unknown) and column.show(cell) != ""
