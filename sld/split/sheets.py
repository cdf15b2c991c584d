# SPDX-License-Identifier: MIT
"""A forest as a set of sheets."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sld.layout.model import Drawn, Style
from sld.layout.tree import Arranged, arranged
from sld.primitives import Box, Sheet
from sld.sheet import DoesNotFit
from sld.sheet.frame import Paper, papers
from sld.sheet.info import SheetInfo
from sld.split.binding import Book, bound
from sld.split.kept import Kept
from sld.split.model import Forest, Room
from sld.split.packing import Spot, pack, pack_again
from sld.split.page import beside, free_box, merged, room_in
from sld.split.pieces import pieces, strips_of

__all__ = ["STYLES", "sheets"]

STYLES = tuple(Style(wrap, "centre", False) for wrap in (30.0, 25.0, 21.0))
"""in the order of how well they read"""
MANY = 600  # strips beyond which only the narrowest is tried
LEAST = 2.5  # by which a piece is cut smaller [mm]
Way = tuple[Sequence[Arranged], Sequence[Spot]]
"""pieces with their places"""
TRIES = 8  # how often a piece is cut smaller when its buses need more room than was thought


def sheets(forest: Forest, info: SheetInfo, size: str, kinds: Sequence[str] | None = None, before: Kept | None = None) -> tuple[Sheet, ...]:
    """The diagram on as many sheets of a size (A4 to A0) as it takes, with references both ways; the last one may be smaller.

    Boards stay whole where they fit. Notes, totals and legend stand once: on the first sheet that has room for them, else on one more.
    Of several styles that with the fewest sheets is taken, of these the one that reads best; a large set has one style.
    With an earlier edition (before) each device stays on its sheet as far as that holds it, on paper of the same size.
    Raises DoesNotFit where a part that cannot be cut is larger than the size.
    """
    found: list[tuple[Sheet, ...]] = []
    for paper in (before.paper,) if before else papers(size):  # A4 stands or lies
        try:
            found.append(on_paper(forest, info, paper, kinds, before))
        except DoesNotFit as fault:
            least = fault
    if not found:
        raise least
    return min(found, key=len)


def on_paper(forest: Forest, info: SheetInfo, paper: Paper, kinds: Sequence[str] | None, before: Kept | None) -> tuple[Sheet, ...]:
    """The diagram on sheets of this paper."""
    every, _ = beside(merged(()), info, kinds)
    box = free_box(paper, info, every)
    room = replace(room_in(paper, info, every, box), kept=before)
    book = Book(paper, info, kinds, box, frozenset(strip.id for root in forest.roots for strip in strips_of(root) if strip.pair))
    if not forest.roots:
        return bound([], book)
    few = sum(1 for root in forest.roots for _ in strips_of(root)) <= MANY
    made = [fitting(forest, room, style) for style in (STYLES if few else STYLES[-1:])]
    made = [one for one in made if all(piece.width <= room.width and piece.height <= room.height for piece in one)]
    if not made:
        raise DoesNotFit(f"a part of the drawing is larger than {paper[0]} allows beside its title block; choose a larger size, or leave it out")
    return again(made, room, before, book) if before else fewest([packed(one, room) for one in made], book)


def fewest(ways: Sequence[Way], book: Book) -> tuple[Sheet, ...]:
    """The first of the ways with the fewest sheets; notes and legend count too. Where these ask for one more, it may hold pieces as well."""
    least = min(map(last_sheet, ways))
    for made, spots in (way for way in ways if last_sheet(way) == least):
        found = bound(pages(made, spots, book.box), book)
        if len(found) == least + 1:
            return found
    more = [(made, spread(spots) if last_sheet((made, spots)) == least else spots) for made, spots in ways if last_sheet((made, spots)) <= least + 1]
    return min((bound(pages(made, spots, book.box), book) for made, spots in more), key=len)


def again(ways: Sequence[Sequence[Arranged]], room: Room, before: Kept, book: Book) -> tuple[Sheet, ...]:
    """The way in which the fewest devices change their sheet."""
    found: list[tuple[int, int, Way]] = []
    for made in ways:
        wanted = [before.wanted(node.strip for node in one.nodes) for one in made]
        spots = pack_again([(one.width, one.height) for one in made], wanted, room)
        moved = sum(before.page.get(node.strip.id, sheet) != sheet for one, (sheet, _, _) in zip(made, spots) for node in one.nodes)
        found.append((moved, max(sheet for sheet, _, _ in spots), (made, spots)))
    made, spots = min(found, key=lambda one: one[:2])[2]
    return bound(pages(made, spots, book.box), book)


def last_sheet(way: Way) -> int:
    return max(sheet for sheet, _, _ in way[1])


def spread(spots: Sequence[Spot]) -> list[Spot]:
    """Where one more sheet is needed for notes and legend, the last piece moves to it, if it does not stand alone."""
    *others, last = spots
    most = max(sheet for sheet, _, _ in spots)
    return [*others, (most + 1, 0.0, 0.0)] if any(sheet == last[0] for sheet, _, _ in others) else list(spots)


def packed(made: Sequence[Arranged], room: Room) -> Way:
    """Pieces with their places; none stands before the one that it is continued from."""
    begins = {node.strip.id: n for n, one in enumerate(made) for node in one.nodes if node.strip.pair}
    after = [begins.get(one.nodes[0].strip.pair) for one in made]
    return made, pack([(one.width, one.height) for one in made], room, after)


def pages(made: Sequence[Arranged], spots: Sequence[Spot], box: Box) -> list[tuple[list[Drawn], list[Box]]]:
    """What stands on each sheet, with the boxes that it takes."""
    found: list[tuple[list[Drawn], list[Box]]] = [([], []) for _ in range(1 + max(number for number, _, _ in spots))]
    for one, (number, x, y) in zip(made, spots):
        at = (box[0] + x, box[1] + y)
        found[number][0].append(one.drawn(*at))
        found[number][1].append((*at, at[0] + one.width, at[1] + one.height))
    return found


def fitting(forest: Forest, room: Room, style: Style) -> list[Arranged]:
    """All pieces laid out. Where one is too high with the channel of its buses, or too wide with its lanes, it is cut with that much less room."""
    within = room
    for attempt in range(TRIES):
        made = [arranged(piece.root, piece.nets, piece.enclosures, style) for piece in pieces(forest, within, style)]
        large = [one for one in made if one.height > room.height or one.width > room.width]
        if not large:
            break
        within = smaller(within, large, room, 2.0 ** max(0, attempt - 2))
    return made


def smaller(within: Room, large: Sequence[Arranged], room: Room, more: float) -> Room:
    """Less room for what was too large. What a cut saves is not known before: `more` than it was too large where that was not enough."""
    channels, narrower = dict(within.channels), dict(within.narrower)
    for one in large:
        if one.height > room.height:
            name = bar_of(one.head)
            channels[name] = max(one.channel, channels.get(name, 0.0) + more * max(LEAST, one.height - room.height))
        if one.width > room.width:
            less = more * max(LEAST, one.width - room.width)
            narrower |= {name: narrower.get(name, 0.0) + less for name in {bar_of(node.strip.id) for node in one.nodes}}
    return replace(within, channels=channels, narrower=narrower)


def bar_of(head: str) -> str:
    """A section of a bar is cut by the rules of the whole bar."""
    name, dot, part = head.rpartition(".")
    return name if dot and part.removeprefix("part").isdigit() and part.startswith("part") else head
