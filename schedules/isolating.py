# SPDX-License-Identifier: MIT
"""What isolates the sources of a site: their switches in the order from the source outwards, and on the direct-current side."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said, Way
from topology.site import (Array, Battery, Board, Breaker, Changeover, Circuit, Coupler, FuseSwitch, Generator, HybridInverter, Inlet,
                           Isolator, Own, Ported, Rcbo, Rcd, Supply, Switch)

__all__ = ["BY_HAND", "SourceSwitches", "called", "grid_switch", "in_full", "main_board", "source_switches", "surroundings"]

BY_HAND = (Breaker, Rcbo, Rcd, Switch, Isolator, FuseSwitch)
"""Devices that a person can turn off; a disconnection device opens by itself and is none."""


@dataclass(frozen=True)
class SourceSwitches:
    """The switches of one source, by id. outwards: from the source to its board; backup: at a terminal that feeds without the supply;
    direct_current: (switch or None, array or battery) pairs; board: the first board that it reaches, "" where there is none.
    """

    source: str
    outwards: tuple[str, ...]
    backup: tuple[str, ...]
    direct_current: tuple[tuple[str | None, str], ...]
    board: str

    @property
    def main(self) -> str | None:
        """The switch next to the board."""
        return self.outwards[-1] if self.outwards else None

    @property
    def local(self) -> str | None:
        """The switch next to the source, where it is another one."""
        return self.outwards[0] if len(self.outwards) > 1 else None


def source_switches(flows: Flows) -> tuple[SourceSwitches, ...]:
    """The switches of every source, in the order of the file."""
    return tuple(_of_source(flows, source) for source in flows.sources)


def _of_source(flows: Flows, source: str) -> SourceSwitches:
    obj = flows.obj(source)
    away = isinstance(obj, Generator | Inlet)
    start = f"{source}.grid" if isinstance(obj, HybridInverter) else source
    trail = _downstream(flows, f"{source}.out") if away else flows.upstream_to_bar(start) if start in flows.graph else []
    board = next((node for node in trail if isinstance(flows.obj(node), Board)), "")
    backup = _downstream(flows, f"{source}.backup") if isinstance(obj, HybridInverter) else []
    return SourceSwitches(source, _by_hand(flows, trail), _by_hand(flows, backup), tuple(_direct_current(obj)), board)


def _by_hand(flows: Flows, trail: list[str]) -> tuple[str, ...]:
    return tuple(node for node in trail if isinstance(flows.obj(node), BY_HAND))


def _downstream(flows: Flows, node: str) -> list[str]:
    """What follows a terminal, as far as there is one way only and no board or other device with terminals."""
    found: list[str] = []
    while node in flows.graph:
        edges = flows.graph.out_edges(node, data=True)
        after = [v for _, v, data in edges if data["layer"] == "power" and v not in found and not isinstance(flows.obj(v), HybridInverter)]
        if len(after) != 1 or not isinstance(flows.obj(after[0]), Board | Own):
            break
        node = after[0]
        found.append(node)
        if isinstance(flows.obj(node), Board) or "." in node and node.partition(".")[0] in flows.objects and _is_terminal(flows, node):
            break
    return found


def _is_terminal(flows: Flows, node: str) -> bool:
    return isinstance(flows.objects.get(node.partition(".")[0]), Changeover | Coupler | HybridInverter)


def _direct_current(obj: Any) -> Iterator[tuple[str | None, str]]:
    """For each array and battery of an inverter the switch nearest to the inverter."""
    arrays = getattr(obj, "arrays", ())
    leaves = [*(arrays if isinstance(arrays, tuple) else ()), getattr(obj, "battery", None)]
    for leaf in leaves:
        if isinstance(leaf, Array | Battery):
            line = leaf.in_line if isinstance(leaf.in_line, tuple) else ()
            yield next((item.id for item in line if isinstance(item, BY_HAND)), None), leaf.id


def grid_switch(flows: Flows) -> str | None:
    """The main switch: the last one by hand in the supply's chain; None where there is none, or where the chain is not known."""
    supply = flows.site.supply
    if not isinstance(supply, Supply) or isinstance(supply.in_line, Unknown):
        return None
    return next((item.id for item in reversed(supply.in_line) if isinstance(item, Switch | Isolator | Breaker | FuseSwitch)), None)


def main_board(flows: Flows) -> str | None:
    """The board that the supply reaches first."""
    if flows.root is None:
        return None
    nodes = _downstream(flows, flows.root)
    boards = [node for node in (*nodes, *flows.objects) if node in flows.graph and isinstance(flows.obj(node), Board)]
    return boards[0] if boards else None


def surroundings(flows: Flows, node: str | None) -> str:
    """Where a thing stands, in words: the name and id of its board or place; "" where that is not known."""
    home = flows.home(node) if node is not None and node in flows.graph else None
    place = flows.objects.get(home) if home else None
    name = getattr(place, "name", "")
    return f"{name} ({home})" if isinstance(name, str) and name else home or ""


def in_full(flows: Flows, node: str) -> str:
    """A switch with its kind: `isolator QS1`, `circuit-breaker MSB way 5-6`, `circuit-breaker of G1`."""
    words = called(flows, node)
    return words if " of " in words else f"{flows.obj(node).word} {words}"


def called(flows: Flows, node: str) -> str:
    """A switch in words that stand on the site: by its id, or by board and way, circuit or equipment where nobody gave it one.

    An id that the program made up says nothing there.
    """
    name, _, rest = node.partition(".")
    if not rest:
        return node
    home = flows.objects.get(flows.home(node) or "")
    if isinstance(home, Board) and node == getattr(home.main_switch, "id", None):
        return f"main switch of {home.id}"
    circuit = flows.circuit_of.get(node)
    if circuit is not None and isinstance(circuit.way, Way) and _first(flows, circuit, node):
        return f"{circuit.id.partition('.')[0]} way {circuit.way}"
    if circuit is None and not isinstance(flows.objects.get(name), Ported) or not _alone(flows, node, circuit):
        return node
    return f"{flows.obj(node).word} of {name if circuit is None else _served(flows, circuit) or circuit.id}"


def _served(flows: Flows, circuit: Circuit) -> str:
    """The equipment at the end of a circuit, "" where that is a board or a load."""
    if isinstance(circuit.feeds, Own):
        return circuit.feeds.id
    name = circuit.feeds.id.partition(".")[0] if isinstance(circuit.feeds, Said) else ""
    return name if isinstance(flows.objects.get(name), Ported) else ""


def _first(flows: Flows, circuit: Circuit, node: str) -> bool:
    """Whether a switch is the one on the board, or such that nothing but the way tells it apart."""
    switches = [item.id for item in circuit.in_line if isinstance(item, BY_HAND)]
    return not _served(flows, circuit) or switches[:1] == [node]


def _alone(flows: Flows, node: str, circuit: Circuit | None) -> bool:
    """Whether a switch is the only one of its kind in its circuit, or at the terminals of its equipment."""
    word, owner = flows.obj(node).word, node.partition(".")[0]
    others = circuit.in_line if circuit is not None else [o for id_, o in flows.objects.items() if id_.startswith(f"{owner}.")]
    return sum(isinstance(other, BY_HAND) and other.word == word for other in others) == 1
