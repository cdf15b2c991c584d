# SPDX-License-Identifier: MIT
"""A cable that would carry more than it can."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Design, Electrical
from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Cable, CablePart
from ._electrical import CAUTION, cables_fed, told_capacity, weight

__all__ = ["cable_overloaded"]


@rule(each=Cable, danger=True, by_status=True)
def cable_overloaded(cable: Cable, site: Flows) -> Iterator[Finding]:
    """Cable whose design current is above its current-carrying capacity, and no device keeps it below.

    Why: the conductor gets hotter than its insulation stands, hour after hour when sun or storage drives it. The design current is the
        largest of all ways of operating: loads alone, storage charging, everything generating at nameplate, storage units opposed in a
        shared neutral, which no device in the phases sees. A limit that only software holds does not count.
    Bad: 4 mm² from the distributor's fuse of 100 A to a site that draws 42 A
    Good: 16 mm² for the same site
    Source: IEC 60364-4-43 clause 433.1 (Ib not above Iz); capacities as their rows in topology/tables say
    """
    for solved, node, part, number in cables_fed(cable, site):
        design, lasting = _lasting(solved, node, part)
        told = told_capacity(solved, node, part, lambda iz, ib=lasting: ib <= iz * (1 + 1e-9))  # type: ignore[misc]
        if told is None or design is None:
            continue
        capacity, unless = told
        which = f"part {number} of cable '{cable.id}'" if cable.parts and len(cable.parts) > 1 else f"cable '{cable.id}'"
        size = None if unless else solved.smallest(node, part)
        mend = f"take {size.area_mm2:g} mm² or more" if size else "take a larger cable, lay cables in parallel, or divide the load"
        yield Finding(part.mark, f"{which} would carry {lasting:.1f} A in {design.conductor} ({design.case}), its capacity is "
                      f"{capacity.ampere:.1f} A ({capacity.working}{unless})", mend, objects=(cable.id,),
                      severity=weight(capacity.firm),
                      numbers={"Ib": Number(round(design.ampere, 2), "A"), "Iz": Number(round(capacity.ampere, 2), "A")},
                      source=f"IEC 60364-4-43 clause 433.1; capacity: {capacity.rows[0].source} ({CAUTION})")


def _lasting(solved: Electrical, node: int, part: CablePart) -> tuple[Design | None, float]:
    """The design current and what of it can last [A]: in a phase no more than the device before the cable lets through.

    Where the design current is open but the device alone keeps the cable safe, the device's rating counts.
    """
    rated = solved.rated(node)
    try:
        design = solved.design(node)
    except CannotTell:
        if rated is not None and rated <= solved.capacity_range(node, part)[0].ampere:
            return None, rated
        raise
    return design, design.ampere if design.conductor == "N" or rated is None else min(design.ampere, rated)
