# SPDX-License-Identifier: MIT
"""Two devices of a bus with one address."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Related
from ..flow import Flows
from ..rule import rule
from ..site import Bus

__all__ = ["bus_address_twice"]


@rule(each=Bus)
def bus_address_twice(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Two devices of one bus that have the same address.

    Why: both answer at once, and neither is understood.
    Bad: BAT1 and BAT2 with address: "11" on one bus
    Good: addresses "11" and "12"
    Source: Modbus over Serial Line guide V1.02, 2.2 (each device has its own address on the bus)
    """
    taken: dict[str, str] = {}
    for device in site.bus_shape(bus).devices:
        address = getattr(site.obj(device), "address", None)
        if isinstance(address, str):
            first = taken.setdefault(address.strip(), device)
            if first != device:
                thing, other = site.obj(device), site.obj(first)
                yield Finding(thing.marks["address"], f"address {address} on bus '{bus.id}' is that of '{first}' already",
                              f"give '{device}' or '{first}' another address", objects=(device, first, bus.id),
                              related=(Related(other.marks["address"], f"the address of '{first}'"),))
