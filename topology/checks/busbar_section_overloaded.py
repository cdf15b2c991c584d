# SPDX-License-Identifier: MIT
"""A busbar of which a piece may carry more than it can."""
from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from ..busbar import Tap, busbar_sections, sum_of_sources
from ..electrical import Electrical
from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Board
from ._electrical import on_site

__all__ = ["busbar_section_overloaded"]

MOST_TWO_WAY = 10
"""taps that give and take: beyond this number the plain sum is taken instead of every order"""


@rule(each=Board, danger=True, by_status=True, limits=("busbar-sum-factor",))
def busbar_section_overloaded(board: Board, site: Flows) -> Iterator[Finding]:
    """Busbar fed from several sides of which a section could carry more than the bar's rating.

    Why: the device of the supply sees only its own share; what solar and storage add on the same side of the loads passes it by and heats the bar.
        Each tap counts with what can come from it (the rating of its device, or the nameplate of what stands behind it where that is less)
        and with what can go into it. Where the board does not say at which end it is fed, the worst order of the taps counts.
    Bad: busbar: 80 A with the supply behind 63 A and solar behind 32 A on one side of the loads
    Good: the same with fed: first, and solar on the last way
    Source: Energy Safe Victoria, supplementary supplies and switchboards (63 A and 32 A load a section of an 80 A bar with 95 A)
    """
    solved = on_site(site, board.id)
    if solved is None or site.profiles.peek("busbar-source-factor") is not None:
        return  # busbar-overfed-far-end judges it where that overlay is named
    feed, ways = _taps(solved, board)
    if not any(tap.gives for tap in ways):
        return  # fed from one side: its device protects the bar, or another check speaks
    if isinstance(board.busbar, Unknown):
        raise CannotTell(board.busbar)
    factor = site.profiles.peek("busbar-sum-factor")
    most = board.busbar * (1.0 if factor is None or factor.value is None else factor.si)
    worst, words = _worst(feed, ways, board)
    if worst > most * (1 + 1e-9):
        yield Finding(board.marks.get("busbar", board.mark), f"a section of the busbar of '{board.id}' could carry {worst:.1f} A ({words}), its rating is "
                      f"{board.busbar:g} A", "put the sources at the far end of the bar from its feed (and say fed: first), lower a rating, or take a "
                      "larger bar", objects=(board.id, *(tap.id for tap in ways if tap.gives)),
                      numbers={"section": Number(round(worst, 2), "A"), "rating": Number(board.busbar, "A")})


def _taps(solved: Electrical, board: Board) -> tuple[Tap, list[Tap]]:
    """The feed of a board, and its other taps in the order of the file."""
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


def _worst(feed: Tap, ways: list[Tap], board: Board) -> tuple[float, str]:
    """The largest current of any section, and how it comes about."""
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

