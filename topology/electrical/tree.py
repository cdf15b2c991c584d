# SPDX-License-Identifier: MIT
"""The live part of a site as a tree for the computation: every node after the one that feeds it, devices in line without impedance."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .. import conductors
from ..errors import Unknown
from ..flow import Flows
from ..graph import Link
from ..modes import GRID, Mode, joins
from ..site import Cable, Ported

__all__ = ["Tree", "numbered"]

STRAIGHT = (0, 1, 2)
PHASE = {"L1": 0, "L2": 1, "L3": 2}


class Tree:
    """Nodes in an order in which feeders come first.

    ids, index : names of the nodes and their numbers; parent: number of the feeder, the root's own for the root
    links      : the edge to the feeder, None for the root
    looped     : nodes that are fed over two ways at once, with what that leaves open
    """

    def __init__(self, flows: Flows, mode: Mode = GRID) -> None:
        self.ids: list[str] = []
        self.index: dict[str, int] = {}
        self.parent: list[int] = []
        self.links: list[Link | None] = []
        self.looped: dict[int, Unknown] = {}
        self.objects: list[Any] = []
        self._flows, self._mode = flows, mode
        if flows.root is not None:
            self._add(flows.root, 0, None)
            self._grow()
        self.cables = {link.run.id: node for node, link in enumerate(self.links) if link is not None and isinstance(link.run, Cable)}

    def _add(self, name: str, parent: int, link: Link | None) -> None:
        self.index[name] = len(self.ids)
        self.ids.append(name)
        self.parent.append(parent)
        self.links.append(link)
        self.objects.append(self._flows.obj(name))

    def _grow(self) -> None:
        graph, at = self._flows.graph, 0
        while at < len(self.ids):
            for _, other, data in graph.out_edges(self.ids[at], data=True):
                if data["layer"] == "power" and self._live(data["obj"]):
                    if other not in self.index:
                        self._add(other, at, data["obj"])
                    elif self.index[other] not in (self.parent[at], at):
                        self._loop(at, other, reported=not isinstance(data["obj"].run, Ported))
            at += 1

    def _loop(self, at: int, other: str, reported: bool) -> None:
        """Every node on the two ways is open: nobody knows how the current divides. reported: terminal-fed-twice speaks of it."""
        obj = self._flows.obj(other)
        open_ = Unknown(obj.mark, f"how the current divides between the two feeds of {other}", silent=reported)
        first, second = list(self.up(self.index[other])), [self.index[other], *self.up(at, itself=True)]
        shared = set(first) & set(second) - {self.index[other]}
        for node in {*first, *second, self.index[other]} - shared:
            self.looped.setdefault(node, open_)

    def _live(self, link: Link) -> bool:
        if isinstance(link.run, Ported):
            return any(joins(link.run, link.ports, conductor, self._mode, link.conductors) for conductor in (1, 2, 4))
        return True

    def up(self, node: int, itself: bool = False) -> Iterator[int]:
        """The nodes from a node to the root, the root included."""
        if itself:
            yield node
        while node:
            node = self.parent[node]
            yield node

    def obj(self, node: int) -> Any:
        """The object behind a node."""
        return self.objects[node]

    def phases(self, node: int) -> tuple[int, ...]:
        """The phases of the supply that arrive at a node, 0 for L1."""
        link = self.links[node]
        if link is None:
            return STRAIGHT
        return numbered(conductors.phase_names(link.conductors))


def numbered(names: tuple[str, ...]) -> tuple[int, ...]:
    """Phases of the supply by their names, 0 for L1."""
    return tuple(PHASE[name] for name in names)
