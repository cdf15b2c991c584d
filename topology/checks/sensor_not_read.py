# SPDX-License-Identifier: MIT
"""A sensor that no controller reads."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer
from ._words import known, read_by

__all__ = ["sensor_not_read"]


@rule(each=CurrentTransformer, severity="warning")
def sensor_not_read(sensor: CurrentTransformer, site: Flows) -> Finding | None:
    """Sensor that is no input of any controller, on a site whose controllers have inputs.

    Why: a core without its burden can carry a dangerous voltage on an open secondary, and nothing is measured.
    Bad: CT2, and inputs: {1: CT1 on L1}
    Good: inputs: {1: CT1 on L1, 2: CT2 on L1}
    Source: common practice, no source
    """
    controllers = site.all(Controller)
    if not any(c.inputs for c in controllers) or sensor.id not in site.graph or read_by(sensor, site):
        return None
    for controller in controllers:
        known(given.sensor for given in controller.inputs.values())
    return Finding(sensor.mark, f"no controller reads sensor '{sensor.id}'", "name it among the inputs of a controller, or remove it",
                   objects=(sensor.id,))
