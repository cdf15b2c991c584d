# SPDX-License-Identifier: MIT
"""The busbar of a board: what its feed and its circuits can give to it and take from it, and its most loaded section."""
from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from ..busbar import Tap, busbar_sections, sum_of_sources
from ..errors import CannotTell, Unknown
from ..site import Board
from .solved import Electrical

__all__ = ["MOST_TWO_WAY", "taps_of", "worst_section"]

MOST_TWO_WAY = 10
"""taps that give and take: beyond this number the plain sum is taken instead of every order"""


def taps_of(solved: Electrical, board: Board) -> tuple[Tap, list[Tap]]:
    """The feed of a board, and its other taps in the order of the file. Raises CannotTell where a rating or a power is open."""
    node, tree = solved.node(board.id), solved.tree
    given, taken = _behind(solved)
    above = solved.rated(node)
    feed = Tap("feed", above if above is not None else float("inf"), given[node])
    found = []
    for child in solved.below[node]:
        device = next((rating for n in _down(solved, child) if (rating := _rating(solved, n)) is not None), float("inf"))
        found.append(Tap(tree.ids[child], min(given[child], device), min(taken[child], device)))
    return feed, found


def _rating(solved: Electrical, node: int) -> float | None:
    obj = solved.tree.obj(node)
    if not getattr(obj, "limits_current", False):
        return None
    if isinstance(obj.rating, Unknown):
        raise CannotTell(obj.rating)
    return float(obj.rating)


def _down(solved: Electrical, node: int) -> Iterator[int]:
    """A node and those behind it as long as the way does not branch."""
    while True:
        yield node
        below = solved.below[node]
        if len(below) != 1:
            return
        node = below[0]


def _behind(solved: Electrical) -> tuple[list[float], list[float]]:
    """For each node the largest current of any phase that everything behind it can give, and take [A]."""
    given, taken = solved.cases["export"], solved.cases["charging"]
    for case in (given, taken):
        if case.missing:
            raise CannotTell(next(iter(case.missing.values())))
    return given.reach, taken.reach


def worst_section(feed: Tap, ways: list[Tap], board: Board) -> tuple[float, str]:
    """The largest current of any section of a bar [A], and how it comes about; the worst order of the taps where the end of the feed is not said."""
    if isinstance(board.fed, str):
        order = [feed, *ways] if board.fed == "first" else [*ways, feed]
        worst = max(busbar_sections(order), key=lambda s: s.ampere)
        return worst.ampere, f"between {worst.left} and {worst.right}: {worst.working}"
    taps = [feed, *ways]
    two_way = [t for t in taps if t.gives and t.takes]
    if len(two_way) > MOST_TWO_WAY:
        return sum_of_sources(taps), "the plain sum of the sources, the order of the taps is not known"
    gives, takes = sum(t.gives for t in taps if not t.takes), sum(t.takes for t in taps if not t.gives)
    best = max(min(gives + sum(t.gives for t, s in zip(two_way, side, strict=True) if s),
                   takes + sum(t.takes for t, s in zip(two_way, side, strict=True) if not s)) for side in product((0, 1), repeat=len(two_way)))
    return best, "in the worst order of the taps"

