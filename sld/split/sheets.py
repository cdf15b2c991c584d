# SPDX-License-Identifier: MIT
"""A forest as a set of sheets."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sld.layout.model import Drawn, Style
from sld.layout.tree import Arranged, arranged
from sld.primitives import Box, Sheet
from sld.sheet.info import SheetInfo
from sld.split.model import Forest, Room
from sld.split.packing import pack
from sld.split.page import Page, beside, free_box, merged
from sld.split.pieces import pieces, strips_of
from sld.split.references import resolved

__all__ = ["STYLES", "sheets"]

STYLES = tuple(Style(wrap, "centre", False) for wrap in (30.0, 25.0, 21.0))
"""in the order of how well they read"""
MANY = 600  # strips beyond which only the narrowest is tried
TRIES = 4  # how often a piece is cut smaller when its buses need more room than was thought


def sheets(forest: Forest, info: SheetInfo, size: str, kinds: Sequence[str] | None = None) -> tuple[Sheet, ...]:
    """The diagram on as many sheets of a size (A4 to A0) as it takes, with references both ways.

    Boards stay whole where they fit. Notes, totals and legend stand once: on the first sheet that has room for them, else on one more.
    """
    few = sum(1 for root in forest.roots for _ in strips_of(root)) <= MANY
    found: list[tuple[Sheet, ...]] = []
    for style in STYLES if few else STYLES[-1:]:
        found.append(in_style(forest, info, size, kinds, style))
        if len(found[-1]) == 1:
            break
    return min(found, key=len)


def in_style(forest: Forest, info: SheetInfo, size: str, kinds: Sequence[str] | None, style: Style) -> tuple[Sheet, ...]:
    """All sheets in one style. That with the fewest sheets is taken, of these the one that reads best; a large set has one style."""
    every, _ = beside(merged(()), info, kinds)
    box = free_box(size, info, every)
    room = Room(box[2] - box[0], box[3] - box[1])
    made = fitting(forest, room, style)
    pages: list[tuple[list[Drawn], list[Box]]] = []
    for one, (number, x, y) in zip(made, pack([(one.width, one.height) for one in made], room)):
        if number == len(pages):
            pages.append(([], []))
        at = (box[0] + x, box[1] + y)
        pages[number][0].append(one.drawn(*at))
        pages[number][1].append((*at, at[0] + one.width, at[1] + one.height))
    return bound(pages, info, size, kinds)


def fitting(forest: Forest, room: Room, style: Style) -> list[Arranged]:
    """All pieces laid out; where one is too large after all, everything is cut smaller."""
    within = room
    for _ in range(TRIES):
        made = [arranged(piece.root, piece.nets, piece.enclosures, style) for piece in pieces(forest, within, style)]
        over = max((one.height - room.height for one in made), default=0.0), max((one.width - room.width for one in made), default=0.0)
        if max(over) <= 0:
            break
        within = Room(within.width - max(0.0, over[1]), within.height - max(0.0, over[0]))
    return made


def bound(pages: Sequence[tuple[list[Drawn], list[Box]]], info: SheetInfo, size: str, kinds: Sequence[str] | None) -> tuple[Sheet, ...]:
    """Pages with all that stands beside the drawing, numbered, their references filled in."""
    drawn = [merged(parts) for parts, _ in pages]
    every, once = beside(merged(drawn), info, kinds)
    made = [Page(size, info, one, tuple(boxes)) for one, (_, boxes) in zip(drawn, pages)]
    host = next((number for number, page in enumerate(made) if page.sheet([*every, *once])), len(made))
    if host == len(made):
        made.append(Page(size, info, merged(()), ()))
    numbered = [replace(page, info=replace(info, sheet=number, sheets=len(made))) for number, page in enumerate(made, 1)]
    found = [page.sheet(beside(merged(()), page.info, kinds)[0] + (once if number == host else [])) for number, page in enumerate(numbered)]
    assert all(found)
    return resolved([sheet for sheet in found if sheet], dict(pair for one in drawn for pair in one.pairs))
