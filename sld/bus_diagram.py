# SPDX-License-Identifier: MIT
"""Bus diagram: each bus as it is wired, device by device, with lengths, terminators and shield bonds."""
from __future__ import annotations

from typing import Any

from topology.errors import Unknown
from topology.flow import BusShape, Flows
from topology.kinds import Said
from topology.quantity import show_quantity
from topology.site import Bus, Segment

from sld.layout import Chain, ChainDevice, ChainLink, chain_layouts
from sld.primitives import Scene
from sld.sheet import compose
from sld.sheet_info import sheet_info
from sld.pens import BUS, pen_of
from sld.words import given

__all__ = ["bus_diagram"]


def bus_diagram(flows: Flows) -> Scene | None:
    """The bus diagram of a site; None where no bus can be drawn."""
    chains = tuple(chain for bus in flows.objects.values() if isinstance(bus, Bus) and (chain := _chain(flows, bus)).devices)
    if not chains:
        return None
    info = sheet_info(flows, "Bus diagram", power=False)
    return Scene("bus", f"{info.number} {info.title}".strip(), (compose(chain_layouts(chains), info),), info.creator)


def _chain(flows: Flows, bus: Bus) -> Chain:
    shape = flows.bus_shape(bus)
    segments = {s.id: s for s in bus.segments if isinstance(s, Segment)} if isinstance(bus.segments, tuple) else {}
    edges = [(u, v, key) for u, v, key, layer in flows.graph.edges(keys=True, data="layer") if layer == "bus" and key in segments]
    running = _running(shape, [(u, v, segments[key]) for u, v, key in edges])
    links = tuple(_link(segments[key], u, v, running.get(key, "")) for u, v, key in edges)
    return Chain(bus.id, _title(flows, bus, shape), tuple(_device(flows, bus, node) for node in shape.devices), links)


def _title(flows: Flows, bus: Bus, shape: BusShape) -> str:
    """Name of the bus, its medium, and its length against what its type allows."""
    kind = flows.types.get(bus.type_.id) if isinstance(bus.type_, Said) else None
    length = "TBC" if shape.length is None else show_quantity(shape.length, "m")
    most = f" of at most {show_quantity(kind.max_length, 'm')}" if kind is not None and isinstance(kind.max_length, float) else ""
    medium = f", {kind.medium}" if kind is not None and given(kind.medium) else ""
    name = str(bus.name) if given(bus.name) else bus.id
    return f"{name}{medium}: {length}{most}" + ("" if shape.is_chain else ": not a chain")


def _device(flows: Flows, bus: Bus, node: str) -> ChainDevice:
    obj = flows.obj(node)
    place = flows.home(node)
    lines = [node, *([str(obj.name)] if given(obj.name) else []), *([f"in {place}"] if place else [])]
    if given(obj.address):
        lines.append(f"address {obj.address}")
    placed = bus.terminators if isinstance(bus.terminators, tuple) else ()
    marks = tuple(("terminator", node) for said in placed if isinstance(said, Said) and said.id == node)
    return ChainDevice(node, node, tuple(lines), " ".join(lines), pen_of(obj), marks)


def _running(shape: BusShape, edges: list[tuple[str, str, Segment]]) -> dict[str, str]:
    """Length from the first device to the end of each segment along a chain; nothing where the bus is no chain."""
    if not shape.is_chain:
        return {}
    by_pair = {frozenset((u, v)): segment for u, v, segment in edges}
    total, found = 0.0, {}
    for a, b in zip(shape.devices, shape.devices[1:], strict=False):
        segment = by_pair[frozenset((a, b))]
        if isinstance(segment.length, Unknown):
            break
        total += segment.length
        found[segment.id] = f" (Σ {show_quantity(total, 'm')})"
    return found


def _link(segment: Segment, start: str, end: str, running: str) -> ChainLink:
    length = "TBC" if isinstance(segment.length, Unknown) else show_quantity(segment.length, "m")
    bonds: list[Any] = [b.id for b in segment.shield_bond if isinstance(b, Said)] if isinstance(segment.shield_bond, tuple) else []
    bond = next((b for b in bonds if b in (start, end)), "")
    return ChainLink(segment.id, segment.id, start, end, f"{length}{running}", bond, BUS)
