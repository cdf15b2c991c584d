# SPDX-License-Identifier: MIT
"""A bus segment whose shield is not bonded at exactly one of its ends."""
from __future__ import annotations

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Segment
from ._words import known

__all__ = ["shield_bond_wrong"]


@rule(each=Segment)
def shield_bond_wrong(segment: Segment, site: Flows) -> Finding | None:
    """Shield of a bus segment bonded nowhere, at both ends, or somewhere else.

    Why: a shield bonded at both ends carries currents between two earths; one that is bonded nowhere shields nothing.
    Bad: {from: BA1, to: BAT1, length: 9 m}
    Good: {from: BA1, to: BAT1, length: 9 m, shield_bond: BA1}
    Source: Modbus over Serial Line guide V1.02, 3.6 (the shield of each cable to protective earth at one of its ends)
    """
    ends = [said.id for said in known((segment.from_, segment.to))]
    placed = known(segment.shield_bond)
    bonds = [said.id for said in placed]
    off = [said for said in placed if said.id not in ends]
    if (len(bonds) == 1 and not off) or any(said.id not in site.objects for said in off):
        return None
    if segment.id not in site.bus_of or not site.type_of(site.bus_of[segment.id]).shield:
        return None
    mark = off[0].mark if off else segment.marks.get("shield_bond", segment.mark)
    how = f"at {off[0].id}, which is not one of its ends" if off else f"{len(bonds)} times ({', '.join(bonds)})" if bonds else "nowhere"
    return Finding(mark, f"the shield of segment '{segment.id}' is bonded {how}", f"bond it at one of its ends: shield_bond: {ends[0]}",
                   objects=(segment.id, *bonds), numbers={"bonds": Number(len(bonds), "1"), "wanted": Number(1, "1")})
