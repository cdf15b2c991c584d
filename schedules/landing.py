# SPDX-License-Identifier: MIT
"""Where a conductor of a power cable ends: the device and its terminal, past sensors and ferrites that it only goes through."""
from __future__ import annotations

from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Bar, Joint, Pass
from topology.kinds import Said
from topology.site import (Board, Circuit, Controller, CurrentTransformer, EarthBar, Equipment, Filter, Junction, Load, Meter,
                           NeutralEarthLink, Ported, Rcbo, Rcd, Supply, Switching)

from .columns import Cell

__all__ = ["arriving", "earth_bars", "joint_of", "lands", "left_neutral", "past"]

OWN_EARTH = (Supply, Equipment, Load, Controller)
"""What has an earth terminal of its own, wherever it stands."""
THROUGH = (CurrentTransformer, Pass, Filter)
"""What a conductor goes through without being terminated: sensors, ferrites."""
LINES = ("L1", "L2", "L3")


def earth_bars(flows: Flows) -> dict[str, str]:
    """Earth bars by the board whose protective conductors they hold."""
    return {bar.place.id: bar.id for bar in reversed(flows.objects.values()) if isinstance(bar, EarthBar) and isinstance(bar.place, Said)}


def arriving(flows: Flows, node: str) -> tuple[str, ...]:
    """The conductors that arrive at a node over the power layer, by name; none at one that the graph does not know."""
    carried = 0
    for _, _, data in flows.graph.in_edges(node, data=True) if node in flows.graph else ():
        carried |= data["obj"].conductors if data["layer"] == "power" else 0
    return conductors.names(carried)


def lands(flows: Flows, node: str, side: str, name: str, mask: int) -> tuple[Cell, Cell]:
    """The device and terminal at which a conductor ends: it goes through sensors and ferrites to the next device, a phase past an N–E link too."""
    node = past(flows, node, side, (*THROUGH, NeutralEarthLink) if name in LINES else THROUGH)
    obj = flows.obj(node)
    home = flows.home(node)
    if name == "PE" and not isinstance(obj, OWN_EARTH) and home in flows.objects and isinstance(flows.objects[home], Board):
        return home, "earth bar"
    if name == "PE" and isinstance(obj, Meter):
        return without_earth(flows, node, side)
    if (joint := joint_of(flows, node)) != node:
        return joint, name
    if name == "PE" and isinstance(obj, Switching) and side == "out":
        return earth_beside(flows, node)
    if isinstance(obj, Board | Bar):
        return node, {"N": "neutral bar", "PEN": "neutral bar", "PE": "earth bar"}.get(name, f"busbar {name}")
    if isinstance(obj, Joint):
        return node, f"joint {name}"
    if isinstance(obj, Switching):
        return at_switch(flows, node, obj, side, name, mask)
    if isinstance(obj, Meter):
        return node, f"{'load' if side == 'out' else 'line'} {name}"
    return node, name


def joint_of(flows: Flows, node: str) -> str:
    """The joint or box that a local bar stands for, where it follows one; else the node itself."""
    before = past(flows, node, "out", (Bar,))
    return before if isinstance(flows.obj(node), Bar) and isinstance(flows.obj(before), Junction) else node


def left_neutral(circuit: Any) -> str:
    """The board at whose neutral bar the neutral of a circuit was left when the circuit moved to another; "" where it was not."""
    left = isinstance(circuit, Circuit) and circuit.neutral_moved is False and isinstance(circuit.moved_from, Said)
    return circuit.moved_from.id if left else ""


def earth_beside(flows: Flows, node: str) -> tuple[Cell, Cell]:
    """Where the protective conductor that leaves with a switching device ends.

    At the equipment whose terminal the device belongs to, at the local bar that feeds it with no cable between, else at its own enclosure.
    """
    owner, bar = flows.objects.get(node.partition(".")[0]), past(flows, node, "out", (Switching,))
    if isinstance(owner, Ported):
        return owner.id, "earth"
    return (bar, "earth bar") if isinstance(flows.obj(bar), Bar) else (node, "PE")


def without_earth(flows: Flows, node: str, side: str) -> tuple[Cell, Cell]:
    """Where the protective conductor ends that a meter, which has no terminal for it, would have: at the N–E link beside it, if there is one."""
    beside = past(flows, node, side, (*THROUGH, Meter, Switching))
    return (beside, "earth") if isinstance(flows.obj(beside), NeutralEarthLink) else (beside, "PE")


def past(flows: Flows, node: str, side: str, through: tuple[type, ...] = THROUGH) -> str:
    """The next device that is not merely gone through, as long as no cable lies between. side: `out` for what leaves it, `in` for what arrives."""
    while isinstance(flows.obj(node), through):
        edges = flows.graph.in_edges(node, data=True) if side == "out" else flows.graph.out_edges(node, data=True)
        after = [u if side == "out" else v for u, v, data in edges if data["layer"] == "power" and data["obj"].run is None]
        if len(after) != 1:
            break
        node = after[0]
    return node


def at_switch(flows: Flows, node: str, obj: Switching, side: str, name: str, mask: int) -> tuple[Cell, Cell]:
    """A terminal of a switching device: odd numbers towards the supply, even ones away from it; a neutral that it does not switch
    goes to the neutral bar of its board."""
    if isinstance(obj.poles, Unknown):
        return node, Unknown(obj.poles.mark, obj.poles.what)
    phases = conductors.phase_names(mask)
    if name in phases:
        pole = phases.index(name) + 1
        return node, str(2 * pole - 1 + (side == "out"))
    if name == "N" and (obj.poles in ("1P+N", "3P+N", "1P solid-N") or isinstance(obj, Rcbo) and int(obj.poles[0]) == len(phases)):
        return node, "N"  # the neutral of a circuit goes through its RCBO, opened or not, or that would trip
    if name == "N" and int(obj.poles[0]) > len(phases):
        return node, str(2 * (len(phases) + 1) - 1 + (side == "out"))
    home = flows.home(node)
    return (home, neutral_bar(flows, node)) if home is not None and name in ("N", "PEN") else (node, name)


def neutral_bar(flows: Flows, node: str) -> str:
    """The neutral bar that a circuit's neutral belongs on: behind a residual current device, that of its group, or the device trips.

    The nearest local bar upstream whose own device opens the neutral decides.
    """
    behind_bar = False
    for above in flows.upstream_to_bar(node):
        obj = flows.obj(above)
        behind_bar |= isinstance(obj, Bar)
        if behind_bar and isinstance(obj, Rcd | Rcbo):
            return f"neutral bar behind {above}"
        if isinstance(obj, Board):
            break
    return "neutral bar"
