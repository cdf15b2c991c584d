# SPDX-License-Identifier: MIT
"""Bus diagram: each bus as it is wired, device by device, with lengths, terminators, shield bonds and addresses.

A bus that is not a chain (tee, ring, pieces) is drawn as it is wired, without running lengths.
"""
from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

from topology.errors import Unknown
from topology.flow import BusShape, Flows
from topology.kinds import Said
from topology.quantity import show_quantity
from topology.site import Bus, Controller, EquipmentType, Segment, Tap

from sld.layout import Chain, ChainDevice, ChainLink, Drawn, chain_layout
from sld.paging import paged
from sld.primitives import Scene
from sld.sheet_info import sheet_info
from sld.pens import BUS, pen_of
from sld.words import given

__all__ = ["bus_diagram"]

WIDTHS = (198.0, 380.0, 560.0, 800.0, 1100.0)  # of a drawing, the widest for buses that are very long [mm]
ROW = 250.0  # of a drawing on A4, above its title block [mm]
NARROW = 150.0  # of a drawing on A4, standing [mm]
HIGH = 240.0  # beyond this a bus is drawn wider, if that helps [mm]
NOTES = ("Σ is the running length from the first device of a bus.",
         "A bond is drawn at the end of its section at which the shield is bonded.",
         "Terminals: data + to data + and data - to data - from device to device; the marks on the equipment prevail. "
         "A shield is cut back and insulated where no bond is drawn.")


def bus_diagram(flows: Flows) -> Scene | None:
    """The bus diagram of a site; None for a site without a bus, or with buses that nothing is wired to."""
    chains = [chain for chain in distinct([_chain(flows, bus) for bus in flows.objects.values() if isinstance(bus, Bus)]) if chain.devices]
    if not chains:
        return None
    info = sheet_info(flows, "Bus diagram", power=False)
    one_row, *narrow = ([chain_layout([chain], width) for chain in chains] for width in (ROW, *((NARROW,) if info.paper else ())))
    return paged("bus", replace(info, notes=(*info.notes, *NOTES)), [drawn(chain) for chain in chains], [one_row], narrow)


def distinct(chains: list[Chain]) -> list[Chain]:
    """A device that stands on several buses is drawn on each, under an id of its own."""
    seen: set[str] = set()
    found = []
    for chain in chains:
        names = {d.id: d.id if d.id not in seen else f"{chain.id}.{d.id}" for d in chain.devices}
        seen |= set(names)
        devices = tuple(replace(d, id=names[d.id]) for d in chain.devices)
        links = tuple(replace(k, start=names[k.start], end=names[k.end], bond=names.get(k.bond, ""), also=names.get(k.also, ""))
                      for k in chain.links)
        found.append(replace(chain, devices=devices, links=links))
    return found


def drawn(chain: Chain) -> Drawn:
    """A bus folded into rows, wider where it would be higher than a sheet."""
    forms = [chain_layout([chain], width) for width in WIDTHS]
    return next((form for form in forms if form.height <= HIGH), forms[-1])


# ---- from the site ---------------------------------------------------------------------------------------------------

def _chain(flows: Flows, bus: Bus) -> Chain:
    shape = flows.bus_shape(bus)
    segments = [s for s in bus.segments if isinstance(s, Segment)] if isinstance(bus.segments, tuple) else []
    running = _running(shape, segments)
    links = tuple(_link(segment, running.get(segment.id, "")) for segment in segments)
    placed = [said.id for said in _said(bus.terminators) if said.id in flows.graph]
    names = dict.fromkeys([*shape.devices, *(end for link in links for end in (link.start, link.end)), *placed])
    devices = tuple(_device(flows, bus, name) for name in names)
    return Chain(bus.id, f"{bus.name} ({bus.id})" if given(bus.name) else bus.id, devices, links, lines=_facts(flows, bus, shape))


def _said(value: Any) -> tuple[Said, ...]:
    """The references of a list; none of them where the list is not known."""
    return tuple(said for said in value if isinstance(said, Said)) if isinstance(value, tuple) else ()


def _facts(flows: Flows, bus: Bus, shape: BusShape) -> tuple[str, ...]:
    """Below the name: the type, what it allows, and how much of that is used."""
    kind = flows.types.get(bus.type_.id) if isinstance(bus.type_, Said) else None
    length = "TBC" if shape.length is None else show_quantity(shape.length, "m")
    most = f" of at most {show_quantity(kind.max_length, 'm')}" if kind is not None and isinstance(kind.max_length, float) else ""
    count = f" of at most {kind.max_devices}" if kind is not None and isinstance(kind.max_devices, int) else ""
    medium = f", {kind.medium}" if kind is not None and given(kind.medium) else ""
    devices = sum(not isinstance(flows.obj(name), Tap) for name in shape.devices)
    lines = [f"Type {bus.type_ if isinstance(bus.type_, Said) else 'TBC'}{medium}",
             f"Length {length}{most}; {devices}{count} devices"]
    lines += _ends(bus, kind)
    if not shape.is_chain:
        lines.append(f"Not a chain: {_wrong(shape)}. Drawn as wired, without running length.")
    return tuple(lines)


def _ends(bus: Bus, kind: EquipmentType | None) -> list[str]:
    """Terminators, shield and polarisation in words."""
    ohms = f" {show_quantity(kind.terminator, 'ohm')}" if kind is not None and isinstance(kind.terminator, float) else ""
    where = "TBC" if isinstance(bus.terminators, Unknown) else ", ".join(str(s) for s in _said(bus.terminators)) or "none given"
    lines = [f"Terminators{ohms}: {where}"]
    if kind is not None and kind.shield is True and isinstance(kind.bond_ends, str):
        lines.append(f"Shield to be bonded at {'one end' if kind.bond_ends == 'one' else 'both ends'} of each section")
    return lines + ([f"Polarised at {bus.polarised_at}"] if isinstance(bus.polarised_at, Said) else [])


def _wrong(shape: BusShape) -> str:
    """Why a bus is no chain."""
    tees = [name for name, number in shape.degree.items() if number > 2]
    words = [f"in {shape.pieces} pieces"] if shape.pieces > 1 else []
    words += [f"more than two sections meet at {', '.join(tees)}"] if tees else []
    if shape.segments - len(shape.devices) + shape.pieces > 0:
        words.append("it has a ring")
    return "; ".join(words) or "it has no section"


def _device(flows: Flows, bus: Bus, name: str) -> ChainDevice:
    """The box of a device; one that is not on the site, or not known, is drawn too, as it is said to be wired."""
    marks = tuple(("terminator", name) for said in _said(bus.terminators) if said.id == name)
    if name not in flows.graph:
        lines: tuple[str, ...] = ("TBC",) if name.endswith(".TBC") else (name, "not on this site")
        return ChainDevice(name, name.removesuffix(".TBC"), lines, " ".join(lines), marks=marks)
    obj = flows.obj(name)
    lines = (name, *_device_facts(flows, name, obj))
    return ChainDevice(name, name, lines, " ".join(lines), pen_of(obj), marks)


def _device_facts(flows: Flows, name: str, obj: Any) -> list[str]:
    lines = [str(obj.name) if given(obj.name) else str(obj.kind) if isinstance(obj, Controller) else str(obj.word)]
    if (place := flows.home(name)) is not None:
        lines.append(f"in {place}")
    if given(getattr(obj, "address", "")):
        lines.append(f"address {obj.address}")
    if isinstance(obj, Controller) and isinstance(obj.joined_to, Said):
        lead = "" if isinstance(obj.lead_length, Unknown) else f"{show_quantity(round(obj.lead_length, 3), 'm')} "
        lines.append(f"{lead}lead to {obj.joined_to}")
    return lines


def _running(shape: BusShape, segments: list[Segment]) -> dict[str, str]:
    """Length from the first device to the end of each segment along a chain; nothing where the bus is no chain."""
    if not shape.is_chain:
        return {}
    by_pair = {frozenset((str(s.from_), str(s.to))): s for s in segments}
    total, found = 0.0, {}
    for pair in pairwise(shape.devices):
        segment = by_pair[frozenset(pair)]
        if isinstance(segment.length, Unknown):
            break
        total += segment.length
        found[segment.id] = f" (Σ {show_quantity(round(total, 3), 'm')})"
    return found


def _link(segment: Segment, running: str) -> ChainLink:
    length = "TBC" if isinstance(segment.length, Unknown) else show_quantity(segment.length, "m")
    start, end = (said.id if isinstance(said, Said) else f"{segment.id}.{name}.TBC"
                  for name, said in (("from", segment.from_), ("to", segment.to)))
    bonds = [b.id for b in _said(segment.shield_bond)]
    here = [b for b in dict.fromkeys(bonds) if b in (start, end)]
    away = "".join(f", bond at {b}" for b in bonds if b not in (start, end))
    away += ", bond TBC" if isinstance(segment.shield_bond, Unknown) and segment.shield_bond.given else ""
    medium = f", {segment.medium}" if isinstance(segment.medium, str) else ""
    text = f"{length}{running}{medium}{away}"
    return ChainLink(segment.id, segment.id, start, end, text, here[0] if here else "", BUS, here[1] if len(here) > 1 else "")
