# SPDX-License-Identifier: MIT
"""A maximum demand above what the operator has set aside."""
from __future__ import annotations

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Board, Supply
from ._electrical import on_site

__all__ = ["allocation_exceeded"]


@rule(each=Supply, severity="warning")
def allocation_exceeded(supply: Supply, site: Flows) -> Finding | None:
    """Maximum demand of a phase above the allocation of the supply.

    Why: the service fuse or the main switch ends it on the coldest evening; a larger allocation takes the operator's time. Loads count with
        the diversity of their boards, and no more than the devices before them let through. Nothing is said
        where a board does not say its diversity: then nobody has worked out a demand.
    Bad: allocation: 63 A, and loads that draw 71 A at maximum demand
    Good: allocation: 80 A, or a load management that the diversity of the board tells
    Source: common practice, no source; demand by the diversity of the site file or its profile
    """
    if not isinstance(supply.allocation, float) or site.root is None or (solved := on_site(site, site.root)) is None:
        return None
    if any(board.diversity is None for board in site.all(Board) if board.circuits):
        return None
    node = solved.node(site.root)
    solved.voltages["demand"].told(node)
    drawn = max((abs(solved.cases["demand"].local[node][p]) for p in solved.tree.phases(node)), default=0.0)
    if drawn <= supply.allocation * (1 + 1e-9):
        return None
    return Finding(supply.marks["allocation"], f"maximum demand is {drawn:.1f} A in a phase, the allocation is {supply.allocation:g} A",
                   "ask the operator for more, or say the diversity that holds", objects=(supply.id,),
                   numbers={"demand": Number(round(drawn, 2), "A"), "allocation": Number(supply.allocation, "A")})
