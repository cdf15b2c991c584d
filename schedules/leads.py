# SPDX-License-Identifier: MIT
"""Cores of sensors' leads, device leads and bus segments, at both ends and at each joint between pieces."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.site import Bus, Controller, CurrentTransformer, Input, Segment

from .columns import Cell, dotted
from .core import UNSAID, Core, ends_of_pieces
from .walk import find, kind_of

__all__ = ["device_leads", "segment_cores", "sensor_leads"]

EXTENDED = "note it; the same at both ends"
"""Colour of a core that the crew lays on from the maker's own lead."""


def sensor_leads(flows: Flows) -> Iterator[Core]:
    """Both cores of each sensor's lead, at the sensor, at each joint and at each input that reads it."""
    for found in find(flows, CurrentTransformer):
        sensor = found.obj
        inputs = [(v, data["obj"].ports[1]) for _, v, data in flows.graph.out_edges(sensor.id, data=True) if isinstance(data["obj"].run, Input)] \
            if sensor.id in flows.graph else []
        for core in ("S1", "S2"):
            read = [(controller, f"input {name}, {core}") for controller, name in inputs] or [(Unknown(sensor.mark, f"what reads {sensor.id}"), core)]
            for number, piece, end, joint in ends_of_pieces(_pieces(sensor.lead)):
                places = [(sensor.id, f"joint {joint}, {core}")] if joint else [(sensor.id, core)] if end == "from" else read
                for at, terminal in places:
                    yield Core(sensor.id, number, end, at, terminal, core, _colour(number), f"{sensor.id}:{core}", dotted(piece, "area"),
                               found.board, found.circuit, sensor.status)


def _pieces(lead: Any) -> tuple[Any, ...]:
    """The pieces of a lead, one unknown or empty one where the file does not say them."""
    return lead if isinstance(lead, tuple) and lead else (lead or None,) if not isinstance(lead, Unknown) else (lead,)


def _colour(piece: int) -> str:
    return UNSAID if piece == 1 else EXTENDED


def device_leads(flows: Flows) -> Iterator[Core]:
    """The lead of each controller to the one that it is joined to, with its plugs, and each joint where it was extended."""
    for found in find(flows, Controller):
        device = found.obj
        other = device.joined_to
        if other is None:
            continue
        far = other.id if isinstance(other, Said) else other
        for number, piece, end, joint in ends_of_pieces(_pieces(device.lead)):
            at, terminal = (far, f"lead of {device.id}") if end == "from" else (device.id, "own lead")
            at, terminal = (device.id, f"joint {joint} of its lead") if joint else (at, terminal)
            yield Core(device.id, number, end, at, terminal, "all of the lead", _colour(number), f"{device.id}:lead", dotted(piece, "area"),
                       _board(flows, device), "", device.status)


def _board(flows: Flows, device: Controller) -> str:
    """The board that a device stands in, "" for none."""
    return (flows.home(device.id) or "") if device.id in flows.graph else ""


def segment_cores(flows: Flows) -> Iterator[Core]:
    """The data cores and the shield of each bus segment at both ends."""
    for bus in flows.objects.values():
        for segment in bus.segments if isinstance(bus, Bus) and isinstance(bus.segments, tuple) else ():
            if isinstance(segment, Segment):
                yield from _segment(flows, bus, segment)


def _segment(flows: Flows, bus: Bus, segment: Segment) -> Iterator[Core]:
    medium = segment.medium if isinstance(segment.medium, str) else dotted(kind_of(flows, bus), "medium")
    shielded = not isinstance(medium, str) or medium.startswith("shielded")
    for end, said in (("from", segment.from_), ("to", segment.to)):
        device = said if isinstance(said, Unknown) else said.id
        for core, terminal in (("data +", "data +"), ("data -", "data -"), *((("shield", _shield(segment, device)),) if shielded else ())):
            yield Core(segment.id, 1, end, device, terminal, core, UNSAID, f"{segment.id}:{core}", None, "", bus.id, bus.status)


def _shield(segment: Segment, device: Cell) -> Cell:
    """Whether the shield is bonded at this end; an end that is not is cut back and insulated."""
    bonds = segment.shield_bond
    if isinstance(bonds, Unknown) or isinstance(device, Unknown):
        return bonds if isinstance(bonds, Unknown) else device
    return "bonded to earth" if str(device) in [str(bond) for bond in bonds] else "not bonded: cut back and insulated"
