# SPDX-License-Identifier: MIT
"""A current transformer for less current than its conductor may carry."""
from __future__ import annotations

from ..conductors import bits
from ..errors import Finding, Number, Related, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import CurrentTransformer, Device

__all__ = ["sensor_primary_low"]


@rule(each=CurrentTransformer, severity="warning")
def sensor_primary_low(sensor: CurrentTransformer, site: Flows) -> Finding | None:
    """Current transformer whose rated primary current is less than the device of its conductor lets through.

    Why: beyond its rating it saturates and reports less than flows, so that a limit is exceeded without notice.
    Bad: fuse: 100 A gG, and ct: {primary: 50 A, …} behind it
    Good: ct: {primary: 100 A, …}
    Source: common practice, no source
    """
    if isinstance(sensor.primary, Unknown) or sensor.id not in site.graph:
        return None  # what the maker says of it is not in the file
    device = _limiting(sensor, site)
    if device is None or isinstance(device.rating, Unknown) or sensor.primary >= device.rating:
        return None
    return Finding(sensor.mark, f"'{sensor.id}' is for {sensor.primary:g} A, '{device.id}' lets through {device.rating:g} A",
                   f"use a sensor for at least {device.rating:g} A", objects=(sensor.id, device.id), related=(Related(device.mark, "the device"),),
                   numbers={"primary": Number(sensor.primary, "A"), "device": Number(device.rating, "A")})


def _limiting(sensor: CurrentTransformer, site: Flows) -> Device | None:
    """The device that limits the current of a sensor's conductor: the smallest in its own chain, else the nearest before it."""
    chain = site.circuit_of.get(sensor.id, site.site.supply)
    items = chain.in_line if not isinstance(chain, Unknown) and isinstance(chain.in_line, tuple) else ()
    own = [i for i in items if isinstance(i, Device) and i.limits_current and not isinstance(i.rating, Unknown)] if sensor in items else []
    if own:
        return min(own, key=lambda device: device.rating)
    for phase in sensor.phase:
        way = site.net(bits([phase])).path(site.root, sensor.id) if site.root else []
        found = next((site.obj(n) for n in reversed(way) if isinstance(site.obj(n), Device) and site.obj(n).limits_current), None)
        if found is not None:
            return found  # type: ignore[no-any-return]
    return None
