# SPDX-License-Identifier: MIT
"""A bus segment whose shield is not bonded at exactly one of its ends."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Bus

__all__ = ["shield_bond_wrong"]


@rule(each=Bus)
def shield_bond_wrong(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Shield of a segment bonded nowhere, at both ends, or somewhere else.

    Why: a shield bonded at both ends carries currents between earths; one bonded nowhere shields nothing.
    Bad: {from: BA1, to: BAT1, length: 9 m}
    Good: {from: BA1, to: BAT1, length: 9 m, shield_bond: BA1}
    Source: common practice, no source
    """
    kind = site.types.get(bus.type_.id)
    if kind is None or not kind.shield:
        return
    for segment in bus.segments:
        ends = (segment.from_.id, segment.to.id)
        bonds = [said.id for said in segment.shield_bond]
        off = [b for b in bonds if b not in ends]
        if len(bonds) != 1 or off:
            how = f"is bonded at {', '.join(off)}, which is not one of its ends" if off else f"is bonded {len(bonds)} times"
            yield Finding(segment.mark, f"the shield of segment {ends[0]}–{ends[1]} {how}", f"bond it at one end: shield_bond: {ends[0]}",
                          objects=(segment.id,))
