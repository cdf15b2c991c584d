# SPDX-License-Identifier: MIT
"""Backed-up circuits that draw more than the inverter can give."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Electrical
from ..electrical.operating import rated_va
from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import HybridInverter, Load
from ._electrical import on_site, weight

__all__ = ["backup_overloaded"]


@rule(each=HybridInverter, severity="warning")
def backup_overloaded(inverter: HybridInverter, site: Flows) -> Iterator[Finding]:
    """Hybrid inverter whose backed-up loads draw more in a phase than it can give, running or while a motor starts.

    Why: it shuts down, and everything on the backup terminal is dark just when the supply has failed. Loads count as in maximum demand: with their
        diversity, and no more than the devices before them let through. A motor's start is counted where the type says what the inverter
        gives for a short time (surge). Where power or diversity is open, all loads at once may still be little enough.
    Bad: loads of 7 kW on the backup terminal of an inverter of 5 kVA
    Good: loads of 4 kW there, the oven on the grid side
    Source: common practice, no source
    """
    solved = on_site(site, f"{inverter.id}.backup")
    if solved is None:
        return
    node = solved.node(f"{inverter.id}.backup")
    most = rated_va(solved.given, inverter) / solved.given.u0 / max(1, len(solved.tree.phases(node)))
    drawn = _drawn(solved, node, most)
    if drawn > most * (1 + 1e-9):
        yield Finding(inverter.mark, f"what '{inverter.id}' backs up draws {drawn:.1f} A in a phase; it can give {most:.1f} A",
                      "move loads to the grid side, or say the diversity of the board", objects=(inverter.id,), severity=weight(inverter.status, firm=False),
                      numbers={"load": Number(round(drawn, 2), "A"), "rating": Number(round(most, 2), "A")})
    surge = site.type_of(inverter).surge
    if surge is not None and (start := _start(solved, node, drawn)) > surge:
        yield Finding(inverter.mark, f"while the largest motor starts, what '{inverter.id}' backs up draws {start:.1f} A; for a short time it "
                      f"gives {surge:g} A", "move the motor to the grid side, or start it softly", objects=(inverter.id,),
                      severity=weight(inverter.status, firm=False),
                      numbers={"load": Number(round(start, 2), "A"), "surge": Number(surge, "A")})


def _drawn(solved: Electrical, node: int, most: float) -> float:
    """The largest current in a phase of what is backed up [A]; all of it at once where that is not told but is little enough."""
    def in_a_phase(of: Electrical) -> float:
        of.voltages["demand"].told(node)
        return max((abs(of.cases["demand"].local[node][p]) for p in of.tree.phases(node)), default=0.0)
    try:
        return in_a_phase(solved)
    except CannotTell:
        at_once = in_a_phase(solved.at_once)
        if at_once > most:
            raise
        return at_once


def _start(solved: Electrical, node: int, drawn: float) -> float:
    """The current while the motor with the largest start runs up, everything else running [A]; what it draws running is not taken off."""
    behind = [n for n in range(node + 1, len(solved.tree.ids)) if node in solved.tree.up(n)]
    starts = [load.start for n in behind if isinstance(load := solved.tree.obj(n), Load) and load.start is not None]
    return drawn + max((float(start) for start in starts), default=0.0)
