# SPDX-License-Identifier: MIT
"""A main switch that does not hold the site to its allocation."""
from __future__ import annotations

from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Breaker, Supply, Switching

__all__ = ["main_switch_not_allocation"]


@rule(each=Supply, limits=("main-switch-rated-to-allocation",))
def main_switch_not_allocation(supply: Supply, site: Flows) -> Finding | None:
    """Main switch that is no circuit-breaker of the allocation, where the operator asks for one.

    Why: the operator has set aside the allocation and no more; a switch does not hold the site to it.
    Bad: allocation: 63 A, and switch: {id: Q1, rating: 63 A 1P} in the supply's chain
    Good: allocation: 63 A, and breaker: {id: Q1, rating: 63 A C 1P 6 kA}
    Source: Western Power, notice on main switch circuit-breakers, February 2022
    """
    entry = site.profiles.find("main-switch-rated-to-allocation")
    if entry is None or entry.value is not True:
        return None
    items = supply.in_line if isinstance(supply.in_line, tuple) else (supply.in_line,)
    if unknown := next((i for i in items if isinstance(i, Unknown)), None):
        raise CannotTell(unknown)
    switches = [i for i in items if isinstance(i, Switching)]
    if not switches:
        return None
    switch = switches[-1]
    if isinstance(switch, Breaker) and switch.rating == supply.allocation:
        return None
    kind = switch.word if not isinstance(switch, Breaker) else f"{switch.word} of {switch.rating:g} A"
    return Finding(switch.mark, f"main switch '{switch.id}' is a {kind}, the allocation is {supply.allocation + 0:g} A",
                   f"breaker: {supply.allocation + 0:g} A as main switch", objects=(switch.id, supply.id), source=entry.reference,
                   severity=entry.severity,
                   numbers={"rating": Number(None if isinstance(switch.rating, Unknown) else switch.rating, "A"), "allocation": Number(supply.allocation, "A")})
