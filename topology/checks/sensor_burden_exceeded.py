# SPDX-License-Identifier: MIT
"""A sensor with a current output whose lead and input burden it more than its core stands."""
from __future__ import annotations

import re

from ..burden import copper_rho, lead_burden
from ..electrical import solve
from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer
from ._sources import type_or_none

__all__ = ["sensor_burden_exceeded"]


@rule(each=CurrentTransformer, limits=("sensor-lead-temperature",))
def sensor_burden_exceeded(sensor: CurrentTransformer, site: Flows) -> Finding | None:
    """Current transformer whose lead, there and back, and whose input take more than its rated burden.

    Why: over its burden a core saturates and reads too little. Only outputs in ampere have a burden; those in volt are limited by length.
    Bad: a 5 A secondary of 2.5 VA with 30 m of 1.5 mm² to its input (21 VA)
    Good: a 1 A secondary of 2.5 VA with the same lead (0.8 VA)
    Source: IEC 61869-2 (rated burden), from memory; burden = I² · (2 · ρ · length / area), copper after IEC 60028 at the profile's temperature
    """
    type_ = type_or_none(sensor, site)
    found = re.fullmatch(r"(\d+(?:\.\d+)?) ?(A|mA)", sensor.secondary) if isinstance(sensor.secondary, str) else None
    if type_ is None or type_.burden is None or found is None or isinstance(sensor.lead, Unknown) and not sensor.lead.given:
        return None
    current = float(found[1]) / (1000 if found[2] == "mA" else 1)
    given = solve(site).given
    rho = copper_rho(given.tables, given.number("sensor-lead-temperature"))
    burden = sum(lead_burden(current, part.length, part.area, rho) for part in sensor.lead) + _input(sensor, site)
    if burden <= type_.burden:
        return None
    return Finding(sensor.marks["lead"], f"lead and input burden '{sensor.id}' with {burden:.1f} VA; its core is rated {type_.burden:g} VA",
                   "use a thicker or shorter lead, or a core with a smaller secondary current", objects=(sensor.id,),
                   numbers={"burden": Number(round(burden, 3), "VA"), "allowed": Number(type_.burden, "VA")})


def _input(sensor: CurrentTransformer, site: Flows) -> float:
    """The burden of the inputs that read a sensor, as far as their types say it [VA]."""
    readers = [site.obj(v) for _, v, data in site.graph.out_edges(sensor.id, data=True) if data["layer"] == "lead"]
    types = [type_or_none(r, site) for r in readers if isinstance(r, Controller)]
    return sum(t.input_burden for t in types if t is not None and t.input_burden is not None)
