# SPDX-License-Identifier: MIT
"""A generation sensor that sees a load, a controller or storage, or no generation."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Chain, Controller, CurrentTransformer, Inverter, Load, ModuleInverters, Storage
from ._words import listed, on_phase

__all__ = ["generation_sensor_sees_other"]


@rule(each=CurrentTransformer)
def generation_sensor_sees_other(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Generation sensor that sees a load, a controller or storage, or no generation at all.

    Why: what it reports as generation is then too small, or moves with the load or with the storage. Spare ways do not count.
    Bad: a sensor with measures: generation on the submain to a board with storage
    Good: the sensor on the circuit of the inverter
    Source: common practice, no source
    """
    if sensor.measures != "generation" or site.root is None or sensor.id not in site.graph:
        return
    for phase in sensor.phase:
        if not site.fed(sensor.id, bits([phase])):
            continue  # not-fed says it
        wrong = on_phase(site, sensor.id, phase, (Load, Storage, Controller))
        right = on_phase(site, sensor.id, phase, (ModuleInverters, Inverter))
        who = f"generation sensor '{sensor.id}' on {phase}"
        sees = f"also sees {listed(wrong)}" if right else f"sees {listed(wrong)} and no generation"
        if wrong:
            yield Finding(sensor.mark, f"{who} {sees}",
                          "move it to a conductor that carries generation only", objects=(sensor.id, *wrong),
                          numbers={"others": Number(len(wrong), "1"), "generation": Number(len(right), "1")})
        elif not right:
            if isinstance(end := _leads_to(sensor, site), Unknown):
                raise CannotTell(end)
            yield Finding(sensor.mark, f"{who} sees no generation", "move it to the circuit of the inverter",
                          objects=(sensor.id,), numbers={"others": Number(0, "1"), "generation": Number(0, "1")})


def _leads_to(sensor: CurrentTransformer, site: Flows) -> object:
    """What the chain feeds in which the sensor stands."""
    chains = (obj for obj in site.objects.values() if isinstance(obj, Chain) and isinstance(obj.in_line, tuple))
    return next((chain.feeds for chain in chains if any(item is sensor for item in chain.in_line)), None)
