# SPDX-License-Identifier: MIT
"""A device that may not interrupt the fault current where it stands."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical.given import known
from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Breaker, Fuse, FuseSwitch
from ._electrical import on_site

__all__ = ["breaking_capacity_too_small"]


@rule(each=(Breaker, Fuse, FuseSwitch), danger=True, by_status=True)
def breaking_capacity_too_small(device: Breaker | Fuse | FuseSwitch, site: Flows) -> Iterator[Finding]:
    """Circuit-breaker or fuse whose breaking capacity is below the largest prospective current at its place.

    Why: it may burst when it is needed. The current comes from the declared largest one and the cables from there, cold; a device further
        up that limits the current (back-up protection) is not counted: its maker's tables must show it. Fuses of which the file
        gives no breaking capacity are left out.
    Bad: faults: {largest: 10 kA at point of supply, …} and breaker: 20 A C 1P 6 kA right behind it
    Good: breaker: 20 A C 1P 10 kA at the same place
    Source: IEC 60364-4-43 clause 434.5.1; currents after IEC 60909-0
    """
    solved = on_site(site, device.id)
    untold = isinstance(device.breaking, Unknown) and not device.breaking.given and not isinstance(device, Breaker)
    if solved is None or untold or device.owner == "distributor":
        return
    breaking, node = known(device.breaking), solved.node(device.id)
    fault = solved.faults.largest(solved.tree.parent[node], len(solved.tree.phases(node)))
    if breaking < fault.ampere * (1 - 1e-9):
        inverters = solved.faults.of_inverters()
        yield Finding(device.mark, f"{device.word} '{device.id}' breaks {breaking / 1000:g} kA, the prospective current there is "
                      f"{fault.ampere / 1000:.2f} kA ({fault.working}); inverters add up to {inverters:.0f} A",
                      "take a device of a higher breaking capacity, or show back-up protection by the makers' tables",
                      objects=(device.id,),
                      numbers={"breaking": Number(breaking, "A"), "Ik": Number(round(fault.ampere, 1), "A")})
