# SPDX-License-Identifier: MIT
"""What a protective device carries for hours: its rating less what its type takes off beside others and in its enclosure."""
from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from ..dataclass import dataclass
from ..errors import Unknown
from ..flow import Flows
from ..kinds import Said, Way
from ..site import Board, Circuit
from .given import known
from .solved import Electrical

__all__ = ["Lasting", "carriers_beside", "energy_class", "lasting_rating", "let_through", "type_of_device"]


@dataclass(frozen=True, slots=True)
class Lasting:
    """Rating for hours [A]; factors: each with its reason; working: in words."""

    ampere: float
    working: str


def type_of_device(flows: Flows, device: Any) -> Any:
    """The type that a protective device says it is of (make:); None where it says none. Raises CannotTell where it is open."""
    said = getattr(device, "make", None)
    if said is None:
        return None
    known(said)
    return flows.types.get(said.id, Unknown(said.mark, f"type of {device.id}", silent=True))


def let_through(flows: Flows, device: Any) -> float | None:
    """Energy that a device lets through at the largest current of its place [A²s]: its own, else that of its type; None where neither says it.

    Raises CannotTell where it is TBC.
    """
    value = _said(flows, device, "let_through")
    return None if value is None else float(known(value))


def energy_class(flows: Flows, device: Any) -> float | None:
    """The energy limiting class of a circuit-breaker, 1 to 3: its own, else that of its type; None where neither says it. Raises CannotTell."""
    value = _said(flows, device, "energy_class")
    return None if value is None else float(known(value))


def _said(flows: Flows, device: Any, key: str) -> Any:
    """What a device says, else its type; None where neither does."""
    own = getattr(device, key, None)
    kind = type_of_device(flows, device) if own is None else None
    return own if kind is None else getattr(known(kind), key)


def lasting_rating(solved: Electrical, device: Any) -> Lasting:
    """What a device carries for hours on end [A]: rating × factor beside others × factor in its enclosure, as far as its type says them.

    A device counts as beside others where the circuit on the next way carries sun or storage for hours too, and where ways are not said.
    Source: the maker's document that the type names. Raises CannotTell where one of them is open.
    """
    rated = float(known(device.rating))
    factors = list(_factors(solved, device))
    ampere = rated * math.prod(share for _, share in factors)
    words = "".join(f" × {share:g} {reason}" for reason, share in factors)
    return Lasting(ampere, f"{rated:g} A{words} = {ampere:.1f} A" if factors else f"{rated:g} A")


def _factors(solved: Electrical, device: Any) -> Iterator[tuple[str, float]]:
    kind = type_of_device(solved.flows, device)
    if kind is None:
        return
    beside = known(kind).side_by_side
    if beside is not None and (near := carriers_beside(solved, device.id)):
        yield f"side by side with {', '.join(near)}", known(beside) / 100
    if kind.in_enclosure is not None:
        yield "in its enclosure", known(kind.in_enclosure) / 100


def carriers_beside(solved: Electrical, name: str) -> list[str]:
    """The circuits on the ways next to that of a device, which carry sun or storage for hours as well; any on its bar where a way is not said."""
    circuit = solved.flows.circuit_of.get(name)
    if circuit is None:
        return []
    bar = next((bar for bar in solved.flows.objects.values() if isinstance(bar, Board | Circuit) and isinstance(bar.circuits, tuple) and circuit in bar.circuits), None)
    others = [c for c in bar.circuits if isinstance(c, Circuit) and c is not circuit] if bar is not None else []
    return [other.id for other in others if _next_to(circuit.way, other.way) and _carries(solved, other)]


def _next_to(way: Any, other: Any) -> bool:
    """Whether two circuits stand on neighbouring ways; where one does not say its way they may."""
    return not isinstance(way, Way) or not isinstance(other, Way) or way.last + 1 == other.first or other.last + 1 == way.first


def _carries(solved: Electrical, circuit: Circuit) -> bool:
    """Whether a source or storage stands behind a circuit."""
    items = circuit.in_line if isinstance(circuit.in_line, tuple) else ()
    end = circuit.feeds
    names = [getattr(item, "id", "") for item in (*items, end) if not isinstance(item, Unknown) and not (item is end and isinstance(end, Said))]
    node = next((solved.tree.index[name] for name in (*names, f"{circuit.id}.bar") if name in solved.tree.index), None)
    return node is not None and solved.cases["export"].behind[node] > 0
