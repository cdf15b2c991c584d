# SPDX-License-Identifier: MIT
"""A busbar of which a piece may carry more than it can."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical.bars import taps_of, worst_section
from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Board
from ._electrical import changed_by, on_site, weight

__all__ = ["busbar_section_overloaded"]


@rule(each=Board, danger=True, limits=("busbar-sum-factor",))
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
    feed, ways = taps_of(solved, board)
    if not any(tap.gives for tap in ways):
        return  # fed from one side: its device protects the bar, or another check speaks
    if isinstance(board.busbar, Unknown):
        raise CannotTell(board.busbar)
    factor = site.profiles.peek("busbar-sum-factor")
    most = board.busbar * (1.0 if factor is None or factor.value is None else factor.si)
    worst, words = worst_section(feed, ways, board)
    if worst > most * (1 + 1e-9):
        yield Finding(board.marks.get("busbar", board.mark), f"a section of the busbar of '{board.id}' could carry {worst:.1f} A ({words}), its rating is "
                      f"{board.busbar:g} A", "put the sources at the far end of the bar from its feed (and say fed: first), lower a rating, or take a "
                      "larger bar", objects=(board.id, *(tap.id for tap in ways if tap.gives)), severity=weight(changed_by(board, site)),
                      numbers={"section": Number(round(worst, 2), "A"), "rating": Number(board.busbar, "A")})
