# SPDX-License-Identifier: MIT
"""What an earlier edition of a set of sheets decided, so that the next one leaves everything where the reader knows it."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from topology.dataclass import dataclass

from sld.layout.model import Strip
from sld.primitives import Sheet
from sld.sheet.frame import Paper

__all__ = ["Kept", "kept"]


@dataclass(frozen=True, slots=True)
class Kept:
    """An earlier edition.

    paper : of its sheets
    page  : of each symbol by its id, from 0
    cut   : ids of the lines that were continued elsewhere
    part  : the section of a bar at which a line began, by the id of the line: the id of the bar, or that with .part and a number
    """

    paper: Paper
    page: Mapping[str, int]
    cut: frozenset[str]
    part: Mapping[str, str]

    @property
    def alone(self) -> bool:
        """Whether all stood on one sheet."""
        return not any(self.page.values())

    def breaks(self, bar: Strip) -> list[int]:
        """The places of the first strips of all sections of a bar but the first. What is new on a bar belongs to what stands before it."""
        found: list[int] = []
        seen: set[str] = set()
        for place, strip in enumerate(bar.children):
            part = self.part.get(strip.wire.id) if strip.wire else None
            if part and part not in seen:
                found += [place] if seen else []
                seen.add(part)
        return found

    def wanted(self, strips: Iterable[Strip]) -> int | None:
        """The page on which most of some strips stood; None where all are new."""
        pages = Counter(self.page[strip.id] for strip in strips if strip.id in self.page)
        return max(pages, key=lambda page: (pages[page], -page)) if pages else None


def kept(sheets: Sequence[Sheet]) -> Kept:
    """What a set of sheets decided. Raises IndexError where there are none."""
    first = sheets[0]
    page = {placed.id: sheet.number - 1 for sheet in sheets for placed in sheet.symbols if not placed.symbol.kind.startswith("reference")}
    cut = {placed.id.removesuffix(".from") for sheet in sheets for placed in sheet.symbols if placed.symbol.kind == "reference-from"}
    bars = {placed.id for sheet in sheets for placed in sheet.symbols if placed.symbol.kind in ("busbar", "branch")}
    part = {wire.id: wire.ends[0] for sheet in sheets for wire in sheet.wires if wire.ends[0] in bars}
    return Kept((first.size, first.width, first.height), page, frozenset(cut), part)
