# SPDX-License-Identifier: MIT
"""Sensor schedule: what each current transformer measures, how it is fitted, what reads it and what stands behind it."""
from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.site import CurrentTransformer, Input, Load, Source

from .columns import BOARD, CIRCUIT, ID, NAME, STATUS, Cell, Column, Table, build, dotted, joined, total
from .tender import first_totals, not_nothing, ordered, taken_for_existing
from .walk import Found, chains, find

__all__ = ["sensors"]

MOST_LOADS = 40
"""Loads named in one cell; beyond that the cell says how many more."""


class _Sensor:
    """A sensor with what its row asks for."""

    order: Cell = None
    """Length to order of this make of extension for all sensors [m], on the first sensor that has one."""

    def __init__(self, found: Found, flows: Flows) -> None:
        self.found, self.flows, self.obj = found, flows, found.obj
        self.id: str = found.obj.id
        self.in_graph = self.id in flows.graph

    @property
    def place(self) -> Cell:
        """The board or place that it stands in."""
        return self.flows.home(self.id) if self.in_graph else None

    @property
    def inputs(self) -> list[tuple[str, str, Input]]:
        """Controller, name of the input, and the input, for each that reads the sensor."""
        edges = self.flows.graph.out_edges(self.id, data=True) if self.in_graph else ()
        return [(controller, data["obj"].ports[1], data["obj"].run) for _, controller, data in edges if isinstance(data["obj"].run, Input)]

    @cached_property
    def behind(self) -> Any:
        """Ids of what the sensor separates from the point of supply, on the phases that it measures, at each place where its core goes round."""
        phases = self.obj.phase
        if isinstance(phases, Unknown) or not self.in_graph:
            return phases if isinstance(phases, Unknown) else ()
        return tuple(dict.fromkeys(node for phase in phases for node in self.flows.seen_by(self.obj, phase)))

    @property
    def further(self) -> list[str]:
        """The further places at which its core goes round a conductor, each with its circuit: `CT2.2 in MSB.3`."""
        at = {(item.mark.file, item.mark.line, item.mark.column): placed.chain.id for placed in chains(self.flows)
              if isinstance(placed.chain.in_line, tuple) for item in placed.chain.in_line if isinstance(item, Said)}
        passes = (self.flows.obj(place) for place in (self.flows.places(self.obj)[1:] if self.in_graph else ()))
        return [f"{each.id} in {at[each.mark.file, each.mark.line, each.mark.column]}" for each in passes]

    def kinds_behind(self, cls: type) -> Any:
        """Ids of a kind behind the sensor."""
        behind = self.behind
        return behind if isinstance(behind, Unknown) else [node for node in behind if isinstance(self.flows.obj(node), cls)]


def sensors(flows: Flows) -> Table:
    """The sensor schedule. Lead lengths [m] are the sum of all pieces of a lead, there and not back."""
    made = [_Sensor(found, flows) for found in find(flows, CurrentTransformer)]
    pieces = [(sensor, piece) for sensor in made for piece in _extensions(sensor)]
    totals = first_totals(pieces, lambda p: (str(p[0].obj.status), str(dotted(p[1], "area")), str(dotted(p[1], "make"))),
                          lambda p: ordered(flows, p[0].obj, dotted(p[1], "length")))
    for place, sum_ in totals.items():
        pieces[place][0].order = not_nothing(sum_)
    readers = ((sensor.obj, [flows.objects.get(controller) for controller, _, _ in sensor.inputs]) for sensor in made)
    return build("sensors", "Sensor schedule", COLUMNS, made, taken_for_existing(readers))


def _extensions(sensor: _Sensor) -> tuple[Any, ...]:
    """The pieces of a lead behind the maker's own one."""
    return sensor.obj.lead[1:] if isinstance(sensor.obj.lead, tuple) else ()


def _p1(sensor: _Sensor) -> Cell:
    return sensor.obj.P1 if isinstance(sensor.obj.P1, Unknown) else sensor.obj.P1.removeprefix("to ")


def _lead_length(sensor: _Sensor) -> Cell:
    lead = sensor.obj.lead
    return lead if isinstance(lead, Unknown) else total(dotted(part, "length") for part in lead)


def _lead_make(sensor: _Sensor) -> Cell:
    lead = sensor.obj.lead
    if isinstance(lead, Unknown):
        return lead
    makes = (str(joined(dotted(part, "make"))) for part in lead)
    return "; ".join(dict.fromkeys(make for make in makes if make))


def _references(sensor: _Sensor) -> Cell:
    references = [given.reference for _, _, given in sensor.inputs]
    return references[0] if len(references) == 1 else joined(references, "; ")


def _loads(sensor: _Sensor) -> Cell:
    loads = sensor.kinds_behind(Load)
    if isinstance(loads, Unknown) or len(loads) <= MOST_LOADS:
        return joined(loads)
    return f"{' '.join(loads[:MOST_LOADS])} and {len(loads) - MOST_LOADS} more"


COLUMNS: tuple[tuple[Column, Callable[[_Sensor], Any]], ...] = (
    (ID, lambda s: s.id),
    (NAME, lambda s: s.obj.name),
    (Column("measures"), lambda s: s.obj.measures),
    (Column("conductor"), lambda s: joined(s.obj.phase)),
    (Column("place"), lambda s: s.place),
    (BOARD, lambda s: s.found.board),
    (CIRCUIT, lambda s: s.found.circuit),
    (Column("also round"), lambda s: "; ".join(s.further)),
    (Column("P1 faces"), _p1),
    (Column("primary", "A"), lambda s: s.obj.primary),
    (Column("secondary"), lambda s: s.obj.secondary),
    (Column("lead length", "m"), _lead_length),
    (Column("lead make"), _lead_make),
    (Column("to order, all extensions of this make", "m"), lambda s: s.order),
    (Column("read by"), lambda s: joined((controller for controller, _, _ in s.inputs), "; ")),
    (Column("input"), lambda s: joined((name for _, name, _ in s.inputs), "; ")),
    (Column("reference phase"), _references),
    (Column("sources behind"), lambda s: joined(s.kinds_behind(Source))),
    (Column("loads behind"), _loads),
    (STATUS, lambda s: s.obj.status),
)
