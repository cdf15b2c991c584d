# SPDX-License-Identifier: MIT
"""Two controllers that go by different grid sensors of one phase."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding, Related
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Controller, CurrentTransformer, Meter
from ._words import listed

__all__ = ["two_masters"]


@rule(each=Controller, severity="warning")
def two_masters(controller: Controller, site: Flows) -> Finding | None:
    """Controller that reads a grid sensor on a phase on which a controller before it in the file reads another, behind the same meter.

    Why: two systems that each steer by a grid measurement of their own chase each other. One measures and the other follows it.
    Bad: GW1 reads CT1 on L1 and GW2 reads CT2 on L1, both measures: grid behind one meter
    Good: GW2 is joined_to GW1, or reads CT1 as well
    Source: common practice, no source (makers of vehicle supplies ask for one grid measurement of each phase)
    """
    own = list(_measured(controller, site))
    others = [o for o in site.objects.values() if isinstance(o, Controller) and o.mark < controller.mark]
    for other in others:
        for phase, meter, sensor in _measured(other, site):
            clash = [mine for p, m, mine in own if (p, m) == (phase, meter) and mine.id != sensor.id]
            if clash and sensor.id not in [mine.id for _, _, mine in own]:
                return Finding(controller.mark, f"'{controller.id}' goes by {listed(c.id for c in clash)} and '{other.id}' by {sensor.id}, both on {phase}",
                               f"let one of them measure: join '{controller.id}' to '{other.id}'", objects=(controller.id, other.id, sensor.id, *(c.id for c in clash)),
                               related=(Related(other.mark, f"'{other.id}' reads {sensor.id}"),))
    return None


def _measured(controller: Controller, site: Flows) -> Iterator[tuple[str, str, CurrentTransformer]]:
    """The grid sensors that a controller reads: phase, the nearest meter before the sensor, and the sensor."""
    for given in controller.inputs.values():
        sensor = site.objects.get(given.sensor.id) if isinstance(getattr(given, "sensor", None), Said) else None
        if isinstance(sensor, CurrentTransformer) and sensor.measures == "grid" and sensor.id in site.graph:
            for phase in sensor.phase:
                yield phase, _meter(sensor.id, phase, site), sensor


def _meter(node: str, phase: str, site: Flows) -> str:
    """The nearest meter between the point of supply and a node; empty where there is none."""
    way = site.net(bits([phase])).path(site.root, node) if site.root else []
    return next((n for n in reversed(way) if isinstance(site.obj(n), Meter)), "")
