# SPDX-License-Identifier: MIT
"""What a device is called where it is named away from its symbol: by its id, or by the way of its board where nobody gave it one."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Way
from topology.site import Board, Bus, Circuit, Segment, Terminal

__all__ = ["called", "in_words"]


def called(flows: Flows, node: str) -> str:
    """CT1, QI1; MSB way 5-6; main switch of SB. An id that the program made up says nothing on paper."""
    name, _, rest = node.partition(".")
    if rest and (node in flows.graph and isinstance(flows.obj(node), Terminal) or node not in flows.objects):
        return name
    if not rest or node not in flows.graph:
        return node
    home = flows.objects.get(flows.home(node) or "")
    if isinstance(home, Board) and node == getattr(home.main_switch, "id", None):
        return f"main switch of {home.id}"
    circuit = flows.circuit_of.get(node)
    if circuit is None or not isinstance(circuit.way, Way):
        return in_words(flows.objects, node)
    return f"{circuit.id.partition('.')[0]} way {circuit.way}"


def in_words(objects: Mapping[str, Any], name: str) -> str:
    """An object in words: its own id, else what it is and where: MSB way 5-6, cable of SB way 3-4, Control bus BA1–BAT1."""
    obj = objects.get(name)
    above, _, last = name.rpartition(".")
    if not above or obj is None:
        return name
    if isinstance(obj, Circuit):
        return f"{name.partition('.')[0]} way {obj.way}" if isinstance(obj.way, Way) else name
    if isinstance(obj, Segment):
        return f"{_bus(objects.get(above), above)} {last.replace('-', '–', 1)}"
    while above and above not in objects:  # a port of a device, an end of a circuit
        above = above.rpartition(".")[0]
    number = last[len(last.rstrip("0123456789")):]
    return f"{' '.join(word for word in (str(obj.word), number) if word)} of {in_words(objects, above)}" if above else name


def _bus(bus: Any, name: str) -> str:
    return str(bus.name) if isinstance(bus, Bus) and bus.name and not isinstance(bus.name, Unknown) else name
