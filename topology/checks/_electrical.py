# SPDX-License-Identifier: MIT
"""What the electrical checks share: how much a finding weighs, and the way to the computation of a site."""
from __future__ import annotations

from collections.abc import Callable, Iterator

from ..capacity import Capacity
from ..conductors import PE, PEN
from ..electrical import Electrical, solve
from ..electrical.conductors_of import parts_of
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..kinds import Said
from ..site import Board, Cable, CablePart, Changeover, Circuit, Coupler, Load, Terminal

__all__ = ["CAUTION", "cables_fed", "is_final", "is_spare", "on_site", "protective", "told_capacity", "weight"]

CAUTION = "steady state, no harmonics; tables of topology/tables, the licensed edition prevails"


def weight(firm: bool) -> str:
    """Severity by what it rests on: a figure known from memory alone can warn, never refuse."""
    return "error" if firm else "warning"


def on_site(flows: Flows, name: str) -> Electrical | None:
    """The computation where the supply reaches a node in normal operation; None where it does not: not-fed says that."""
    solved = solve(flows)
    return solved if name in solved.tree.index else None


def cables_fed(cable: Cable, flows: Flows) -> Iterator[tuple[Electrical, int, CablePart, int]]:
    """The parts of a cable in the power layer: the computation, the node behind it, the part and its number from 1."""
    solved = solve(flows)
    node = solved.tree.cables.get(cable.id)
    if node is not None:
        for number, part in enumerate(parts_of(cable), 1):
            yield solved, node, part, number


def told_capacity(solved: Electrical, node: int, part: CablePart, passes: Callable[[float], bool]) -> tuple[Capacity, str] | None:
    """The capacity of a part that does not pass, with what to add to the message; None where it passes.

    Where material, insulation or way of laying is open: passes when even the smallest capacity does, fails when even the largest does not;
    raises CannotTell between the two, and for a ring that its cable alone would not carry.
    """
    circuit = solved.flows.circuit_of.get(solved.tree.ids[node])
    low, high, open_ = solved.capacity_range(node, part)
    if passes(low.ampere):
        return None
    if circuit is not None and circuit.ring is True:
        raise CannotTell(Unknown(circuit.mark, f"how the current divides in the ring of {circuit.id}", given=False))
    if open_ is None:
        return low, ""
    if passes(high.ampere):
        raise CannotTell(open_)
    return high, f"; {open_.what} is not known, this is the largest that it can be"


def is_final(circuit: Circuit, flows: Flows) -> bool:
    """Whether a circuit ends at a load or a piece of equipment, not at a board or a local bar, nor at a device that passes it on to a board."""
    if isinstance(circuit.feeds, Said):
        at = flows.objects.get(circuit.feeds.id)
        device = flows.objects.get(circuit.feeds.id.partition(".")[0]) if isinstance(at, Terminal) else at
        return not isinstance(device, Board | Changeover | Coupler)
    return circuit.load is not None or circuit.feeds is not None


def is_spare(circuit: Circuit) -> bool:
    """Whether nothing is connected."""
    return isinstance(circuit.load, Load) and isinstance(circuit.load.kind, str) and circuit.load.kind == "spare"


def protective(mask: int) -> bool:
    """Whether a link carries a protective conductor."""
    return bool(mask & (PE | PEN))
