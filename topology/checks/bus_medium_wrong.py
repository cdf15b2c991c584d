# SPDX-License-Identifier: MIT
"""A segment of a bus in a cable that its type does not run on."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Segment

__all__ = ["bus_medium_wrong"]


@rule(each=Segment)
def bus_medium_wrong(segment: Segment, site: Flows) -> Finding | None:
    """Segment in another cable than the type of its bus asks for.

    Why: a pair that is not twisted or not shielded picks up what the power cables beside it radiate.
    Bad: medium: unshielded twisted pair on a bus whose type says medium: shielded twisted pair
    Good: medium: shielded twisted pair
    Source: Modbus over Serial Line guide V1.02, 3.6 (shielded cable, balanced pair); else the document of the type
    """
    if segment.medium is None or segment.id not in site.bus_of:
        return None
    bus = site.bus_of[segment.id]
    wanted = site.type_of(bus).medium
    if not wanted or segment.medium == wanted:
        return None
    return Finding(segment.marks["medium"], f"segment '{segment.id}' runs in {segment.medium}; its type of bus asks for {wanted}",
                   f"use {wanted} for this segment", objects=(segment.id, bus.id))
