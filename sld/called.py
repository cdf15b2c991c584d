# SPDX-License-Identifier: MIT
"""What a device is called where it is named away from its symbol: by its id, or by the way of its board where nobody gave it one."""
from __future__ import annotations

from topology.flow import Flows
from topology.kinds import Way
from topology.site import Board, Terminal

__all__ = ["called"]


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
        return node
    return f"{circuit.id.partition('.')[0]} way {circuit.way}"
