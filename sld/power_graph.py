# SPDX-License-Identifier: MIT
"""The power layer of a site as an ordered forest: each device once, whatever its terminals; links that do not fit a tree stand apart."""
from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import field

from topology.dataclass import dataclass
from topology.flow import Flows
from topology.graph import Link
from topology.site import Bond, Changeover, Controller, EarthBar, Electrode, Part, Terminal

__all__ = ["Edge", "PowerForest", "order", "power_forest"]

LAYERS = ("power", "dc")


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A line from one device to another. port, into: the terminals at which it begins and ends; layer: power, dc, lead."""

    start: str
    end: str
    port: str
    into: str
    link: Link
    layer: str


@dataclass(slots=True)
class PowerForest:
    """roots and below: the trees, in the order of the file; ties: lines to a device that has its place already."""

    roots: list[str] = field(default_factory=list)
    below: dict[str, list[Edge]] = field(default_factory=dict)
    ties: list[Edge] = field(default_factory=list)


def power_forest(flows: Flows) -> PowerForest:
    """From the point of supply down, then what no line from there reaches: further sources, what is not fed, controllers."""
    lines = edges(flows)
    forest = PowerForest()
    fed = {edge.end for found in lines.values() for edge in found if not second(edge, flows)}
    for start in (node for node in lines if node == flows.root):
        grow(start, lines, forest, flows)
    for start in (node for node in lines if node not in fed):
        grow(start, lines, forest, flows)
    for start in lines:  # what feeds itself in a ring
        grow(start, lines, forest, flows)
    return forest


def edges(flows: Flows) -> dict[str, list[Edge]]:
    """The lines that leave each device; a device with terminals is one."""
    found: dict[str, list[Edge]] = {}
    for node, obj in flows.graph.nodes(data="obj"):
        if not isinstance(obj, Electrode | EarthBar | Bond) and (isinstance(obj, Part) or hasattr(obj, "id")):
            found.setdefault(device_of(node, obj), [])
    for u, v, data in flows.graph.edges(data=True):
        link: Link = data["obj"]
        start, end = device_of(u, flows.obj(u)), device_of(v, flows.obj(v))
        wanted = data["layer"] in LAYERS or data["layer"] == "lead" and isinstance(link.run, Controller)
        if wanted and start != end and start in found and end in found:
            found[start].append(Edge(start, end, terminal(u, flows.obj(u)), terminal(v, flows.obj(v)), link, data["layer"]))
    return found


def device_of(node: str, obj: object) -> str:
    return node.partition(".")[0] if isinstance(obj, Terminal) else node


def terminal(node: str, obj: object) -> str:
    return node.partition(".")[2] if isinstance(obj, Terminal) else ""


def second(edge: Edge, flows: Flows) -> bool:
    """Whether a line comes in at the side of a device whose place another line decides."""
    return edge.into == "alternative" and isinstance(flows.objects.get(edge.end), Changeover)


def grow(start: str, lines: dict[str, list[Edge]], forest: PowerForest, flows: Flows) -> None:
    """One tree, nearest first; nothing where the start has its place already."""
    if start in forest.below:
        return
    forest.roots.append(start)
    forest.below[start] = []
    queue = deque([start])
    while queue:
        node = queue.popleft()
        for edge in lines[node]:
            if edge.end in forest.below or second(edge, flows):
                forest.ties.append(edge)
            else:
                forest.below[edge.end] = []
                forest.below[node].append(edge)
                queue.append(edge.end)


def order(forest: PowerForest, root: str) -> Iterator[str]:
    """All devices of a tree, parents first."""
    stack = [root]
    while stack:
        node = stack.pop()
        yield node
        stack.extend(edge.end for edge in reversed(forest.below[node]))
