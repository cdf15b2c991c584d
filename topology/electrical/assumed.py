# SPDX-License-Identifier: MIT
"""What the computation of a site takes for granted, in words for the report and the schedules."""
from __future__ import annotations

from collections.abc import Iterator

from ..fault import C_MAX, C_MIN
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..site import Board, Cable, Circuit, HybridInverter, Load
from .conductors_of import impedance_of
from .given import Given
from .operating import MOTORS, charges

__all__ = ["computed_assumptions"]


def computed_assumptions(flows: Flows) -> Iterator[str]:
    """The assumptions of the computation that bear on a site, each as a sentence without its full stop."""
    if not any(isinstance(o, Cable) for o in flows.objects.values()):
        return
    given = Given(flows)
    air, ground = given.figure("ambient-air-temperature"), given.figure("ambient-ground-temperature")
    yield f"air of {air.value:g} °C and ground of {ground.value:g} °C around cables (profile {given.profiles[0]})"
    yield "words of laying stand for methods of installation as the profiles say (sld explain laying-in-conduit), from memory in the international one"
    yield "a cable is one multicore, and no more circuits lie with it than its 'grouped' says; cables in parallel lie together"
    yield from _loads(flows, given)
    yield from _open(flows, given)
    charged = [o.id for o in flows.objects.values() if isinstance(o, HybridInverter) and charges(given, o)]
    if charged:
        yield f"the battery of {_some(charged)} may charge from the supply at the rating of the inverter (operation: charge_from_grid)"
    rings = [o.id for o in flows.objects.values() if isinstance(o, Circuit) and o.ring is True]
    if rings:
        yield f"all of the load of the ring of {_some(rings)} stands at its middle for voltage drop and loop: a quarter of what its whole length has"
    if flows.sources:
        yield "a protective device carries its full rating for hours, beside others and in its enclosure, where its type says no factor (side_by_side, in_enclosure)"
    if any(layer == "neutral" for _, _, layer in flows.graph.edges(data="layer")):
        yield "a neutral that goes another way than its phases is counted beside its phases"
    yield (f"currents and voltages hold for the steady state{_at(given)} without harmonics, conductors as hot as their insulation may be; "
           f"fault currents with voltage factors {C_MAX:g} and {C_MIN:g}")
    editions = dict.fromkeys(table.edition for table in given.tables.all)
    yield f"tables used: {'; '.join(editions)}"
    memory = sum(not row.firm for table in given.tables.all for row in table.rows)
    yield f"{memory} rows of these tables are known from memory alone: what rests on them can warn only"


def _at(given: Given) -> str:
    """The frequency of the supply, where there is a supply."""
    try:
        return f" at {given.hertz:g} Hz"
    except CannotTell:
        return ""


def _loads(flows: Flows, given: Given) -> Iterator[str]:
    """How loads count."""
    loads = [o for o in flows.objects.values() if isinstance(o, Load)]
    if not loads:
        return
    said = any(isinstance(o, Board) and o.diversity is not None for o in flows.objects.values())
    share = given.number("diversity")
    yield (f"{share:g} % of the loads of a board run together{' where it says no diversity' if said else ''}; of several loads no more "
           "counts than the device before them lets through, and each circuit still runs alone at its full load")
    if any(isinstance(o.kind, str) and o.kind in MOTORS and o.power_factor is None for o in loads):
        yield f"motors, pumps and air conditioning have a power factor of {given.number('motor-power-factor'):g}"
    yield from _motors(loads)
    if any(getattr(o.power, "given", True) is False for o in loads):
        yield "a load without power draws what its device lets through"


def _open(flows: Flows, given: Given) -> Iterator[str]:
    """How devices and cables count that are not known, where numbers elsewhere rest on them."""
    devices = [o.id for o in flows.objects.values() if getattr(o, "limits_current", False) and isinstance(getattr(o, "rating", None), Unknown)]
    if devices:
        yield f"what {_some(devices)} would let through is not known, so that all loads behind count together"
    cables = list(_open_cables(flows, given))
    if cables:
        yield f"four-wire voltages elsewhere are those without the impedance of {_some(cables)}, which is not known: drops are a little larger"


def _open_cables(flows: Flows, given: Given) -> Iterator[str]:
    """Cables of the power layer whose impedance cannot be told."""
    for _, _, data in flows.graph.edges(data=True):
        link = data["obj"]
        if data["layer"] == "power" and isinstance(link.run, Cable):
            try:
                impedance_of(given, link.run, link)
            except CannotTell:
                yield link.run.id


def _motors(loads: list[Load]) -> Iterator[str]:
    """Whether the power of a motor is that of its shaft or what it takes from the supply."""
    by_shaft = [o.id for o in loads if o.efficiency is not None]
    if by_shaft:
        yield f"the power of {_some(by_shaft)} is that of the shaft: over the efficiency it gives what the supply has to bring"
    taken = [o.id for o in loads if o.efficiency is None and isinstance(o.kind, str) and o.kind in MOTORS and not isinstance(o.power, Unknown)]
    if taken:
        yield f"the power of {_some(taken)} is what it takes from the supply, not what its shaft gives: no efficiency is said"


def _some(names: list[str]) -> str:
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
