# SPDX-License-Identifier: MIT
"""The forest of a site as strips, nets and enclosures, with the words and pens of each object."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Pass
from topology.site import (Array, Board, Bus, Cable, Circuit, Controller, CurrentTransformer, Filter, HybridInverter, Meter, Segment)

from sld.earth_strips import earth_strips
from sld.facts import fact
from sld.layout import Enclosure, Feed, Net, Strip
from sld.layout import Segment as Run
from sld.line_pens import line_states
from sld.pens import BUS, LEAD, pen_as, pen_of, revised, status_of
from sld.power_graph import Edge, order, power_forest
from sld.sheet_info import last_revision
from sld.split import PLACE, Forest
from sld.words import Words

__all__ = ["site_forest"]


def site_forest(flows: Flows) -> Forest:
    """All that the single-line diagram of a site shows."""
    return _Maker(flows).forest()


class _Maker:
    """Walks the graph once, in the order of the file."""

    def __init__(self, flows: Flows) -> None:
        self.flows = flows
        self.power = power_forest(flows)
        self.marks = _terminators(flows)
        self.circuits = _ends_of_circuits(flows)
        self.words = Words(flows)
        self.revision = last_revision(flows.site.drawing)
        self.volts = _voltages(flows)
        self.own_nets = (*self.buses(), *self.leads())
        self.on_nets = {end for net in self.own_nets for segment in net.segments for end in (segment.start, segment.end)}
        self.beside: dict[str, tuple[Strip, Feed]] = {}
        self.extra: dict[str, list[Strip]] = {}
        self.states = line_states(flows, self.power)
        self.above = {edge.end: edge for found in self.power.below.values() for edge in found}

    def forest(self) -> Forest:
        """Trees, buses and leads, enclosures."""
        for tie in self.power.ties:
            self.tie(tie)
        boards = [node for node in self.power.below if isinstance(self.obj(node), Board)]
        for board, strip in earth_strips(self.flows, boards, self.revision):
            self.extra.setdefault(board, []).append(strip)
        roots = tuple(self.strip(root) for root in self.power.roots)
        return Forest(roots, self.own_nets, self.enclosures())

    def strip(self, root: str) -> Strip:
        """The tree below a device, built from its leaves up without recursion."""
        built: dict[str, Strip] = {}
        for node in reversed(list(order(self.power, root))):
            children = tuple(built.pop(edge.end) for edge in self.power.below[node])
            built[node] = self.one(node, children)
        return built[root]

    # ---- devices ----

    def obj(self, node: str) -> Any:
        return self.flows.obj(node) if node in self.flows.graph else self.flows.objects[node]

    def home(self, node: str) -> str | None:
        """The board or place that a device stands in."""
        if node in self.flows.graph:
            return self.flows.home(node)
        return self.flows.home(next(f"{node}.{name}" for name in self.obj(node).terminals if f"{node}.{name}" in self.flows.graph))

    def one(self, node: str, children: tuple[Strip, ...]) -> Strip:
        obj = self.obj(node)
        lines = self.lines(node, obj)
        side, side_wire = self.beside.get(node, (None, None))
        return Strip(node, node, self.kind(obj), lines, " ".join(lines), pen_of(obj), self.wire(node, obj),
                     (*children, *self.extra.get(node, ())), self.home(node), self.marks.get(node, ()),
                     status_of(obj) == "removed", revised(obj, self.revision), side=side, side_wire=side_wire)

    def lines(self, node: str, obj: Any) -> tuple[str, ...]:
        """What stands beside a device; what an inverter has on its other side is drawn, not written."""
        if node == self.flows.root:
            return self.words.supply()
        lines = self.words.device(obj)
        beyond = len(self.words.beyond(obj))
        if beyond:
            lines = lines[:-beyond]
        return (*self.words.circuit(self.circuits[node]), *lines) if node in self.circuits else lines

    def kind(self, obj: Any) -> str:
        """The kind of symbol that stands for an object; an inverter whose array and battery are drawn is a plain one."""
        if isinstance(obj, HybridInverter) and self.words.beyond(obj):
            return "inverter"
        return _kind(obj)

    # ---- lines ----

    def wire(self, node: str, obj: Any) -> Feed | None:
        """The line that comes into a device from above."""
        edge = self.above.get(node)
        if edge is None:
            return None
        return replace(self.feed(edge), port=self.port(edge), into=edge.into)

    def port(self, edge: Edge) -> str:
        """The name of the terminal at which a line begins."""
        obj = self.obj(edge.end)
        if edge.layer == "dc":
            while self.power.below[edge.end]:
                edge = self.power.below[edge.end][0]
                obj = self.obj(edge.end)
            return f"PV {fact(obj, 'input')}".strip() if isinstance(obj, Array) else "battery"
        return edge.port

    def feed(self, edge: Edge) -> Feed:
        """A line with the text of its cable."""
        link = edge.link
        if edge.layer == "lead":
            length = (f"lead {link.run.lead_length:g} m",) if isinstance(link.run.lead_length, float) else ()
            return Feed(link.id, link.run.id, "lead", lines=length, pen=LEAD)
        cable = link.run if isinstance(link.run, Cable) else None
        if cable is None:
            return Feed(link.id, edge.end, pen=pen_as(self.states[edge.end]))
        first = self.words.circuit(self.circuits[cable.id]) if cable.id in self.circuits else ()
        mask = link.conductors
        code = f"{conductors.supply_code(mask)}{self.volts.get(len(conductors.phase_names(mask)), '')}" if mask else "DC"
        return Feed(link.id, cable.id, lines=(*first, *self.words.cable(cable)), conductors=code, pen=pen_of(cable),
                    crossed=status_of(cable) == "removed", revised=revised(cable, self.revision), number=len(conductors.names(mask)))

    def tie(self, edge: Edge) -> None:
        """A line to a device that has its place already: drawn as a second line where it can be, else as a pair of references."""
        if edge.into == "alternative" and edge.end not in self.beside:
            chain = self.chain(edge)
            if chain is not None:
                self.power.roots.remove(chain[0])
                self.beside[edge.end] = (self.strip(chain[0]), self.feed(edge))
                return
        self.refer(edge)

    def chain(self, edge: Edge) -> list[str] | None:
        """The devices of a line that is nothing but a second line to a device: one after the other, in the same board or place."""
        nodes = [edge.start]
        while nodes[0] in self.above:
            nodes.insert(0, self.above[nodes[0]].start)
        own = self.home(edge.end)
        for node in nodes:
            ways = len(self.power.below[node]) + sum(tie.start == node for tie in self.power.ties)
            if ways != 1 or self.home(node) != own or node in self.on_nets or node in self.marks or node in self.beside or node == self.flows.root:
                return None
        return nodes

    def refer(self, edge: Edge) -> None:
        """References at both ends of a line."""
        wire, key = self.feed(edge), edge.link.id
        to = f"{edge.end} {edge.into}".strip()
        self.extra.setdefault(edge.start, []).append(
            Strip(f"{key}.to", wire.object, "reference", (f"to {to}", PLACE), pen=wire.pen, wire=replace(wire, port=edge.port), pair=f"{key}.from",
                  enclosure=self.home(edge.start) if self.home(edge.start) == self.home(edge.end) else None))
        rest = Feed(f"{key}.on", wire.object, pen=wire.pen, port=edge.into)
        here = Strip(f"{key}.from", wire.object, "reference-from", (f"from {self.called(edge.start)}", PLACE), pen=wire.pen, pair=f"{key}.to",
                     enclosure=self.home(edge.end))
        if edge.into == "alternative" and edge.end not in self.beside:
            self.beside[edge.end] = (here, rest)
        else:
            self.extra.setdefault(edge.end, []).append(replace(here, kind="reference", wire=rest, enclosure=None))

    def called(self, node: str) -> str:
        """What a place is called in a reference: its own designation, else the board that it stands in."""
        return self.words.names.of(self.obj(node)) or self.home(node) or node

    # ---- nets and enclosures ----

    def enclosures(self) -> tuple[Enclosure, ...]:
        """Boards and places in which something stands."""
        homes = dict.fromkeys(h for node in self.power.below if (h := self.home(node)) is not None)
        return tuple(Enclosure(o.id, o.id, self.words.enclosure(o)) for o in self.flows.objects.values() if o.id in homes)

    def buses(self) -> Sequence[Net]:
        """Each bus with its segments."""
        runs: dict[str, list[Run]] = {}
        for u, v, data in self.flows.graph.edges(data=True):
            segment = data["obj"].run
            if data["layer"] == "bus" and isinstance(segment, Segment) and u in self.power.below and v in self.power.below:
                length = f"{segment.length:g} m" if isinstance(segment.length, float) else "TBC"
                runs.setdefault(self.flows.bus_of[segment.id].id, []).append(Run(segment.id, segment.id, u, v, length))
        buses = [o for o in self.flows.objects.values() if isinstance(o, Bus) and o.id in runs]
        return [Net(bus.id, "bus", tuple(runs[bus.id]), fact(bus, "name") or bus.id, pen=BUS) for bus in buses]

    def leads(self) -> Sequence[Net]:
        """From each sensor to the input of its controller."""
        found = []
        for u, v, key, data in self.flows.graph.edges(keys=True, data=True):
            if data["layer"] == "lead" and not isinstance(data["obj"].run, Controller) and u in self.power.below and v in self.power.below:
                found.append(Net(key, "lead", (Run(key, u, u, v, "", "secondary", "inputs"),), pen=LEAD))
        return found


def _voltages(flows: Flows) -> dict[int, str]:
    """How the voltage of a line is written, by the number of its phases."""
    system = flows.site.supply.system if not isinstance(flows.site.supply, Unknown) else None
    volts = getattr(system, "voltage", None)
    if not isinstance(volts, tuple) or not volts:
        return {}
    high, low = f"{max(volts):g}", f"{min(volts):g}"
    all_phases = f"{high}/{low}" if high != low else high
    return {1: f" AC {low} V", 2: f" AC {all_phases} V", 3: f" AC {all_phases} V"}


def _ends_of_circuits(flows: Flows) -> dict[str, Circuit]:
    """The first device or cable of each circuit with its circuit: the way stands beside it."""
    circuits = (o for o in flows.objects.values() if isinstance(o, Circuit) and isinstance(o.in_line, tuple))
    return {first.id: circuit for circuit in circuits if (first := next(iter(circuit.in_line), None)) is not None and hasattr(first, "id")}


def _terminators(flows: Flows) -> dict[str, tuple[tuple[str, str], ...]]:
    marks: dict[str, tuple[tuple[str, str], ...]] = {}
    for bus in (o for o in flows.objects.values() if isinstance(o, Bus)):
        for said in bus.terminators if isinstance(bus.terminators, tuple) else ():
            if hasattr(said, "id"):
                marks[said.id] = (*marks.get(said.id, ()), ("terminator", said.id))
    return marks


def _kind(obj: Any) -> str:
    """The kind of symbol that stands for an object."""
    if isinstance(obj, Pass):
        return _kind(obj.core)
    if isinstance(obj, CurrentTransformer):
        return {"to supply": "ct-p1-up", "to load": "ct-p1-down"}.get(obj.P1 if isinstance(obj.P1, str) else "", "ct")
    if isinstance(obj, Meter):
        return f"meter-{obj.direction}" if isinstance(obj.direction, str) else "meter-both"
    if isinstance(obj, Filter):
        return "filter-ferrite" if isinstance(obj.kind, str) and obj.kind == "ferrite" else "filter"
    return str(obj.symbol)
