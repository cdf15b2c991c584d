# SPDX-License-Identifier: MIT
"""One conductor in one mode, compiled to integer lists: what joins, separates and leads to what.

A depth-first search from the point of supply with entry and exit times and low points answers "is every path from a to b
through d" for any two places and any root, in parts with loops too (articulation points after Hopcroft and Tarjan, 1973).
"""
from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from typing import Any

import networkx as nx

from . import conductors
from .graph import Link
from .modes import Mode, conducts, joins
from .site import Ported

__all__ = ["Net", "Wires"]

_LAYERS = {conductors.N: ("power", "neutral"), conductors.PE: ("power", "earth")}
"""Layers that a conductor runs in, beside the power layer alone"""


class Wires:
    """The conductors of a graph as plain lists, made once for all conductors and modes.

    names, index : nodes by number and numbers by node
    links        : (from, to, mask, layer, the link where it is inside a device with terminals, else None)
    into         : links of the power layer that arrive at each node, with the node they come from
    """

    def __init__(self, graph: nx.MultiDiGraph) -> None:
        self.objects: dict[str, Any] = dict(graph.nodes(data="obj"))
        self.names = list(self.objects)
        self.index = {name: number for number, name in enumerate(self.names)}
        self.into: dict[str, list[tuple[str, Link]]] = {}
        self.neutral: set[str] = set()
        """nodes at which a neutral or PEN arrives or leaves"""
        self.links: list[tuple[int, int, int, str, Link | None]] = []
        for u, v, data in graph.edges(data=True):
            layer, link = data["layer"], data["obj"]
            if layer == "power":
                self.into.setdefault(v, []).append((u, link))  # dead ones too
            if link.conductors:
                self.links.append((self.index[u], self.index[v], link.conductors, layer, link if isinstance(link.run, Ported) else None))
            if link.conductors & conductors.NEUTRAL:
                self.neutral |= {u, v}

    def arriving(self, node: str) -> int:
        """The phases that arrive at a node over the power layer, as a mask."""
        mask = 0
        for _, link in self.into.get(node, ()):
            mask |= link.conductors & conductors.PHASES
        return mask


class Net:
    """One conductor in one mode, compiled.

    A device that does not conduct inside is two places: one at its entry, one at its exit, not joined.
    """

    def __init__(self, wires: Wires, conductor: int, mode: Mode, roots: Iterable[str]) -> None:
        self.index = wires.index
        self.names = list(wires.names)
        exits = self._exits(wires, conductor, mode)
        self.near: list[list[int]] = [[] for _ in self.names]
        layers = _LAYERS.get(conductor, ("power",))
        wanted = conductor | conductors.PEN if conductor in (conductors.N, conductors.PE) else conductor
        for a, b, mask, layer, device in wires.links:
            if mask & wanted and layer in layers and (device is None or joins(device.run, device.ports, conductor, mode, mask)):
                a = exits.get(a, a)
                self.near[a].append(b)
                self.near[b].append(a)
        self._search([self.index[root] for root in roots if root in self.index])

    def _exits(self, wires: Wires, conductor: int, mode: Mode) -> dict[int, int]:
        """A second place for each device that does not conduct inside."""
        exits: dict[int, int] = {}
        for node in mode.opened:
            if node in self.index and not conducts(wires.objects[node], conductor, mode, wires.arriving(node)):
                exits[self.index[node]] = len(self.names)
                self.names.append(node)
        return exits

    def _search(self, roots: list[int]) -> None:
        """Depth-first from the roots, then from whatever is left, so that every part has a tree of its own."""
        n = len(self.names)
        self.enter, self.leave, self.low, self.part, self.up = [-1] * n, [-1] * n, [0] * n, [-1] * n, [-1] * n
        self.below: list[list[int]] = [[] for _ in range(n)]
        self.order: list[int] = []
        for root in [*roots, *range(n)]:
            if self.enter[root] < 0:
                self._search_from(root)

    def _search_from(self, root: int) -> None:
        enter, low, up = self.enter, self.low, self.up
        self._visit(root, root)
        trail = [(root, iter(self.near[root]))]
        while trail:
            node, rest = trail[-1]
            for other in rest:
                if enter[other] < 0:
                    up[other] = node
                    self.below[node].append(other)
                    self._visit(other, root)
                    trail.append((other, iter(self.near[other])))
                    break
                if other != up[node]:
                    low[node] = min(low[node], enter[other])
            else:
                trail.pop()
                self.leave[node] = len(self.order)
                if up[node] >= 0:
                    low[up[node]] = min(low[up[node]], low[node])

    def _visit(self, node: int, root: int) -> None:
        self.enter[node] = self.low[node] = len(self.order)
        self.part[node] = root
        self.order.append(node)

    def joined(self, a: str, b: str) -> bool:
        """Whether a conducting path joins the two; False for what does not stand in the graph."""
        i, j = self.index.get(a), self.index.get(b)
        return i is not None and j is not None and self.part[i] == self.part[j]

    def _side(self, d: int, a: int) -> int:
        """The piece that a falls into when d is taken away: a branch of d, or -1 for what hangs on above it."""
        if not self.enter[d] < self.enter[a] < self.leave[d]:
            return -1
        branches = self.below[d]
        branch = branches[bisect_right(branches, self.enter[a], key=self.enter.__getitem__) - 1]
        return branch if self.low[branch] >= self.enter[d] or self.up[d] < 0 else -1

    def separates(self, d: str, a: str, b: str) -> bool:
        """Whether every conducting path from a to b leads through d. True where no path joins them."""
        i, j, k = self.index[d], self.index[a], self.index[b]
        if self.part[j] != self.part[k]:
            return True
        if i in (j, k) or self.part[i] != self.part[j]:
            return i in (j, k)
        return self._side(i, j) != self._side(i, k)

    def under(self, d: str, root: str) -> list[str]:
        """What d separates from root, d itself left out, in the order of the search."""
        i, r = self.index[d], self.index[root]
        if self.part[i] != self.part[r]:
            return []
        here = self._side(i, r) if i != r else None
        if here is None or here == -1:
            branches = [b for b in self.below[i] if here is None or self.low[b] >= self.enter[i]]
            return [self.names[n] for b in branches for n in self.order[self.enter[b]:self.leave[b]]]
        part = [n for n in self.order if self.part[n] == self.part[i] and n != i]
        return [self.names[n] for n in part if self._side(i, n) != here]

    def path(self, a: str, b: str) -> list[str]:
        """The places that every path from a to b leads through, in order, both ends included; empty where nothing joins them."""
        if not self.joined(a, b):
            return []
        chain, node = [self.index[b]], self.index[b]
        while self.up[node] >= 0 and node != self.index[a]:
            node = self.up[node]
            chain.append(node)
        names = [self.names[n] for n in reversed(chain)]
        return [n for n in names if n in (a, b) or self.separates(n, a, b)]
