# SPDX-License-Identifier: MIT
"""A device that may not interrupt the fault current where it stands."""
from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from ..electrical import Electrical
from ..electrical.given import known
from ..errors import CannotTell, Finding, Number, Unknown
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
        gives no breaking capacity are left out. A cable that is not known is no reason to doubt a device that breaks what would flow without
        it; where no largest current is declared, the known loop says what flows at the least.
    Bad: faults: {largest: 10 kA at point of supply, …} and breaker: 20 A C 1P 6 kA right behind it
    Good: breaker: 20 A C 1P 10 kA at the same place
    Source: IEC 60364-4-43 clause 434.5.1; currents after IEC 60909-0
    """
    solved = on_site(site, device.id)
    untold = isinstance(device.breaking, Unknown) and not device.breaking.given and not isinstance(device, Breaker)
    if solved is None or untold or device.owner == "distributor":
        return
    breaking, node = known(device.breaking), solved.node(device.id)
    found = _above(solved, node, breaking)
    if found is not None:
        ampere, how = found
        inverters = solved.faults.of_inverters()
        yield Finding(device.mark, f"{device.word} '{device.id}' breaks {breaking / 1000:g} kA, the prospective current there is "
                      f"{ampere / 1000:.2f} kA ({how}); inverters add up to {inverters:.0f} A",
                      f"take a device that breaks at least {ampere / 1000:.2f} kA, or show back-up protection by the makers' tables",
                      objects=(device.id,),
                      numbers={"breaking": Number(breaking, "A"), "Ik": Number(round(ampere, 1), "A")})


def _above(solved: Electrical, node: int, breaking: float) -> tuple[float, str] | None:
    """The largest prospective current at a device and how it comes about, where that is above what it breaks [A]; None where it is not.

    Raises CannotTell where what is not known decides it.
    """
    before, phases = solved.tree.parent[node], len(solved.tree.phases(node))
    try:
        fault = solved.faults.largest(before, phases)
    except CannotTell as error:
        with suppress(CannotTell):
            if breaking >= solved.faults.largest(before, phases, []).ampere:
                return None
        least = 0.0
        with suppress(CannotTell):
            least = solved.faults.largest_at_least(before)
        if breaking >= least * (1 - 1e-9):
            raise
        return least, f"at the least, by the loop impedance; {error.unknown.what} is not known"
    return (fault.ampere, fault.working) if breaking < fault.ampere * (1 - 1e-9) else None
