# SPDX-License-Identifier: MIT
"""Bus schedule: one row for each segment of each bus, with running length, bonds, terminators and addresses."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any

from topology.bus_signals import bus_reflections, reflections_said
from topology.dataclass import dataclass
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.signals import Reflections
from topology.site import Bus, EquipmentType, Segment

from .columns import FROM, ID, LENGTH, STATUS, TO, TYPE, Cell, Column, Table, build, dotted, joined, total
from .tender import first_totals, not_nothing, ordered, taken_for_existing

__all__ = ["buses"]


@dataclass(frozen=True, eq=False)
class _Segment:
    """A segment with what its row asks for. running: length [m] from the start of the chain to its far end."""

    bus: Bus
    segment: Segment
    running: Cell
    type: EquipmentType | Unknown | None
    flows: Flows
    first: bool
    """whether it is the first segment of its bus, on which stands what holds for the bus as a whole"""
    order: Cell = None
    """length to order of this medium on all buses [m], on the first segment of it"""

    @property
    def medium(self) -> Any:
        """What it runs on: as said of the segment, else by the type of the bus."""
        return self.segment.medium if isinstance(self.segment.medium, str) else dotted(self.type, "medium")

    @property
    def reflections(self) -> Reflections | Unknown | None:
        """Of the bus without its terminators."""
        try:
            return bus_reflections(self.flows, self.bus) if self.first else None
        except CannotTell as error:
            return error.unknown

    def terminator(self, end: Any) -> Cell:
        """Whether the device at an end carries a terminator; nothing where the file does not speak of terminators."""
        terminators = self.bus.terminators
        if isinstance(terminators, Unknown) or isinstance(end, Unknown):
            return terminators if isinstance(terminators, Unknown) else end
        if "terminators" not in self.bus.marks:
            return None
        if any(said.id == end.id for said in terminators if isinstance(said, Said)):
            return "yes"
        return next((said for said in terminators if isinstance(said, Unknown)), "no")

    def address(self, end: Any) -> Cell:
        """The address of the device at an end."""
        return end if isinstance(end, Unknown) else dotted(self.flows.objects.get(end.id), "address")


def buses(flows: Flows) -> Table:
    """The bus schedule. The running length is counted along the chain from the end where the first segment starts; a bus
    that is no chain has none."""
    made = list(_segments(flows))
    totals = first_totals(made, lambda s: str(s.medium), lambda s: ordered(flows, s.bus, s.segment.length))
    rows = (replace(s, order=not_nothing(totals.get(place))) for place, s in enumerate(made))
    ends = ((s.bus, [flows.objects.get(str(end)) for end in (s.segment.from_, s.segment.to)]) for s in made if s.first)
    return build("buses", "Bus schedule", COLUMNS, rows, taken_for_existing(ends))


def _segments(flows: Flows) -> Iterator[_Segment]:
    for bus in flows.objects.values():
        if isinstance(bus, Bus) and isinstance(bus.segments, tuple):
            segments = [segment for segment in bus.segments if isinstance(segment, Segment)]
            running = _running(flows, bus, segments)
            kind = flows.types.get(bus.type_.id) if isinstance(bus.type_, Said) else bus.type_
            for number, segment in enumerate(segments):
                yield _Segment(bus, segment, running.get(segment.id), kind, flows, not number)


def _running(flows: Flows, bus: Bus, segments: list[Segment]) -> dict[str, Cell]:
    """Running length at the far end of each segment of a chain."""
    shape = flows.bus_shape(bus)
    if not shape.is_chain or shape.segments != len(segments):
        return {}
    devices = list(shape.devices)
    if devices.index(segments[0].from_.id) > devices.index(segments[0].to.id):
        devices.reverse()
    between = {frozenset((segment.from_.id, segment.to.id)): segment for segment in segments}
    order = [between[frozenset(pair)] for pair in pairwise(devices)]
    return {segment.id: total(s.length for s in order[:n]) for n, segment in enumerate(order, 1)}


def _settles(segment: _Segment) -> Cell:
    """What reflections do on the bus, in words."""
    found = segment.reflections
    return reflections_said(found) if isinstance(found, Reflections) else found


def _said(end: Any) -> Cell:
    return end if isinstance(end, Unknown) else str(end)


COLUMNS: tuple[tuple[Column, Callable[[_Segment], Any]], ...] = (
    (ID, lambda s: s.segment.id),
    (Column("bus"), lambda s: s.bus.id),
    (Column("bus name"), lambda s: s.bus.name),
    (TYPE, lambda s: _said(s.bus.type_)),
    (Column("medium"), lambda s: s.medium),
    (FROM, lambda s: _said(s.segment.from_)),
    (Column("address at from"), lambda s: s.address(s.segment.from_)),
    (Column("terminator at from"), lambda s: s.terminator(s.segment.from_)),
    (TO, lambda s: _said(s.segment.to)),
    (Column("address at to"), lambda s: s.address(s.segment.to)),
    (Column("terminator at to"), lambda s: s.terminator(s.segment.to)),
    (Column("terminator", "ohm"), lambda s: dotted(s.type, "terminator")),
    (LENGTH, lambda s: s.segment.length),
    (Column("running length", "m"), lambda s: s.running),
    (Column("to order, all of this medium", "m"), lambda s: s.order),
    (Column("shield bond"), lambda s: joined(s.segment.shield_bond)),
    (STATUS, lambda s: s.bus.status),
    (Column("rate", "bit/s"), lambda s: s.bus.rate if s.first else None),
    (Column("round trip", "µs", 6, digits=2), lambda s: dotted(s.reflections, "round_trip_s")),
    (Column("reflections"), _settles),
)
