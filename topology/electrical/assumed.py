# SPDX-License-Identifier: MIT
"""What the computation of a site takes for granted, in words for the report and the schedules."""
from __future__ import annotations

from collections.abc import Iterator

from ..fault import C_MAX, C_MIN
from ..flow import Flows
from ..site import Board, Cable, Load
from .given import Given
from .operating import MOTORS

__all__ = ["computed_assumptions"]


def computed_assumptions(flows: Flows) -> Iterator[str]:
    """The assumptions of the computation that bear on a site, each as a sentence without its full stop."""
    if not any(isinstance(o, Cable) for o in flows.objects.values()):
        return
    given = Given(flows)
    air, ground = given.figure("ambient-air-temperature"), given.figure("ambient-ground-temperature")
    yield f"air of {air.value:g} °C and ground of {ground.value:g} °C around cables (profile {given.profiles[0]})"
    yield "a cable is one multicore, and no more circuits lie with it than its 'grouped' says"
    yield from _loads(flows, given)
    if any(layer == "neutral" for _, _, layer in flows.graph.edges(data="layer")):
        yield "a neutral that goes another way than its phases is counted beside its phases"
    yield ("currents and voltages hold for the steady state without harmonics, conductors as hot as their insulation may be; "
           f"fault currents with voltage factors {C_MAX:g} and {C_MIN:g}")
    editions = dict.fromkeys(table.edition for table in given.tables.all)
    yield f"tables used: {'; '.join(editions)}"
    memory = sum(not row.firm for table in given.tables.all for row in table.rows)
    yield f"{memory} rows of these tables are known from memory alone: what rests on them can warn only"


def _loads(flows: Flows, given: Given) -> Iterator[str]:
    """How loads count."""
    loads = [o for o in flows.objects.values() if isinstance(o, Load)]
    if not loads:
        return
    said = any(isinstance(o, Board) and o.diversity is not None for o in flows.objects.values())
    share = given.number("diversity")
    yield (f"{share:g} % of the loads of a board run together{' where it says no diversity' if said else ''}; of several loads no more "
           "counts than the device before them lets through")
    if any(isinstance(o.kind, str) and o.kind in MOTORS and o.power_factor is None for o in loads):
        yield f"motors, pumps and air conditioning have a power factor of {given.number('motor-power-factor'):g}"
    if any(getattr(o.power, "given", True) is False for o in loads):
        yield "a load without power draws what its device lets through"
