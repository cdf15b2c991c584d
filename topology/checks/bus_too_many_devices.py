# SPDX-License-Identifier: MIT
"""A bus with more devices than its type allows."""
from __future__ import annotations

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Bus, Tap

__all__ = ["bus_too_many_devices"]


@rule(each=Bus)
def bus_too_many_devices(bus: Bus, site: Flows) -> Finding | None:
    """Bus with more devices than its type allows; a polarised bus may allow fewer.

    Why: each device loads the line; with too many of them the signal gets too small for the last ones.
    Bad: 40 devices on a bus whose type says max_devices: 32
    Good: two buses of 20 devices
    Source: Modbus over Serial Line guide V1.02, 3.4.1 (32 without repeater) and 3.4.6 (4 fewer with polarisation); else the type's document
    """
    devices = [d for d in site.bus_shape(bus).devices if not isinstance(site.obj(d), Tap)]
    type_ = site.type_of(bus)
    less = (type_.polarised_less or 0) if bus.polarised_at is not None else 0
    most = type_.max_devices - less
    if len(devices) <= most:
        return None
    reason = f" ({less} fewer, because it is polarised)" if less else ""
    return Finding(bus.mark, f"bus '{bus.id}' has {len(devices)} devices; its type allows {most}{reason}",
                   "split it into two buses, or use a type or a repeater that carries more", objects=(bus.id,),
                   numbers={"devices": Number(len(devices), "1"), "allowed": Number(most, "1")})
