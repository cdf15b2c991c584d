# SPDX-License-Identifier: MIT
"""A circuit at a TT supply that no residual current device protects."""
from __future__ import annotations

from ..electrical import solve
from ..errors import CannotTell, Finding
from ..flow import Flows
from ..rule import rule
from ..site import Circuit
from ..soil import soil_part
from ._electrical import is_final, is_spare
from ._sources import ensure_devices

__all__ = ["tt_circuit_without_rcd"]


@rule(each=Circuit, danger=True, limits=("tt-needs-rcd",))
def tt_circuit_without_rcd(circuit: Circuit, site: Flows) -> Finding | None:
    """Final circuit whose earth-fault current returns through the soil, with no residual current device before it.

    Why: the soil lets through a few ampere, which no circuit-breaker takes for a fault, so that metal parts stay live. Nothing is said where a
        loop impedance measured behind the electrode is low enough for the overcurrent device.
    Bad: in_line: [breaker: 16 A B 1P 6 kA] on a board whose supply is 1/N, with an electrode of its own
    Good: in_line: [rcbo: 16 A B 1P+N 30 mA type A 6 kA], or a time-delayed device before the board
    Source: IEC 60364-4-41, 411.5.2 (BS 7671, 411.5.2), as the profile says
    """
    name = getattr(circuit.load or circuit.feeds, "id", "")
    if is_spare(circuit) or not is_final(circuit, site) or circuit.status == "removed" or soil_part(name, site) is None:
        return None
    solved = solve(site)
    if name not in solved.tree.index or solved.faults.residual(solved.node(name)) is not None or _low_enough(name, site):
        return None
    ensure_devices(name, site)
    entry = site.profiles.find("tt-needs-rcd") or solved.given.figure("tt-needs-rcd")
    return Finding(circuit.mark, f"the earth-fault current of circuit '{circuit.id}' returns through the soil, and no residual current device is before it",
                   "put an rcd or rcbo before it", objects=(circuit.id, name), severity=entry.severity,
                   source=entry.reference)


def _low_enough(name: str, site: Flows) -> bool:
    """Whether the loop is known to be low enough for the overcurrent device."""
    solved = solve(site)
    try:
        node = solved.node(name)
        most = solved.faults.largest_loop(node)
        return most is not None and solved.faults.loop(node) <= most
    except CannotTell:
        return False
