# SPDX-License-Identifier: MIT
"""A sensor whose P1 faces the other way than its controller expects."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer
from ._sources import type_or_none
from ._words import read_by

__all__ = ["sensor_reversed"]


@rule(each=CurrentTransformer)
def sensor_reversed(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Sensor whose P1 does not face the side that the controller reading it expects.

    Why: import then counts as export, so that storage charges when it should discharge and a limit of export never acts.
    Bad: P1: to load on a sensor read by a gateway whose type says P1: to supply
    Good: P1: to supply
    Source: IEC 61869-2 (marking of the terminals P1 and P2), from memory; the direction that a controller expects is in its document
    """
    for controller in read_by(sensor, site):
        type_ = type_or_none(controller, site) if isinstance(controller, Controller) else None
        if type_ is not None and type_.P1 is not None and sensor.P1 != type_.P1:
            yield Finding(sensor.marks.get("P1", sensor.mark), f"P1 of '{sensor.id}' faces {sensor.P1.removeprefix('to the ').removeprefix('to ')}; "
                          f"'{controller.id}' expects it to face {type_.P1.removeprefix('to ')}", f"turn the sensor round: P1: {type_.P1}",
                          objects=(sensor.id, controller.id))
