# SPDX-License-Identifier: MIT
"""Questions to the graph, conductor by conductor and mode by mode: what feeds, separates and measures what.

Each pair of conductor and mode is compiled once (see `net.py`). Checks ask here and never walk the graph.
"""
from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

import networkx as nx

from . import conductors
from .collector import no_collection
from .dataclass import dataclass
from .errors import CannotTell, Unknown
from .graph import Link, Pass, build_graph
from .kinds import Said
from .limits import profiles_of
from .modes import ANY, GRID, Mode, modes_of
from .net import Net, Wires
from .profiles import Profiles
from .read import ReadSite
from .site import (Board, Bus, Circuit, CurrentTransformer, EquipmentType, Generator, HybridInverter, Inlet, Ported, Segment, Source, Storage,
                   Supply)
from .walks import connected, preorder

__all__ = ["BusShape", "Flows", "Net"]


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
        with no_collection():
            self.graph = build_graph(read)
            self.wires = Wires(self.graph)
        self.switchable = any(isinstance(o, Ported) for o in read.objects.values())
        self.memo: dict[Any, Any] = {}
        """what checks have worked out once for the whole site"""
        self._nets: dict[tuple[int, Mode], Net] = {}
        self._live: dict[tuple[int, Mode], frozenset[int]] = {}

    def net(self, conductor: int, mode: Mode = GRID) -> Net:
        """The compiled net of a conductor in a mode."""
        key = (conductor, GRID if not (mode.opened or self.switchable) else mode)
        if key not in self._nets:
            self._nets[key] = Net(self.wires, conductor, mode, self.starts)
        return self._nets[key]

    @cached_property
    def root(self) -> str | None:
        """The id of the point of supply."""
        supply = self.site.supply
        return supply.id if isinstance(supply, Supply) else None

    @cached_property
    def modes(self) -> tuple[Mode, ...]:
        """The operating modes of this site: grid, grid lost with backup, main switch open, and what an inverter backs up past a changeover at rest."""
        return modes_of(self.objects.values(), self.site.supply)

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Ids of everything on site that can feed the installation."""
        return tuple(n for n, obj in self.graph.nodes(data="obj") if isinstance(obj, Source))

    @cached_property
    def starts(self) -> tuple[str, ...]:
        """Where power begins that feeds what stands behind: the point of supply, generators and their inlets."""
        others = [n for n in self.sources if isinstance(self.obj(n), Generator | Inlet)]
        return (*([self.root] if self.root else []), *others)

    @cached_property
    def backs_up(self) -> tuple[str, ...]:
        """Ids of the sources that feed loads without the supply: generators, their inlets, hybrid inverters, and storage whose type does."""
        return tuple(n for n in self.sources if isinstance(self.obj(n), Generator | Inlet | HybridInverter) or self._forms_grid(self.obj(n)))

    def _forms_grid(self, source: Any) -> bool:
        type_ = self.types.get(source.type_.id) if isinstance(source, Storage) and isinstance(source.type_, Said) else None
        return type_ is not None and type_.forms_grid is True

    @cached_property
    def profiles(self) -> Profiles:
        """The limits in force for this site: of its profiles, on the day work begins, as the site overrides them."""
        return profiles_of(self.site)

    def all(self, cls: Any) -> list[Any]:
        """The objects of a class, or of several, in the order of the file; worked out once."""
        if cls not in self.memo:
            self.memo[cls] = [o for o in self.objects.values() if isinstance(o, cls)]
        return self.memo[cls]

    def obj(self, node: str) -> Any:
        """The object behind a node."""
        return self.wires.objects[node]

    def home(self, node: str) -> str | None:
        """The board or place that a node stands in."""
        return self.graph.nodes[node]["home"]

    def phases_at(self, node: str) -> int:
        """The phases that arrive at a node over the power layer, as a mask."""
        return self.wires.arriving(node)

    def fed(self, node: str, conductor: int, mode: Mode = GRID) -> bool:
        """Whether a conductor of a node is joined to the point of supply."""
        return self.root is not None and self.net(conductor, mode).joined(self.root, node)

    def ever_fed(self, node: str, conductor: int) -> bool:
        """Whether a conductor of a node is joined to the point of supply, or to a generator, in any position of the switches."""
        net = self.net(conductor, ANY)
        return any(net.joined(start, node) for start in self.starts)

    def reaching(self, node: str, conductor: int, mode: Mode = GRID) -> tuple[str, ...]:
        """The sources that a conductor of a node is joined to, the point of supply first where the mode has it live."""
        net = self.net(conductor, mode)
        return self._by_part(conductor, mode).get(net.part[net.index[node]], ()) if node in net.index else ()

    def _by_part(self, conductor: int, mode: Mode) -> dict[int, tuple[str, ...]]:
        """The sources of each part of a net, in order."""
        key = "reaching", conductor, mode
        if key not in self.memo:
            net, parts = self.net(conductor, mode), dict[int, list[str]]()
            for source in [*([self.root] if self.root and mode.live else []), *self.sources]:
                if source in net.index and self.uses(source, conductor):
                    parts.setdefault(net.part[net.index[source]], []).append(source)
            self.memo[key] = {part: tuple(sources) for part, sources in parts.items()}
        found: dict[int, tuple[str, ...]] = self.memo[key]
        return found

    def live(self, node: str, conductor: int, mode: Mode = GRID) -> bool:
        """Whether a conductor of a node is under voltage in a mode: joined to the live supply, or to a source that feeds without it."""
        net = self.net(conductor, mode)
        return node in net.index and net.part[net.index[node]] in self._live_parts(conductor, mode)

    def _live_parts(self, conductor: int, mode: Mode) -> frozenset[int]:
        """The parts of a net that are under voltage."""
        key = (conductor, mode)
        if key not in self._live:
            net = self.net(conductor, mode)
            supply = [self.root] if self.root and mode.live else []
            self._live[key] = frozenset(net.part[net.index[s]] for s in [*supply, *self.backs_up] if self.uses(s, conductor))
        return self._live[key]

    def either_side(self, device: str, conductor: int, mode: Mode = GRID) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The sources that reach a device from the side of the supply, and from the other side."""
        net = self.net(conductor, mode)
        behind = set(net.under(device, self.root)) if self.root else set()
        reaching = self.reaching(device, conductor, mode)
        return tuple(s for s in reaching if s not in behind and s != device), tuple(s for s in reaching if s in behind)

    def separates(self, d: str, a: str, b: str, conductor: int, mode: Mode = GRID) -> bool:
        """Whether every conducting path from a to b leads through d. True where no path joins them."""
        return self.net(conductor, mode).separates(d, a, b)

    def isolates(self, devices: Iterable[str], x: str, conductor: int, mode: Mode = GRID) -> bool:
        """Whether these devices, all opened, separate x from every source but itself, each source on its own."""
        opened = list(devices)
        net = self.net(conductor, mode)
        return all(any(net.separates(d, s, x) for d in opened) for s in self.reaching(x, conductor, mode) if s != x)

    def uses(self, node: str, conductor: int) -> bool:
        """Whether equipment uses a phase: equipment on a circuit of several phases may say that it uses one of them."""
        phase = getattr(self.obj(node), "phase", None)
        return not (conductor & conductors.PHASES and isinstance(phase, tuple)) or bool(conductors.bits(phase) & conductor)

    def places(self, sensor: CurrentTransformer) -> tuple[str, ...]:
        """The nodes at which the core of a sensor goes round a conductor, the first one first."""
        return tuple(n for n in self._places.get(sensor.id, ()) if n in self.graph)

    @cached_property
    def _places(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for node, obj in self.graph.nodes(data="obj"):
            if isinstance(obj, CurrentTransformer | Pass):
                found.setdefault(obj.core.id if isinstance(obj, Pass) else obj.id, []).append(node)
        return found

    def seen_by(self, sensor: CurrentTransformer, phase: str, mode: Mode = GRID) -> list[str]:
        """What stands behind the places of a sensor on one phase, seen from the point of supply; each node once."""
        net = self.net(conductors.bits([phase]), mode)
        return list(dict.fromkeys(n for place in self.places(sensor) for n in net.under(place, self.root))) if self.root else []

    @cached_property
    def inner_circuits(self) -> frozenset[str]:
        """Ids of the circuits that stand on the local bar of another circuit."""
        return frozenset(inner.id for outer in self.objects.values() if isinstance(outer, Circuit) and isinstance(outer.circuits, tuple)
                         for inner in outer.circuits if isinstance(inner, Circuit))

    @cached_property
    def circuit_of(self) -> dict[str, Circuit]:
        """The innermost circuit that each device, cable, load or piece of equipment stands in, by its id."""
        found: dict[str, Circuit] = {}
        for circuit in self.objects.values():
            if isinstance(circuit, Circuit):
                parts = [*(circuit.in_line if isinstance(circuit.in_line, tuple) else ()), circuit.feeds, circuit.load]
                found.update({part.id: circuit for part in parts if part is not None and not isinstance(part, Unknown | Said)})
                found[f"{circuit.id}.bar"] = circuit
        return found

    def feeders(self, node: str) -> list[tuple[str, Link]]:
        """Nodes right upstream of a node in the power layer, with the link between."""
        return self.wires.into.get(node, [])

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

    @cached_property
    def _segment_ends(self) -> dict[str, tuple[str, str]]:
        """The two devices of each segment that stands in the graph."""
        return {k: (u, v) for u, v, k, layer in self.graph.edges(keys=True, data="layer") if layer == "bus"}

    def bus_shape(self, bus: Bus) -> BusShape:
        """The shape of a bus; `length` is None where a segment's length is not known."""
        segments = [s for s in bus.segments if isinstance(s, Segment)] if isinstance(bus.segments, tuple) else []
        ids = dict.fromkeys(s.id for s in segments)
        chain = nx.MultiGraph()
        chain.add_edges_from((*self._segment_ends[i], i) for i in ids if i in self._segment_ends)
        degree = dict(chain.degree())
        pieces = len(connected(chain))
        is_chain = pieces == 1 and chain.number_of_edges() == len(chain) - 1 and max(degree.values()) <= 2
        said = {end.id: n for n, s in reversed(list(enumerate(segments))) for end in (s.to, s.from_) if isinstance(end, Said)}
        ends = tuple(sorted((n for n in chain if degree[n] == 1), key=lambda n: said.get(n, 0)))  # the chain begins where the file begins
        devices = tuple(preorder(chain, ends[0])) if is_chain else tuple(chain)
        lengths = [s.length for s in segments]
        known = all(isinstance(length, float) for length in lengths)
        return BusShape(devices, degree, pieces, chain.number_of_edges(), is_chain, ends, sum(lengths) if known else None)
