# SPDX-License-Identifier: MIT
"""Sensors and buses as the test record asks for them."""
from __future__ import annotations

from collections.abc import Iterator

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.quantity import show_quantity
from topology.site import Bus, CurrentTransformer

from .columns import dotted, given
from .tested_on import On
from .walk import kind_of

__all__ = ["buses", "grid_sensors", "sensors", "shielded"]

ZERO_SHARE = 0.005
"""What a sensor may read of its rated current when nothing flows. Source: own proposal."""


def sensors(flows: Flows) -> Iterator[On]:
    """Every current transformer."""
    for sensor in flows.objects.values():
        if isinstance(sensor, CurrentTransformer):
            phase = " ".join(sensor.phase) if isinstance(sensor.phase, tuple) else "TBC"
            zero = f"≤ {show_quantity(sensor.primary * ZERO_SHARE, 'A')}" if isinstance(sensor.primary, float) else "0.5 % of its rated current"
            facing = f"P1 {sensor.P1}" if given(sensor, "P1") is not None and not isinstance(sensor.P1, Unknown) else "P1 TBC"
            rounds = len(flows.places(sensor))
            facing += f" on each of the {rounds} conductors through it" if rounds > 1 else ""
            yield On(sensor.id, {"phase": phase, "p1": facing, "zero": zero, "secondary": _secondary(sensor)})


def _secondary(sensor: CurrentTransformer) -> str:
    """How its secondary has to be treated, by what it gives."""
    said = sensor.secondary
    if not isinstance(said, str):
        return "secondary TBC: treat it as one that may never be open"
    if said.endswith("V"):
        return f"voltage output {said}: S1 and S2 as drawn"
    return f"current output {said}: short it before it is opened, never open under load; one side earthed where its maker says so"


def grid_sensors(flows: Flows) -> Iterator[On]:
    """Sensors of the grid, and those of which that is open."""
    measured = {o.id for o in flows.objects.values() if isinstance(o, CurrentTransformer) and (isinstance(o.measures, Unknown) or o.measures == "grid")}
    yield from (on for on in sensors(flows) if on.id in measured)


def buses(flows: Flows) -> Iterator[On]:
    """Every bus."""
    for bus in flows.objects.values():
        if isinstance(bus, Bus):
            one = dotted(kind_of(flows, bus), "terminator")
            ends = [end for end in bus.terminators if isinstance(end, Said)] if isinstance(bus.terminators, tuple) else []
            known = isinstance(one, float) and ends
            words = f"{show_quantity(one / len(ends), 'ohm', 3)}, {len(ends)} terminator{'' if len(ends) == 1 else 's'}" if known else "TBC"
            yield On(bus.id, {"bus": words, "bond": _bonds(bus), "addresses": _addresses(flows, bus)})


def _bonds(bus: Bus) -> str:
    bonds = [dotted(segment, "shield_bond") for segment in bus.segments] if isinstance(bus.segments, tuple) else []
    ends = [str(end) for bond in bonds for end in (bond if isinstance(bond, tuple) else ("TBC",))]
    return ", ".join(dict.fromkeys(ends)) or "TBC"


def _addresses(flows: Flows, bus: Bus) -> str:
    """Addresses as the file has them, and the rate."""
    segments = bus.segments if isinstance(bus.segments, tuple) else ()
    ends = dict.fromkeys(end.id for s in segments for end in (dotted(s, "from_"), dotted(s, "to")) if isinstance(end, Said))
    things = [flows.objects[end] for end in ends if hasattr(flows.objects.get(end), "address")]
    said = ", ".join(f"{thing.id} {thing.address if isinstance(thing.address, str) and thing.address else 'TBC'}" for thing in things)
    rate = f"; {show_quantity(bus.rate, 'bit/s')}" if isinstance(bus.rate, float) else ""
    return f"{said or 'TBC'}{rate}"


def shielded(flows: Flows) -> Iterator[On]:
    """Buses whose cable is shielded, or may be."""
    for on in buses(flows):
        shield = dotted(kind_of(flows, flows.objects[on.id]), "shield")
        if isinstance(shield, Unknown) or shield:
            yield on
