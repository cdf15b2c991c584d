# SPDX-License-Identifier: MIT
"""Site → networkx graph, directed away from the point of supply in the power layer.

Node: an id with `obj` (the object of the site; its class is the kind) and `home` (the board or place it stands in, or None).
Edge: (u, v, key = id) with `layer` (power, bus, lead, earth) and `obj`, a Link. Ratings are not copied: ask the object.
"""
from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import Any, ClassVar

import networkx as nx

from . import conductors
from .errors import Unknown
from .kinds import Said
from .read import ReadSite
from .site import Board, Bus, Cable, Chain, Circuit, Controller, CurrentTransformer, Electrode, NeutralEarthLink, Own, Segment, Site, Supply, Thing

__all__ = ["Bar", "Joint", "Link", "build_graph"]


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


@dataclass(frozen=True, slots=True)
class Link:
    """An edge. ports: the terminals at its ends; conductors: mask; run: the cable, segment or lead that it is, if any."""

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
        self.boards_todo: deque[tuple[Board, int]] = deque()
        self.seen: set[str] = set()

    def build(self) -> None:
        supply = self.site.supply
        if isinstance(supply, Supply):
            self.node(supply, None)
            end = self.chain(supply, _Here(supply.id, "out", _supply_mask(supply), None))
            if end is not None and isinstance(supply.circuits, tuple):
                self.bar(supply.circuits, end)
        self.boards()
        for board in self.things(Board):
            if board.id not in self.seen:
                self.enter(board, 0)
                self.boards()
        for controller in self.things(Controller):
            self.node(controller, _id(controller.place))
        self.control()

    def things(self, cls: type) -> list[Any]:
        return [o for o in self.objects.values() if isinstance(o, cls)]

    # ---- power ----

    def boards(self) -> None:
        """Work off the boards that have been reached, each once."""
        while self.boards_todo:
            board, mask = self.boards_todo.popleft()
            if isinstance(board.circuits, tuple):
                self.bar(board.circuits, _Here(board.id, "out", mask, board.id))

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
            self.boards_todo.append((board, mask))
        return first

    def bar(self, circuits: tuple[Circuit, ...], here: _Here) -> None:
        stack = [(circuit, here) for circuit in reversed(circuits)]
        while stack:
            circuit, at = stack.pop()
            if isinstance(circuit, Unknown):
                continue
            end = self.chain(circuit, _Here(at.node, at.port, _circuit_mask(circuit, at.mask), at.board))
            if end is not None and isinstance(circuit.circuits, tuple):
                stack.extend((inner, end) for inner in reversed(circuit.circuits))

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
            else:
                here = self.step(here, item, cable, home if home is not None or n < last_cable else target)
                cable = None
        return self.end(chain, here, cable, home)

    def joint(self, chain: Chain, number: int) -> Joint:
        return Joint(id=f"{chain.id}.joint{number if number > 1 else ''}", mark=chain.mark, marks={}, name="", status=chain.status,
                     owner=chain.owner, place=None)

    def step(self, here: _Here, thing: Any, cable: Cable | None, home: str | None) -> _Here:
        """One link further, to a device."""
        mask = _cable_mask(cable, here.mask)
        self.node(thing, _id(thing.place) or home)
        self.link(here.node, thing.id, (here.port, "in"), mask, cable)
        if isinstance(thing, NeutralEarthLink):
            self.earth(thing)
            mask = mask & ~conductors.PEN | conductors.N | conductors.PE
        return _Here(thing.id, "out", mask, here.board)

    def earth(self, link: NeutralEarthLink) -> None:
        if isinstance(link.electrode, Electrode):
            self.graph.add_node(link.electrode.id, obj=link.electrode, home=None)
            self.link(link.id, link.electrode.id, ("earth", "in"), conductors.PE, layer="earth")

    def end(self, chain: Chain, here: _Here, cable: Cable | None, home: str | None) -> _Here | None:
        if isinstance(chain.load, Own):
            self.step(here, chain.load, cable, home)
        elif isinstance(chain.circuits, tuple) and "circuits" in chain.marks:
            bar = Bar(id=f"{chain.id}.bar", mark=chain.mark, marks={}, name=chain.name, status=chain.status, owner=chain.owner, place=None)
            return _Here(self.step(here, bar, cable, home).node, "out", _cable_mask(cable, here.mask), home)
        elif isinstance(chain.feeds, Said):
            self.feed(self.objects.get(chain.feeds.id), here, cable)
        elif isinstance(chain.feeds, Own):
            self.step(here, chain.feeds, cable, home)
        return None

    def feed(self, target: Any, here: _Here, cable: Cable | None) -> None:
        mask = _cable_mask(cable, here.mask)
        if isinstance(target, Board):
            self.link(here.node, self.enter(target, mask), (here.port, "in"), mask, cable)
        elif isinstance(target, Controller):
            self.node(target, _id(target.place))
            self.link(here.node, target.id, (here.port, "in"), mask, cable)

    # ---- control ----

    def control(self) -> None:
        for controller in self.things(Controller):
            if isinstance(controller.joined_to, Said) and controller.joined_to.id in self.graph:
                self.link(controller.joined_to.id, controller.id, ("lead", "lead"), 0, controller, layer="lead", key=f"{controller.id}.lead")
            for name, given in (controller.inputs.items() if isinstance(controller.inputs, dict) else ()):
                sensor = getattr(given, "sensor", None)
                if isinstance(sensor, Said) and isinstance(self.objects.get(sensor.id), CurrentTransformer) and sensor.id in self.graph:
                    self.link(sensor.id, controller.id, ("secondary", name), 0, given, layer="lead", key=f"{sensor.id}.lead")
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
            self.graph.add_node(thing.id, obj=thing, home=home)

    def link(self, u: str, v: str, ports: tuple[str, str], mask: int, run: Any = None, layer: str = "power", key: str = "") -> None:
        key = key or (run.id if run is not None else f"{v}.link")
        free, number = key, 2
        while free in self.keys:
            free, number = f"{key}.{number}", number + 1
        self.keys.add(free)
        self.graph.add_edge(u, v, key=free, layer=layer, obj=Link(free, ports, mask, run))


def _id(said: Any) -> str | None:
    return said.id if isinstance(said, Said) else None


# ---- conductors ------------------------------------------------------------------------------------------------------

def _supply_mask(supply: Supply) -> int:
    """Conductors at the point of supply."""
    if isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown):
        return conductors.PHASES | conductors.N | conductors.PE
    phases, rest = supply.system.code
    return conductors.bits([*("L1", "L2", "L3")[:phases], *rest.split("/")])


def _circuit_mask(circuit: Circuit, upstream: int) -> int:
    """What of the bar's conductors a circuit takes: the phases it says, and N and PE."""
    if isinstance(circuit.phase, tuple):
        return upstream & ~conductors.PHASES | conductors.bits(circuit.phase)
    return upstream


def _cable_mask(cable: Cable | None, upstream: int) -> int:
    """What of the upstream conductors a cable carries on, by its list of conductors or by its cores."""
    if cable is None:
        return upstream
    if isinstance(cable.conductors, tuple) and cable.conductors:
        return conductors.bits(cable.conductors)
    mask = upstream
    for run in cable.runs if isinstance(cable.parts, tuple) else ():
        cores = getattr(run, "cores", None)
        if isinstance(cores, tuple):
            mask &= _core_mask(cores, mask)
    return mask


def _core_mask(cores: tuple[int, float | None], upstream: int) -> int:
    """Conductors that so many cores can be: phases first, then the neutral, then PE as a core of its own or as earth core."""
    number, earth = cores
    phases = len(conductors.phase_names(upstream))
    mask = upstream & conductors.PHASES
    if number > phases:
        mask |= conductors.NEUTRAL
    if earth is not None or number > phases + 1:
        mask |= conductors.PE
    return mask
