# SPDX-License-Identifier: MIT
"""Site → networkx graph, directed away from the point of supply in the power layer.

Node: an id with `obj` (the object of the site; its class is the kind) and `home` (the board or place it stands in, or None).
A device with terminals is one node for each terminal, joined by links whose run is the device: modes open and close these.
Edge: (u, v, key = id) with `layer` and `obj`, a Link. Layers: power; neutral (a neutral that goes another way than its phases);
dc (between an inverter and its arrays and battery); earth (earth bars, electrodes, bonds); bus; lead (of sensors and devices).
Ratings are not copied: ask the object.
"""
from __future__ import annotations

from collections import deque
from typing import Any, ClassVar

import networkx as nx

from . import carried, conductors
from .dataclass import dataclass
from .errors import Unknown
from .kinds import Said
from .read import ReadSite
from .site import (Board, Bus, Cable, Chain, Circuit, Controller, CurrentTransformer, EarthBar, Electrode, HybridInverter, Input, Inverter,
                   NeutralEarthLink, Own, Part, Place, Ported, Segment, Site, Source, Supply, Tap, Terminal, Thing)

__all__ = ["Bar", "Joint", "Link", "Pass", "build_graph"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Bar(Thing):
    """A local bar: an RCD group, a branch after a device."""

    word: ClassVar[str] = "local bar"
    symbol: ClassVar[str] = "busbar"


@dataclass(frozen=True, eq=False, kw_only=True)
class Joint(Thing):
    """Where two cables meet without a device."""

    word: ClassVar[str] = "joint"
    symbol: ClassVar[str] = "junction"


@dataclass(frozen=True, eq=False, kw_only=True)
class Pass(Thing):
    """A further place at which the core of a sensor goes round a conductor."""

    word: ClassVar[str] = "further pass"
    symbol: ClassVar[str] = "ct-p1-up"
    core: CurrentTransformer


@dataclass(frozen=True, slots=True)
class Link:
    """An edge. ports: the terminals at its ends; conductors: mask; run: the cable, segment, lead or device that it is, if any."""

    id: str
    ports: tuple[str, str]
    conductors: int
    run: Any = None


@dataclass(frozen=True, slots=True)
class _Here:
    """Where the builder stands: the last node, its port, the conductors that arrive, and the board around."""

    node: str
    port: str
    mask: int
    board: str | None


def build_graph(read: ReadSite) -> nx.MultiDiGraph:
    """The graph of a site, frozen. Objects that could not be read are left out; their faults are in the findings."""
    builder = _Builder(read)
    builder.build()
    return nx.freeze(builder.graph)


class _Builder:
    def __init__(self, read: ReadSite) -> None:
        assert read.site is not None
        self.site: Site = read.site
        self.objects = read.objects
        self.graph = nx.MultiDiGraph(name=read.name)
        self.keys: set[str] = set()
        self.todo: deque[tuple[tuple[Chain, ...], _Here]] = deque()
        """bars that are still to be laid, with the place where they stand"""
        self.seen: set[str] = set()
        self.earthed = {_id(o.place) for o in self.objects.values() if isinstance(o, EarthBar)}
        """boards with an earth bar: PE begins there where none arrives (TT)"""
        self.ends: dict[str, str] = {}
        """the last node of each circuit"""

    def build(self) -> None:
        supply = self.site.supply
        if isinstance(supply, Supply):
            self.node(supply, None)
            self.todo.append(((supply,), _Here(supply.id, "out", carried.by_supply(supply), None)))
        self.bars()
        for device in self.things(Ported):
            if isinstance(device, Source) and not isinstance(device, HybridInverter):
                self.source(device)
        for thing in self.things(Board | Ported):
            if thing.id not in self.seen:
                self.enter(thing, 0) if isinstance(thing, Board) else self.device(thing)
                self.bars()
        for controller in self.things(Controller):
            self.node(controller, _id(controller.place))
        self.neutrals()
        self.earthing()
        self.control()

    def things(self, cls: Any) -> list[Any]:
        return [o for o in self.objects.values() if isinstance(o, cls)]

    # ---- power ----

    def bars(self) -> None:
        """Lay the bars that have been reached, each once."""
        while self.todo:
            self.bar(*self.todo.popleft())

    def enter(self, board: Board, mask: int) -> str:
        """The node by which a board is entered: its main switch or its busbar. Its circuits follow when it is seen first."""
        switch = board.main_switch
        first = switch.id if isinstance(switch, Own) else board.id
        if board.id not in self.seen:
            self.seen.add(board.id)
            self.node(board, board.id)
            if isinstance(switch, Own):
                self.node(switch, board.id)
                self.link(switch.id, board.id, ("out", "in"), mask)
            if isinstance(board.circuits, tuple):
                leaving = mask | conductors.PE if board.id in self.earthed and not mask & conductors.PEN else mask
                self.todo.append((board.circuits, _Here(board.id, "out", leaving, board.id)))
        return first

    def bar(self, chains: tuple[Chain, ...], here: _Here) -> None:
        stack = [(chain, here) for chain in reversed(chains)]
        while stack:
            chain, at = stack.pop()
            if isinstance(chain, Unknown):
                continue
            end = self.chain(chain, _Here(at.node, at.port, self.taken(chain, at.mask), at.board))
            if end is not None and isinstance(chain.circuits, tuple):
                stack.extend((inner, end) for inner in reversed(chain.circuits))

    def taken(self, chain: Chain, mask: int) -> int:
        """What of a bar's conductors a chain takes."""
        if not isinstance(chain, Circuit):
            return mask
        mask = carried.by_circuit(chain, mask)
        return mask & ~conductors.N if _neutral_elsewhere(chain, self.objects) else mask

    def chain(self, chain: Chain, here: _Here) -> _Here | None:
        """Lay a chain; returns where its local bar stands, if it ends in one."""
        cable: Cable | None = None
        items = [i for i in chain.in_line if not isinstance(i, Unknown)] if isinstance(chain.in_line, tuple) else []
        last_cable = max((n for n, i in enumerate(items) if isinstance(i, Cable)), default=-1)
        target = _id(chain.feeds) if isinstance(self.objects.get(_id(chain.feeds) or ""), Board) else None
        home = here.board
        joints = 0
        for n, item in enumerate(items):
            if isinstance(item, Cable):
                if cable is not None:
                    joints += 1
                    here = self.step(here, self.joint(chain, joints), cable, home)
                cable, home = item, (target if n == last_cable else None)
            elif (thing := self.again(item)) is not None:
                here = self.step(here, thing, cable, home if home is not None or n < last_cable else target)
                cable = None
        return self.end(chain, here, cable, home)

    def again(self, item: Any) -> Any:
        """A device in line; a bare id is a further pass of a sensor's core, None where there is no such sensor."""
        if not isinstance(item, Said):
            return item
        core = self.objects.get(item.id)
        if not isinstance(core, CurrentTransformer):
            return None
        number = 2
        while f"{core.id}.{number}" in self.graph:
            number += 1
        return Pass(id=f"{core.id}.{number}", mark=item.mark, marks={}, name=core.name, status=core.status, owner=core.owner, place=core.place, core=core)

    def joint(self, chain: Chain, number: int) -> Joint:
        return Joint(id=f"{chain.id}.joint{number if number > 1 else ''}", mark=chain.mark, marks={}, name="", status=chain.status,
                     owner=chain.owner, place=None)

    def step(self, here: _Here, thing: Any, cable: Cable | None, home: str | None) -> _Here:
        """One link further, to a device."""
        mask = carried.by_cable(cable, here.mask)
        self.node(thing, _id(thing.place) or home)
        self.link(here.node, thing.id, (here.port, "in"), mask, cable)
        if isinstance(thing, NeutralEarthLink):
            self.electrode(thing.id, thing.electrode)
            mask = mask & ~conductors.PEN | conductors.N | conductors.PE
        return _Here(thing.id, "out", mask, here.board)

    def end(self, chain: Chain, here: _Here, cable: Cable | None, home: str | None) -> _Here | None:
        if isinstance(chain.load, Own):
            here = self.step(here, chain.load, cable, home)
        elif isinstance(chain.circuits, tuple) and "circuits" in chain.marks:
            return self.local_bar(chain, here, cable, home)
        elif isinstance(chain.feeds, Said):
            self.feed(self.objects.get(chain.feeds.id), here, cable)
        elif isinstance(chain.feeds, Own):
            here = self.step(here, chain.feeds, cable, home)
            if isinstance(chain.feeds, Inverter):
                self.direct_current(chain.feeds, chain.feeds.arrays)
        self.ends[chain.id] = here.node
        return None

    def local_bar(self, chain: Chain, here: _Here, cable: Cable | None, home: str | None) -> _Here:
        """The bar from which the inner circuits of a chain leave; the supply's and a terminal's own bar needs no node where nothing precedes it."""
        if isinstance(chain.in_line, tuple) and not chain.in_line and isinstance(chain, Supply | Terminal):
            return here
        bar = Bar(id=f"{chain.id}.bar", mark=chain.mark, marks={}, name=chain.name, status=chain.status, owner=chain.owner, place=chain.place)
        at = self.step(here, bar, cable, home)
        self.ends[chain.id] = at.node
        return _Here(at.node, "out", carried.by_cable(cable, here.mask), _id(chain.place) or home)

    def feed(self, target: Any, here: _Here, cable: Cable | None) -> None:
        mask = carried.by_cable(cable, here.mask)
        if isinstance(target, Board):
            self.link(here.node, self.enter(target, mask), (here.port, "in"), mask, cable)
        elif isinstance(target, Controller):
            self.node(target, _id(target.place))
            self.link(here.node, target.id, (here.port, "in"), mask, cable)
        elif isinstance(target, Terminal):
            device = self.objects.get(target.id.partition(".")[0])
            if isinstance(device, Ported):
                self.device(device)
                self.link(here.node, target.id, (here.port, "in"), mask, cable)
                self.inside(device, target, mask)

    # ---- devices with terminals ----

    def device(self, device: Ported) -> None:
        """The nodes of a device: its terminals, and itself where it is a source."""
        if device.id in self.seen:
            return
        self.seen.add(device.id)
        if isinstance(device, Source):
            self.node(device, _id(device.place))
        for name in device.terminals:
            terminal = self.objects.get(f"{device.id}.{name}")
            if isinstance(terminal, Terminal):
                self.node(terminal, _id(device.place))
        if isinstance(device, HybridInverter):
            self.direct_current(device, device.arrays, device.battery)

    def inside(self, device: Ported, fed: Terminal, mask: int) -> None:
        """The links inside a device from the terminal that is fed, and the chains of the terminals that these reach first."""
        name = fed.id.partition(".")[2]
        ways = {"normal": ("load",), "alternative": ("load",), "a": ("b",), "b": ("a",), "grid": ("backup",)}.get(name, ())
        for other in ways:
            if not self.graph.has_edge(f"{device.id}.{other}", fed.id):
                self.link(fed.id, f"{device.id}.{other}", (name, other), mask, device, key=f"{device.id}.{name}-{other}")
            self.out(device, other, mask)
        if isinstance(device, HybridInverter) and name == "grid":
            own = carried.by_source(device, mask)
            self.link(f"{device.id}.backup", device.id, ("backup", "in"), own, key=f"{device.id}.own")

    def out(self, device: Ported, name: str, mask: int) -> None:
        """The chain of a terminal, once."""
        said = device.ports.get(name) if isinstance(device.ports, dict) else None
        if isinstance(said, Terminal) and said.marks and said.id not in self.ends:
            self.ends[said.id] = said.id
            self.todo.append(((said,), _Here(said.id, "out", mask, _id(device.place))))

    def source(self, device: Any) -> None:
        """A generator or its inlet: power leaves it."""
        self.device(device)
        mask = carried.by_source(device, 0)
        self.link(device.id, f"{device.id}.out", ("out", "in"), mask, key=f"{device.id}.own")
        self.out(device, "out", mask)
        self.bars()

    def direct_current(self, inverter: Thing, arrays: Any, battery: Any = None) -> None:
        """Arrays and battery of an inverter with what stands between."""
        ends = [a for a in arrays if isinstance(a, Own)] if isinstance(arrays, tuple) else []
        for leaf in [*ends, *([battery] if isinstance(battery, Own) else [])]:
            last, cable = inverter.id, None
            for item in leaf.in_line if isinstance(leaf.in_line, tuple) else ():
                if isinstance(item, Cable):
                    cable = item
                elif isinstance(item, Own):
                    self.node(item, _id(item.place))
                    self.link(last, item.id, ("out", "in"), 0, cable, layer="dc")
                    last, cable = item.id, None
            self.node(leaf, _id(leaf.place))
            self.link(last, leaf.id, ("out", "in"), 0, cable, layer="dc")

    # ---- neutral and earth ----

    def neutrals(self) -> None:
        """Neutrals that go another way than the phases of their circuit."""
        for circuit in self.things(Circuit):
            end = self.ends.get(circuit.id)
            for other in _neutral_elsewhere(circuit, self.objects):
                start = other if other in self.graph else self.ends.get(other)
                if end is not None and start is not None and start != end:
                    self.link(start, end, ("out", "in"), conductors.N, layer="neutral", key=f"{circuit.id}.neutral")

    def electrode(self, owner: str, electrode: Any) -> None:
        if isinstance(electrode, Electrode):
            self.node(electrode, None)
            self.link(owner, electrode.id, ("earth", "in"), conductors.PE, layer="earth")

    def earthing(self) -> None:
        for bar in self.things(EarthBar):
            self.node(bar, _id(bar.place))
            if _id(bar.place) in self.graph:
                self.link(_id(bar.place) or "", bar.id, ("earth", "in"), conductors.PE, layer="earth")
            self.electrode(bar.id, bar.electrode)
            for bond in bar.bonding if isinstance(bar.bonding, tuple) else ():
                if isinstance(bond, Part):
                    self.node(bond, None)
                    self.link(bar.id, bond.id, ("earth", "in"), conductors.PE, layer="earth")
        for bar in self.things(EarthBar):
            for said in bar.joined_to if isinstance(bar.joined_to, tuple) else ():
                if _id(said) in self.graph:
                    self.link(bar.id, said.id, ("earth", "earth"), conductors.PE, layer="earth", key=f"{bar.id}.joined")

    # ---- control ----

    def control(self) -> None:
        for controller in self.things(Controller):
            if isinstance(controller.joined_to, Said) and controller.joined_to.id in self.graph:
                self.link(controller.joined_to.id, controller.id, ("lead", "lead"), 0, controller, layer="lead", key=f"{controller.id}.lead")
            for name, given in (controller.inputs.items() if isinstance(controller.inputs, dict) else ()):
                sensor = given.sensor if isinstance(given, Input) else None
                if isinstance(sensor, Said) and isinstance(self.objects.get(sensor.id), CurrentTransformer) and sensor.id in self.graph:
                    self.link(sensor.id, controller.id, ("secondary", name), 0, given, layer="lead", key=f"{sensor.id}.lead")
        for tap in self.things(Tap):
            self.node(tap, _id(tap.place))
        for bus in self.things(Bus):
            for segment in bus.segments if isinstance(bus.segments, tuple) else ():
                self.segment(segment)

    def segment(self, segment: Segment) -> None:
        if isinstance(segment, Segment) and isinstance(segment.from_, Said) and isinstance(segment.to, Said):
            if segment.from_.id in self.graph and segment.to.id in self.graph:
                self.link(segment.from_.id, segment.to.id, ("bus", "bus"), 0, segment, layer="bus", key=segment.id)

    # ---- parts ----

    def node(self, thing: Any, home: str | None) -> None:
        if thing.id not in self.graph:
            known = isinstance(self.objects.get(home or ""), Board | Place)  # a place that is nowhere is a fault of reading
            self.graph.add_node(thing.id, obj=thing, home=home if known else None)

    def link(self, u: str, v: str, ports: tuple[str, str], mask: int, run: Any = None, layer: str = "power", key: str = "") -> None:
        key = key or (run.id if run is not None else f"{v}.link")
        free, number = key, 2
        while free in self.keys:
            free, number = f"{key}.{number}", number + 1
        self.keys.add(free)
        self.graph.add_edge(u, v, key=free, layer=layer, obj=Link(free, ports, mask, run))


def _id(said: Any) -> str | None:
    return said.id if isinstance(said, Said) else None


def _neutral_elsewhere(circuit: Circuit, objects: dict[str, Any]) -> list[str]:
    """Where the neutral of a circuit goes if not beside its phases: the circuits that it shares with, or the board it was moved from.

    Of two circuits that name each other the first in the file keeps the neutral.
    """
    if circuit.neutral_moved is False and isinstance(circuit.moved_from, Said):
        return [circuit.moved_from.id]
    if not isinstance(circuit.shares_neutral_with, tuple):
        return []
    others = [objects.get(said.id) for said in circuit.shares_neutral_with if isinstance(said, Said)]
    owners = [o for o in others if isinstance(o, Circuit) and o is not circuit]
    return [o.id for o in owners if o.mark < circuit.mark or circuit.id not in [_id(s) for s in o.shares_neutral_with or ()]][:1]
