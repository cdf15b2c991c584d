# SPDX-License-Identifier: MIT
"""A device that lets more through than the cable behind it can carry."""
from __future__ import annotations

from collections.abc import Callable, Iterator

from ..capacity import coordination
from ..disconnection import conventional
from ..errors import Finding, Number, Related
from ..flow import Flows
from ..rule import rule
from ..site import Cable, Fuse, FuseSwitch
from ._electrical import CAUTION, cables_fed, told_capacity, weight

__all__ = ["breaker_above_cable_capacity"]


@rule(each=Cable, danger=True, by_status=True, limits=("ring-final-device", "ring-final-capacity"))
def breaker_above_cable_capacity(cable: Cable, site: Flows) -> Iterator[Finding]:
    """Circuit-breaker or fuse whose rating is above the current-carrying capacity of the cable that it protects.

    Why: it does not trip before the cable is too hot. For a circuit-breaker the rating must not be above the capacity; a fuse trips
        later (at 1.6 times its rating from 16 A on, smaller ones at 1.9 and 2.1 times), so that its rating must not be above nine tenths of it, or less. A leg of a ring final carries half of the current
        at the least; where the profile has a rule for rings (ring-final-capacity), that decides.
    Bad: in_line: [breaker: 32 A C 1P 6 kA, cable: 2.5 mm² 2C+2.5E Cu PVC 20 m in conduit]
    Good: in_line: [breaker: 20 A C 1P 6 kA, cable: 2.5 mm² 2C+2.5E Cu PVC 20 m in conduit]
    Source: IEC 60364-4-43 clause 433.1 (In not above Iz, I2 not above 1.45 Iz); capacities as their rows in topology/tables say
    """
    for solved, node, part, number in cables_fed(cable, site):
        device = solved.faults.device(node)
        rated = solved.rated(node)
        if device is None or rated is None or device.owner == "distributor":
            continue  # the distributor's fuse protects the distributor's cable
        multiple = conventional(solved.given.tables, "fuse" if isinstance(device, Fuse | FuseSwitch) else "breaker", "opens", rated).number("multiple")
        told = told_capacity(solved, node, part, _protected(rated, multiple))
        if told is None:
            continue
        capacity, unless = told
        which = f"part {number} of cable '{cable.id}'" if cable.parts and len(cable.parts) > 1 else f"cable '{cable.id}'"
        most = capacity.ampere * 1.45 / multiple
        why = f"; it trips for sure at {multiple:g} In only, and 1.45 Iz is the limit" if rated <= capacity.ampere else ""
        yield Finding(part.mark, f"{device.word} '{device.id}' of {rated:g} A stands before {which}, whose capacity is {capacity.ampere:.1f} A "
                      f"({capacity.working}{unless}){why}", f"take a device of at most {min(most, capacity.ampere):.1f} A, or a larger cable",
                      objects=(cable.id, device.id), severity=weight(capacity.firm),
                      numbers={"In": Number(rated, "A"), "Iz": Number(round(capacity.ampere, 2), "A")},
                      related=(Related(device.mark, "the device"),),
                      source=f"IEC 60364-4-43 clause 433.1; capacity: {capacity.rows[0].source} ({CAUTION})")


def _protected(rated: float, multiple: float) -> Callable[[float], bool]:
    """Whether a device of a rating [A] protects a cable of a capacity [A]."""
    return lambda capacity: coordination(0.0, rated, capacity, multiple).cable_is_protected
