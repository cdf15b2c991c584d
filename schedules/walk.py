# SPDX-License-Identifier: MIT
"""Every chain of a site with where it belongs, and every object in a chain, in the order of the file."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.site import Board, Chain, Circuit, EquipmentType, HybridInverter, Inverter, ModuleInverters, Own, Ported, Terminal

__all__ = ["Found", "Placed", "chains", "direct_current", "find", "kind_of", "members"]


@dataclass(frozen=True, eq=False)
class Placed:
    """A chain, the id of the board whose ways it counts in, and the id of the circuit whose local bar feeds it ("" for none)."""

    chain: Chain
    board: str = ""
    group: str = ""


@dataclass(frozen=True, eq=False)
class Found:
    """An object, and the chain that it is part of; `at` is None for one that stands in no chain."""

    obj: Any
    at: Placed | None = None

    @property
    def board(self) -> str:
        """Id of the board, "" for the supply."""
        return self.at.board if self.at else ""

    @property
    def circuit(self) -> str:
        """Id of the circuit, or of the supply."""
        return self.at.chain.id if self.at else ""


def chains(flows: Flows) -> Iterator[Placed]:
    """The supply, then each board's circuits, a group before what it feeds, then what is wired to the terminals of devices."""
    tops: list[Placed] = []
    if isinstance(flows.site.supply, Chain):
        tops.append(Placed(flows.site.supply))
    boards = flows.site.boards
    for board in [] if isinstance(boards, Unknown) else boards.values():
        if isinstance(board, Board):
            tops.extend(Placed(circuit, board.id) for circuit in _inner(board))
    for device in flows.objects.values():
        if isinstance(device, Ported) and isinstance(device.ports, dict):
            tops.extend(Placed(port) for port in device.ports.values() if isinstance(port, Terminal) and port.marks)
    stack = tops[::-1]
    while stack:
        placed = stack.pop()
        yield placed
        group = placed.chain.id if isinstance(placed.chain, Circuit) else ""
        stack.extend(Placed(circuit, placed.board, group) for circuit in reversed(_inner(placed.chain)))


def _inner(bar: Any) -> list[Chain]:
    """The circuits of a board or chain that could be read."""
    return [c for c in bar.circuits if isinstance(c, Chain)] if isinstance(bar.circuits, tuple) else []


def members(chain: Chain) -> Iterator[Own]:
    """What a chain consists of, in physical order, the equipment or load at its end included, and a trunk cable after it."""
    if isinstance(chain.in_line, tuple):
        yield from (item for item in chain.in_line if isinstance(item, Own))
    for end in (chain.feeds, chain.load):
        if isinstance(end, Own):
            yield end
    if isinstance(chain.feeds, ModuleInverters) and isinstance(chain.feeds.trunk, Own):
        yield chain.feeds.trunk
    if isinstance(chain.feeds, Inverter):
        yield from direct_current(chain.feeds)


def direct_current(inverter: Inverter | HybridInverter) -> Iterator[Own]:
    """Arrays and battery of an inverter, each after what stands between."""
    arrays = inverter.arrays if isinstance(inverter.arrays, tuple) else ()
    for leaf in (*arrays, getattr(inverter, "battery", None)):
        if isinstance(leaf, Own):
            between = getattr(leaf, "in_line", ())
            yield from (item for item in (between if isinstance(between, tuple) else ()) if isinstance(item, Own))
            yield leaf


def kind_of(flows: Flows, obj: Any) -> EquipmentType | Unknown | None:
    """The type of equipment that an object is of, of a protective device the one under `make`; None where it says none, or one that nobody knows.

    The type of an RCD is none.
    """
    said = getattr(obj, "make", None) if getattr(obj, "limits_current", False) or hasattr(obj, "residual") else getattr(obj, "type_", None)
    return flows.types.get(said.id) if isinstance(said, Said) else said if isinstance(said, Unknown) else None


def find(flows: Flows, cls: type) -> Iterator[Found]:
    """All objects of a class: those in chains, then any that stand in none (a board's main switch)."""
    seen: set[int] = set()
    for placed in chains(flows):
        for obj in members(placed.chain):
            if isinstance(obj, cls):
                seen.add(id(obj))
                yield Found(obj, placed)
    for obj in flows.objects.values():
        if isinstance(obj, cls) and id(obj) not in seen:
            yield Found(obj)
