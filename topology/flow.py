# SPDX-License-Identifier: MIT
"""Questions to the graph, conductor by conductor and mode by mode: what feeds, separates and measures what.

Each pair of conductor and mode is compiled once into integer lists: a depth-first search from the point of supply with
entry and exit times and low points answers "is every path from a to b through d" for any two places and any root, in
parts with loops too (articulation points after Hopcroft and Tarjan, 1973). Checks ask here and never walk the graph.
"""
from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import networkx as nx

from . import conductors
from .errors import CannotTell, Unknown
from .graph import Link, build_graph
from .kinds import Said
from .modes import GRID, Mode, conducts, joins, modes_of
from .read import ReadSite
from .site import Board, Bus, EquipmentType, Ported, Segment, Source, Supply

__all__ = ["BusShape", "Flows", "Net"]


_LAYERS = {conductors.N: ("power", "neutral"), conductors.PE: ("power", "earth")}
"""Layers that a conductor runs in, beside the power layer alone"""


def _arriving(graph: nx.MultiDiGraph, node: str) -> int:
    """The phases that arrive at a node over the power layer, as a mask."""
    mask = 0
    for _, _, data in graph.in_edges(node, data=True):
        if data["layer"] == "power":
            mask |= data["obj"].conductors & conductors.PHASES
    return mask


def _closed(link: Link, conductor: int, mode: Mode) -> bool:
    """Whether a link conducts: one inside a device with terminals as the mode has it."""
    return not isinstance(link.run, Ported) or joins(link.run, link.ports, conductor, mode, link.conductors)


class Net:
    """One conductor in one mode, compiled.

    A device that does not conduct inside is two places: one at its entry, one at its exit, not joined.
    """

    def __init__(self, graph: nx.MultiDiGraph, conductor: int, mode: Mode, roots: Iterable[str]) -> None:
        self.index: dict[str, int] = {}
        self.names: list[str] = []
        self.exits: dict[str, int] = {}
        self.near: list[list[int]] = []
        for node, obj in graph.nodes(data="obj"):
            self._place(self.index, node)
            if obj.id in mode.opened and not conducts(obj, conductor, mode, _arriving(graph, node)):
                self._place(self.exits, node)
        layers = _LAYERS.get(conductor, ("power",))
        for u, v, data in graph.edges(data=True):
            link = data["obj"]
            if data["layer"] in layers and conductors.carries(link.conductors, conductor) and _closed(link, conductor, mode):
                a, b = self.exits.get(u, self.index[u]), self.index[v]
                self.near[a].append(b)
                self.near[b].append(a)
        self._search([self.index[root] for root in roots if root in self.index])

    def _place(self, table: dict[str, int], node: str) -> None:
        table[node] = len(self.names)
        self.names.append(node)
        self.near.append([])

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
        """Whether a conducting path joins the two."""
        return self.part[self.index[a]] == self.part[self.index[b]]

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


@dataclass(frozen=True)
class BusShape:
    """A bus as a graph. devices in the order of the chain where it is one, else in the order of the file; ends: those with one segment."""

    devices: tuple[str, ...]
    degree: dict[str, int]
    pieces: int
    segments: int
    is_chain: bool
    ends: tuple[str, ...]
    length: float | None


class Flows:
    """A read site with its graph and the answers, each computed once."""

    def __init__(self, read: ReadSite) -> None:
        assert read.site is not None
        self.read, self.site, self.objects, self.types = read, read.site, read.objects, read.types
        self.graph = build_graph(read)
        self._nets: dict[tuple[int, Mode], Net] = {}

    def net(self, conductor: int, mode: Mode = GRID) -> Net:
        """The compiled net of a conductor in a mode."""
        key = (conductor, mode)
        if key not in self._nets:
            self._nets[key] = Net(self.graph, conductor, mode, [self.root] if self.root else [])
        return self._nets[key]

    @cached_property
    def root(self) -> str | None:
        """The id of the point of supply."""
        supply = self.site.supply
        return supply.id if isinstance(supply, Supply) else None

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Ids of everything on site that can feed the installation."""
        return tuple(n for n, obj in self.graph.nodes(data="obj") if isinstance(obj, Source))

    def obj(self, node: str) -> Any:
        """The object behind a node."""
        return self.graph.nodes[node]["obj"]

    def home(self, node: str) -> str | None:
        """The board or place that a node stands in."""
        return self.graph.nodes[node]["home"]

    def phases_at(self, node: str) -> int:
        """The phases that arrive at a node over the power layer, as a mask."""
        return _arriving(self.graph, node)

    def fed(self, node: str, conductor: int, mode: Mode = GRID) -> bool:
        """Whether a conductor of a node is joined to the point of supply."""
        return self.root is not None and self.net(conductor, mode).joined(self.root, node)

    def feeders(self, node: str) -> list[tuple[str, Link]]:
        """Nodes right upstream of a node in the power layer, with the link between."""
        return [(u, data["obj"]) for u, _, data in self.graph.in_edges(node, data=True) if data["layer"] == "power"]

    def upstream_to_bar(self, node: str) -> list[str]:
        """Devices between a node and the next busbar (or the point of supply) upstream, nearest first, that one last."""
        found: list[str] = []
        while feeders := self.feeders(node):
            node = feeders[0][0]
            found.append(node)
            if isinstance(self.obj(node), Board | Supply) or node in found[:-1]:
                break
        return found

    def feeds_of(self, board: str) -> list[list[str]]:
        """Each feed of a board: the devices from the board up to the next board or the point of supply, nearest first, that one last.

        A feed that ends at neither (nothing feeds it) is left out.
        """
        found: list[list[str]] = []
        todo = [[u] for u, _ in self.feeders(board)]
        while todo:
            trail = todo.pop(0)
            if isinstance(self.obj(trail[-1]), Board | Supply):
                found.append(trail)
            else:
                todo += [[*trail, u] for u, _ in self.feeders(trail[-1]) if u not in trail]
        return found

    def type_of(self, thing: Any) -> EquipmentType:
        """The type of a piece of equipment or a bus. Raises CannotTell where it is not known."""
        said = thing.type_
        if isinstance(said, Unknown):
            raise CannotTell(said)
        if said.id not in self.types:  # the reader has said so
            raise CannotTell(Unknown(said.mark, f"type of {thing.id}", silent=True))
        return self.types[said.id]

    @cached_property
    def bus_of(self) -> dict[str, Bus]:
        """The bus that each segment belongs to, by the segment's id."""
        return {s.id: bus for bus in self.objects.values() if isinstance(bus, Bus) and isinstance(bus.segments, tuple)
                for s in bus.segments if isinstance(s, Segment)}

    def bus_shape(self, bus: Bus) -> BusShape:
        """The shape of a bus; `length` is None where a segment's length is not known."""
        segments = [s for s in bus.segments if isinstance(s, Segment)] if isinstance(bus.segments, tuple) else []
        ids = {s.id for s in segments}
        chain = nx.MultiGraph()
        chain.add_edges_from((u, v, k) for u, v, k, layer in self.graph.edges(keys=True, data="layer") if layer == "bus" and k in ids)
        degree = dict(chain.degree())
        pieces = nx.number_connected_components(chain) if chain else 0
        is_chain = pieces == 1 and chain.number_of_edges() == len(chain) - 1 and max(degree.values()) <= 2
        said = {end.id: n for n, s in reversed(list(enumerate(segments))) for end in (s.to, s.from_) if isinstance(end, Said)}
        ends = tuple(sorted((n for n in chain if degree[n] == 1), key=lambda n: said.get(n, 0)))  # the chain begins where the file begins
        devices = tuple(nx.dfs_preorder_nodes(chain, ends[0])) if is_chain else tuple(chain)
        lengths = [s.length for s in segments]
        known = all(isinstance(length, float) for length in lengths)
        return BusShape(devices, degree, pieces, chain.number_of_edges(), is_chain, ends, sum(lengths) if known else None)
