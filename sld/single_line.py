# SPDX-License-Identifier: MIT
"""Single-line diagram: the power layer of the graph as an ordered tree of strips, the buses and leads as nets."""
from __future__ import annotations

from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Bar, Link
from topology.site import Board, Bus, Cable, Circuit, Controller, CurrentTransformer, Filter, Meter, Place, Segment, Thing

from sld.layout import Enclosure, Feed, Net, Strip, layouts
from sld.layout import Segment as Run
from sld.primitives import Pen, Scene
from sld.sheet import compose
from sld.sheet_info import last_revision, sheet_info
from sld.words import cable_lines, device_lines, given

__all__ = ["BUS", "LEAD", "pen_of", "single_line"]

EXISTING, NEW, REMOVED = Pen(0.25), Pen(0.5), Pen(0.25, (2.0, 1.0))
BUS, LEAD = Pen(0.35, (3.0, 1.0)), Pen(0.25, (1.0, 0.75))


def pen_of(obj: Any) -> Pen:
    """Status as drafting draws it: existing and altered thin, new and relocated thick, removed thin and dashed."""
    status = getattr(obj, "status", "existing")
    return {"new": NEW, "relocated": NEW, "removed": REMOVED}.get(status if isinstance(status, str) else "", EXISTING)


def revised(obj: Any, revision: str) -> str:
    """The letter in the triangle beside what is altered; a dash on a drawing without revisions."""
    return (revision or "–") if getattr(obj, "status", "") == "altered" else ""


def single_line(flows: Flows) -> Scene:
    """The single-line diagram of a site."""
    tree = _Tree(flows)
    root = tree.strip(flows.root or "")
    drawn = layouts(root, tree.nets(), tree.enclosures())
    info = sheet_info(flows, "Single-line diagram")
    return Scene("single-line", f"{info.number} {info.title}".strip(), (compose(drawn, info),))


class _Tree:
    """Walks the graph once, in the order of the file."""

    def __init__(self, flows: Flows) -> None:
        self.flows = flows
        self.done: set[str] = set()
        self.marks = _terminators(flows)
        self.circuits = _ends_of_circuits(flows)
        self.revision = last_revision(flows.site.drawing)

    def strip(self, root: str) -> Strip:
        """The tree below a node, built from its leaves up without recursion."""
        order, below = self._order(root)
        built: dict[str, Strip] = {}
        for node, feed in reversed(order):
            built[node] = self._one(node, feed, tuple(built[child] for child in below[node]))
        return built[root]

    def _order(self, root: str) -> tuple[list[tuple[str, Feed | None]], dict[str, list[str]]]:
        order: list[tuple[str, Feed | None]] = []
        below: dict[str, list[str]] = {}
        stack: list[tuple[str, Feed | None]] = [(root, None)]
        self.done.add(root)
        while stack:
            node, feed = stack.pop()
            order.append((node, feed))
            below[node] = []
            for child, wire in self._children(node):
                if child not in self.done:
                    self.done.add(child)
                    below[node].append(child)
                    stack.append((child, wire))
        return order, below

    def _children(self, node: str) -> list[tuple[str, Feed]]:
        found = []
        for _, child, data in self.flows.graph.out_edges(node, data=True):
            link: Link = data["obj"]
            if data["layer"] == "power":
                found.append((child, self._feed(link, child)))
            elif data["layer"] == "lead" and isinstance(link.run, Controller):
                length = (f"lead {link.run.lead_length:g} m",) if isinstance(link.run.lead_length, float) else ()
                found.append((child, Feed(link.id, link.run.id, "lead", lines=length, pen=LEAD)))
        return found

    def _feed(self, link: Link, child: str) -> Feed:
        cable = link.run if isinstance(link.run, Cable) else None
        if cable is None:
            return Feed(link.id, child, pen=pen_of(self.flows.obj(child)))
        return Feed(link.id, cable.id, lines=cable_lines(cable), conductors=conductors.supply_code(link.conductors), pen=pen_of(cable),
                    crossed=cable.status == "removed", revised=revised(cable, self.revision))

    def _one(self, node: str, feed: Feed | None, children: tuple[Strip, ...]) -> Strip:
        obj = self.flows.obj(node)
        lines = () if isinstance(obj, Board | Bar) else device_lines(obj, self.flows.types)
        if node == self.flows.root:
            lines = _supply_lines(self.flows)
        elif node in self.circuits:
            lines = (*_circuit_lines(self.circuits[node]), *lines)
        return Strip(node, node, _kind(obj), lines, title=" ".join(lines), pen=pen_of(obj), wire=feed, children=children,
                     enclosure=self.flows.home(node), marks=self.marks.get(node, ()), crossed=getattr(obj, "status", "") == "removed",
                     revised=revised(obj, self.revision))

    def enclosures(self) -> tuple[Enclosure, ...]:
        """Boards and places in which something stands."""
        homes = dict.fromkeys(h for node in self.done if (h := self.flows.home(node)) is not None)
        return tuple(Enclosure(o.id, o.id, _enclosure_lines(o)) for o in self.flows.objects.values() if o.id in homes)

    def nets(self) -> tuple[Net, ...]:
        """The buses whose devices are drawn."""
        return tuple(Net(bus.id, "bus", runs, bus.name or bus.id, pen=BUS)
                     for bus in self.flows.objects.values() if isinstance(bus, Bus) if (runs := self._runs(bus)))

    def _runs(self, bus: Bus) -> tuple[Run, ...]:
        ids = {s.id: s for s in bus.segments if isinstance(s, Segment)} if isinstance(bus.segments, tuple) else {}
        return tuple(Run(key, key, u, v, f"{ids[key].length:g} m" if isinstance(ids[key].length, float) else "TBC")
                     for u, v, key, layer in self.flows.graph.edges(keys=True, data="layer")
                     if layer == "bus" and key in ids and u in self.done and v in self.done)


def _ends_of_circuits(flows: Flows) -> dict[str, Circuit]:
    """The first device of each circuit with its circuit: the way stands beside it."""
    circuits = (o for o in flows.objects.values() if isinstance(o, Circuit) and isinstance(o.in_line, tuple))
    return {first.id: circuit for circuit in circuits if (first := next(iter(circuit.in_line), None)) is not None and hasattr(first, "id")}


def _circuit_lines(circuit: Circuit) -> tuple[str, ...]:
    """Way and name of a circuit."""
    way = f"{circuit.way}" if isinstance(circuit.way, tuple) else ""
    name = str(circuit.name) if given(circuit.name) else ""
    return (f"{way} {name}".strip(),) if way or name else ()


def _terminators(flows: Flows) -> dict[str, tuple[tuple[str, str], ...]]:
    marks: dict[str, tuple[tuple[str, str], ...]] = {}
    for bus in (o for o in flows.objects.values() if isinstance(o, Bus)):
        for said in bus.terminators if isinstance(bus.terminators, tuple) else ():
            if hasattr(said, "id"):
                marks[said.id] = (*marks.get(said.id, ()), ("terminator", said.id))
    return marks


def _kind(obj: Any) -> str:
    """The kind of symbol that stands for an object."""
    if isinstance(obj, CurrentTransformer):
        return {"to supply": "ct-p1-up", "to load": "ct-p1-down"}.get(obj.P1 if isinstance(obj.P1, str) else "", "ct")
    if isinstance(obj, Meter):
        return f"meter-{obj.direction}" if isinstance(obj.direction, str) else "meter-both"
    if isinstance(obj, Filter):
        return "filter-ferrite" if isinstance(obj.kind, str) and obj.kind == "ferrite" else "filter"
    return str(obj.symbol)


def _enclosure_lines(obj: Board | Place | Thing) -> tuple[str, ...]:
    first = f"{obj.id} {obj.name}".strip()
    if isinstance(obj, Board) and not isinstance(obj.busbar, Unknown):
        return (f"{first}, {obj.busbar:g} A",)
    return (first,)


def _supply_lines(flows: Flows) -> tuple[str, ...]:
    supply = flows.site.supply
    system = supply.system
    lines = ["Point of supply"]
    if not isinstance(system, Unknown):
        voltage = "TBC" if isinstance(system.voltage, Unknown) else "/".join(f"{volts:g}" for volts in system.voltage) + " V"
        frequency = "TBC" if isinstance(system.frequency, Unknown) else f"{system.frequency:g} Hz"
        code = "TBC" if isinstance(system.code, Unknown) else f"{system.code[0]}/{system.code[1]}"
        lines.append(f"{code} AC {frequency} {voltage}")
    lines.append("allocation TBC" if isinstance(supply.allocation, Unknown) else f"allocation {supply.allocation:g} A")
    return tuple(lines)
