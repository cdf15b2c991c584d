# SPDX-License-Identifier: MIT
"""The index of ids: what each is, and on which pages of the set it is drawn and listed."""
from __future__ import annotations

from collections.abc import Sequence

from topology.flow import Flows

from sld.issue.flow import Heading, Paragraph
from sld.issue.grid import Grid
from sld.issue.leaves import Leaf, in_frame
from sld.sheet import SheetInfo

__all__ = ["index_leaves", "kind_of", "name_of"]

MOST = 6
"""Pages that are named for one id."""


def index_leaves(leaves: Sequence[Leaf], flows: Flows, info: SheetInfo, before: int) -> list[Leaf]:
    """The index on sheets. leaves: what it speaks of; before: pages that precede them."""
    drawn: dict[str, list[int]] = {}
    listed: dict[str, list[int]] = {}
    for number, leaf in enumerate(leaves, before + 1):
        for key, _ in leaf.anchors:
            kind, _, rest = key.partition(" ")
            if kind not in ("drawn", "listed"):
                continue
            where, key_id = (drawn, rest) if kind == "drawn" else (listed, rest.partition(" ")[2])
            where.setdefault(key_id, []).append(number)
    ids = sorted({*drawn, *listed}, key=lambda key: (key.casefold(), key))
    rows = tuple((key, kind_of(flows, key), name_of(flows, key), said(drawn.get(key, [])), said(listed.get(key, []))) for key in ids)
    links = {(n, c): f"page {pages[0]}" for n, key in enumerate(ids) for c, pages in ((3, drawn.get(key)), (4, listed.get(key))) if pages}
    title = "Index of ids"
    return in_frame(title, info, [Heading(title, 5.0, part=True), Paragraph("Numbers are pages of this set."),
                                  Grid(("id", "what", "name", "drawn on", "listed on"), rows, links=links)]) if rows else []


def said(pages: Sequence[int]) -> str:
    """Page numbers, each once."""
    once = list(dict.fromkeys(pages))
    return ", ".join(map(str, once[:MOST])) + (" …" if len(once) > MOST else "")


def kind_of(flows: Flows, key: str) -> str:
    """What an id stands for, in the words of the site file."""
    return str(getattr(flows.objects.get(key), "word", ""))


def name_of(flows: Flows, key: str) -> str:
    """The name that the site gives it, or nothing."""
    name = getattr(flows.objects.get(key), "name", "")
    return name if isinstance(name, str) else ""
