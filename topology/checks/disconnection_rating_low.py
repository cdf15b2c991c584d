# SPDX-License-Identifier: MIT
"""A disconnection device that is rated lower than the protective device of its circuit."""
from __future__ import annotations

from ..errors import Finding, Number, Related
from ..flow import Flows
from ..rule import rule
from ..site import Device, DisconnectionDevice
from ._sources import rating_of

__all__ = ["disconnection_rating_low"]


@rule(each=DisconnectionDevice, danger=True, by_status=True)
def disconnection_rating_low(device: DisconnectionDevice, site: Flows) -> Finding | None:
    """Disconnection device that is rated lower than the overcurrent device of its circuit.

    Why: the circuit may then carry, for hours, more than the contacts of the device stand.
    Bad: breaker 40 A and a disconnection device of 32 A behind it
    Good: breaker 32 A and a disconnection device of 32 A
    Source: IEC 60364-4-43, 433.1 (protection against overload of all that carries the current), from memory
    """
    if device.id not in site.graph:
        return None
    above = (site.obj(n) for n in site.upstream_to_bar(device.id))
    breaker = next((d for d in above if isinstance(d, Device) and d.limits_current), None)
    if breaker is None:
        return None
    rating = rating_of(device, site)
    if rating >= breaker.rating:
        return None
    return Finding(device.mark, f"'{device.id}' is rated {rating:g} A, less than the {breaker.rating:g} A of '{breaker.id}'",
                   f"use a device of at least {breaker.rating:g} A, or a smaller '{breaker.id}'", objects=(device.id, breaker.id),
                   numbers={"rating": Number(rating, "A"), "circuit": Number(breaker.rating, "A")},
                   related=(Related(breaker.mark, "the circuit is protected here"),))
