# SPDX-License-Identifier: MIT
"""Pieces of a diagram onto sheets: side by side and below each other in reading order, on one sheet where they fit, else on several."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from sld.layout import Drawn
from sld.layout.move import moved
from sld.primitives import Scene, Sheet
from sld.sheet import DoesNotFit, SheetInfo, compose
from sld.sheet.compose import try_sheet
from sld.sheet.frame import SIZES, Paper, papers
from sld.split.binding import Book, Filled, bound
from sld.split.packing import pack
from sld.split.page import beside, free_box, merged, room_in

__all__ = ["paged", "shelved"]

APART = 10.0  # between two pieces [mm]
LIMITS = (198.0, 380.0, 560.0, 800.0)  # widths of a shelf that are tried [mm]
ONE_SHEET = ("A4", "A3", "A2")
LARGEST = ONE_SHEET[-1]  # that holds several pieces; a larger one is only taken for a piece that needs it
MOST = 560.0 * 400.0  # area of pieces that may come onto one sheet at all: A2 [mm²]


def paged(diagram: str, info: SheetInfo, pieces: Sequence[Drawn], others: Sequence[Sequence[Drawn]] = (),
          smaller: Sequence[Sequence[Drawn]] = ()) -> Scene:
    """A scene of one sheet up to A2, or of as few as it takes. A piece that is larger than A2 has a sheet of its own that is large enough.

    Where the site asks for a size, all sheets have that.

    pieces : each from (0, 0), in reading order, at least one; their ids are unique among all pieces
    others : the same pieces in other proportions, for a sheet that holds all of them
    smaller : the same in more pieces, for sheets of a size that was asked for and is too small for the others
    """
    title = f"{info.number} {info.title}".strip()
    if info.paper:
        return Scene(diagram, title, asked(info, (*others, pieces), smaller), info.creator)
    if len(pieces) == 1 or sum(piece.width * piece.height for piece in pieces) <= MOST:
        sheet = compose([form for group in (*others, pieces) for form in forms(group)], info)
        if len(pieces) == 1 or sheet.size in ONE_SHEET:
            return Scene(diagram, title, (sheet,), info.creator)
    groups = list(grouped(pieces, info))
    sheets = tuple(one_of(group, replace(info, sheet=n, sheets=len(groups))) for n, group in enumerate(groups, 1))
    return Scene(diagram, title, sheets, info.creator)


def asked(info: SheetInfo, groups: Sequence[Sequence[Drawn]], smaller: Sequence[Sequence[Drawn]]) -> tuple[Sheet, ...]:
    """Sheets of the size asked for: one, if all pieces fit on it in one of their forms, else as few as hold them in one of these.

    Raises DoesNotFit where a piece is larger than a sheet in each of its forms.
    """
    try:
        return (compose([form for group in groups for form in forms(group)], info),)
    except DoesNotFit as fault:
        refused = fault
    for some in (groups, *([group] for group in smaller)):
        found: list[tuple[Sheet, ...]] = []
        for paper, group in product(papers(info.paper), some):
            try:
                found.append(on_paper(info, paper, group))
            except DoesNotFit as fault:
                refused = fault
        if found:
            return min(found, key=len)
    raise refused


def on_paper(info: SheetInfo, paper: Paper, pieces: Sequence[Drawn]) -> tuple[Sheet, ...]:
    """Pieces in their order over as few sheets of this paper as hold them."""
    every, _ = beside(merged(()), info, None)
    box = free_box(paper, info, every)
    room = room_in(paper, info, every, box)
    large = next((piece for piece in pieces if piece.width > room.width or piece.height > room.height), None)
    if large is not None:
        raise DoesNotFit(f"a part of the drawing is {large.width:.0f} × {large.height:.0f} mm, larger than {paper[0]} allows beside its title block; "
                         "choose a larger size, or leave it out")
    filled: list[Filled] = []
    for piece, (number, x, y) in zip(pieces, pack([(piece.width, piece.height) for piece in pieces], room)):
        if number == len(filled):
            filled.append(([], []))
        at = (box[0] + x, box[1] + y)
        filled[number][0].append(moved(piece, *at))
        filled[number][1].append((*at, at[0] + piece.width, at[1] + piece.height))
    return bound(filled, Book(paper, info, None, box, frozenset()))


def one_of(group: Sequence[Drawn], info: SheetInfo) -> Sheet:
    return compose(forms(group), info)


def forms(pieces: Sequence[Drawn]) -> list[Drawn]:
    """The same pieces on shelves of several widths, each form once."""
    found: list[Drawn] = []
    for limit in LIMITS:
        form = shelved(pieces, limit)
        if all((form.width, form.height) != (other.width, other.height) for other in found):
            found.append(form)
    return found


def grouped(pieces: Sequence[Drawn], info: SheetInfo) -> Iterator[list[Drawn]]:
    """Pieces that stand together on a sheet, in their order: as many as A2 holds with all that stands beside them."""
    group: list[Drawn] = []
    number = 1
    for piece in pieces:
        if group and not holds([*group, piece], replace(info, sheet=number, sheets=len(pieces))):
            yield group
            group, number = [], number + 1
        group.append(piece)
    yield group


def holds(group: Sequence[Drawn], info: SheetInfo) -> bool:
    """Whether a sheet A2 has room for these pieces."""
    if sum(piece.width * piece.height for piece in group) > MOST:
        return False
    return any(try_sheet(form, info, None, LARGEST, *SIZES[LARGEST]) for form in forms(group))


def shelved(pieces: Sequence[Drawn], limit: float) -> Drawn:
    """Pieces as one drawing, row by row about as wide as limit [mm]."""
    x = y = deep = right = 0.0
    placed: list[Drawn] = []
    for piece in pieces:
        if x and x + piece.width > limit:
            x, y, deep = 0.0, y + deep + APART, 0.0
        placed.append(moved(piece, x, y))
        x, deep, right = x + piece.width + APART, max(deep, piece.height), max(right, x + piece.width)
    return Drawn(tuple(s for p in placed for s in p.symbols), tuple(w for p in placed for w in p.wires),
                 tuple(t for p in placed for t in p.labels), tuple(a for p in placed for a in p.areas),
                 tuple(m for p in placed for m in p.marks), right, y + deep, frozenset().union(*(p.uses for p in placed)))
