# SPDX-License-Identifier: MIT
"""A sensor that is read against the voltage of another phase than its own."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Controller, CurrentTransformer, Input

__all__ = ["sensor_reference_wrong"]


@rule(each=Controller)
def sensor_reference_wrong(controller: Controller, site: Flows) -> Iterator[Finding]:
    """Input whose voltage reference is another phase than the one that its sensor stands on.

    Why: power is voltage times current of one phase; against another phase its sign and size are wrong by a third of a turn.
    Bad: inputs: {1: CT1 on L2} with CT1 on L1
    Good: inputs: {1: CT1 on L1}
    Source: common practice, no source
    """
    for given in controller.inputs.values() if controller.inputs else ():
        sensor = site.objects.get(given.sensor.id) if isinstance(given, Input) and isinstance(given.sensor, Said) else None
        if isinstance(sensor, CurrentTransformer) and given.reference not in sensor.phase:
            yield Finding(given.mark, f"'{sensor.id}' stands on {' '.join(sensor.phase)}, and '{controller.id}' reads it against {given.reference}",
                          f"wire the reference of that input to {sensor.phase[0]}", objects=(controller.id, sensor.id))
