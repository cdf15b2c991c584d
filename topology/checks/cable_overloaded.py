# SPDX-License-Identifier: MIT
"""A cable that would carry more than it can."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Cable
from ._electrical import CAUTION, cables_fed, changed_by, told_capacity, weight

__all__ = ["cable_overloaded"]


@rule(each=Cable, danger=True)
def cable_overloaded(cable: Cable, site: Flows) -> Iterator[Finding]:
    """Cable whose design current is above its current-carrying capacity.

    Why: the conductor gets hotter than its insulation stands, hour after hour when sun or storage drives it. The design current is the
        largest of all ways of operating: loads alone, storage charging, everything generating at nameplate, storage units opposed in a
        shared neutral. A limit that only software holds does not count.
    Bad: cable: 2.5 mm² 2C+2.5E Cu PVC 20 m in conduit before inverters of 6 kVA on one phase
    Good: cable: 6 mm² 2C+2.5E Cu PVC 20 m in conduit before the same inverters
    Source: IEC 60364-4-43 clause 433.1 (Ib not above Iz); capacities as their rows in topology/tables say
    """
    for solved, node, part, number in cables_fed(cable, site):
        design = solved.design(node)
        told = told_capacity(solved, node, part, lambda iz, ib=design.ampere: ib <= iz * (1 + 1e-9))  # type: ignore[misc]
        if told is not None:
            capacity, unless = told
            which = f"part {number} of cable '{cable.id}'" if cable.parts and len(cable.parts) > 1 else f"cable '{cable.id}'"
            size = None if unless else solved.smallest(node, part)
            mend = f"take {size.area_mm2:g} mm² or more" if size else "divide the load, or lay cables in parallel"
            yield Finding(part.mark, f"{which} would carry {design.ampere:.1f} A in {design.conductor} ({design.case}), its capacity is "
                          f"{capacity.ampere:.1f} A ({capacity.working}{unless})", mend, objects=(cable.id,),
                          severity=weight(cable.status if design.case == "demand" else changed_by(cable, site), capacity.firm),
                          numbers={"Ib": Number(round(design.ampere, 2), "A"), "Iz": Number(round(capacity.ampere, 2), "A")},
                          source=f"IEC 60364-4-43 clause 433.1; capacity: {capacity.rows[0].source} ({CAUTION})")
