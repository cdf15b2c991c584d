# SPDX-License-Identifier: MIT
"""A generation sensor that sees a load, storage, or no generation."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer, Inverter, Load, ModuleInverters, Storage

__all__ = ["generation_sensor_sees_other"]


@rule(each=CurrentTransformer)
def generation_sensor_sees_other(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Generation sensor that sees a load or storage, or no generation at all.

    Why: what it reports as generation is then too small, or moves with the load.
    Bad: a sensor with measures: generation on the submain to a board with storage
    Good: the sensor on the circuit of the inverter
    Source: common practice, no source
    """
    if sensor.measures != "generation" or site.root is None or sensor.id not in site.graph:
        return
    for phase in sensor.phase:
        seen = site.net(bits([phase])).under(sensor.id, site.root)
        wrong = [n for n in seen if isinstance(site.obj(n), Load | Storage | Controller) and getattr(site.obj(n), "kind", "") != "spare"]
        if wrong:
            yield Finding(sensor.mark, f"generation sensor '{sensor.id}' on {phase} also sees {', '.join(wrong)}",
                          "move it to a conductor that carries generation only", objects=(sensor.id, *wrong))
        elif not any(isinstance(site.obj(n), ModuleInverters | Inverter) for n in seen):
            yield Finding(sensor.mark, f"generation sensor '{sensor.id}' on {phase} sees no generation", "move it to the circuit of the inverter",
                          objects=(sensor.id,))
