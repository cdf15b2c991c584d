# SPDX-License-Identifier: MIT
"""Pens of lines that no cable makes: the wire from one device to the next has the status of the conductor that it is part of."""
from __future__ import annotations

from typing import Any

from topology.flow import Flows
from topology.graph import Pass
from topology.site import Cable, CurrentTransformer, Filter

from sld.pens import status_of
from sld.power_graph import PowerForest, order

__all__ = ["line_states"]

THERE = ("existing", "altered")


def line_states(flows: Flows, power: PowerForest) -> dict[str, str]:
    """The status of the wire that comes into each device, where it is no cable.

    A wire is as its device is: new with a new one, removed with one that is removed. A device that stands in a conductor which goes on
    behind it as it was has not changed that conductor: the wire to it is there already. What is fitted round a conductor changes nothing.
    """
    found: dict[str, str] = {}
    for root in power.roots:
        for node in reversed(list(order(power, root))):
            obj = flows.obj(node) if node in flows.graph else flows.objects[node]
            found[node] = _state(status_of(obj), _onward(power, node, found), _around(obj))
    return found


def _around(obj: Any) -> bool:
    """Whether an object is fitted round a conductor, and parts nothing."""
    return isinstance(obj, CurrentTransformer | Pass) or isinstance(obj, Filter) and isinstance(obj.kind, str) and obj.kind == "ferrite"


def _state(own: str, onward: str, around: bool) -> str:
    if around:
        return onward or own
    return onward if onward in THERE else own


def _onward(power: PowerForest, node: str, found: dict[str, str]) -> str:
    """The status of the one conductor that leaves a device; an empty text where there is none, or several."""
    edges = power.below[node]
    if len(edges) != 1:
        return ""
    run = edges[0].link.run
    return status_of(run) if isinstance(run, Cable) else found[edges[0].end]
