# SPDX-License-Identifier: MIT
"""A protective conductor that a fault may burn."""
from __future__ import annotations

import math
from collections.abc import Iterator

from ..adiabatic import next_size, smallest_area, without_calculation
from ..disconnection import INSTANTANEOUS_S, needed_time
from ..electrical import Electrical
from ..electrical.conductors_of import k_of, protective_area
from ..electrical.derating import let_through
from ..errors import CannotTell, Finding, Number
from ..fault import C_MAX
from ..flow import Flows
from ..rule import rule
from ..site import Cable, CablePart
from ..soil import earth_resistances, soil_part
from ._electrical import cables_fed, protective, weight

__all__ = ["protective_conductor_too_small"]


@rule(each=Cable, danger=True, by_status=True)
def protective_conductor_too_small(cable: Cable, site: Flows) -> Iterator[Finding]:
    """Protective conductor below the size that needs no calculation, and not shown to stand an earth fault by calculation.

    Why: it must carry the fault current until the device opens. Where it is smaller than the rule of the profile asks for, the heat of
        the largest fault at the near end of the cable is computed: with the let-through energy that the device or its type says, else for a
        tenth of a second, which is assumed and only warns, since the maker's figure may be far less. Where the current returns through the
        soil (TT), the electrode limits it, and it may last as long as a distribution circuit may take there.
    Bad: cable: 50 mm² 4C+6E Cu XLPE 30 m underground behind 10 kA
    Good: cable: 50 mm² 4C+16E Cu XLPE 30 m underground
    Source: IEC 60364-5-54 clause 543.1 with annex A (S ≥ √(I²t) / k); sizes without calculation as the table of the profile says
    """
    for solved, node, part, number in cables_fed(cable, site):
        mask = solved.link(node).conductors
        area = protective_area(part, mask)
        if not protective(mask) or area is None:
            continue  # no protective conductor in it: missing ones are another question
        needed = _by_rule(solved, part)
        if area >= needed:
            continue
        ampere, seconds = _fault(solved, node, site)
        energy = let_through(site, solved.faults.device(node)) if soil_part(solved.tree.ids[node], site) is None else None
        amount = smallest_area(ampere, seconds, 1) if energy is None else math.sqrt(energy)
        heat = amount / k_of(solved.given, part) / part.parallel
        if area >= heat:
            continue
        how = (f"{ampere / 1000:.2f} kA for {seconds:g} s (assumed, no let-through energy is said)" if energy is None
               else f"the {energy:g} A²s that '{solved.faults.device(node).id}' lets through")
        which = f"part {number} of cable '{cable.id}'" if cable.parts and len(cable.parts) > 1 else f"cable '{cable.id}'"
        yield Finding(part.mark, f"the protective conductor of {which} has {area:g} mm²; {needed:g} mm² need no calculation, and "
                      f"{how} ask for {heat:.1f} mm²",
                      f"take a protective conductor of {_enough(solved, needed, heat):g} mm² or more, or show by the device's let-through energy that "
                      "this one stands the fault",
                      objects=(cable.id,), severity=weight(energy is not None),
                      numbers={"size": Number(area, "mm2"), "rule": Number(needed, "mm2"), "heat": Number(round(heat, 2), "mm2")})


def _enough(solved: Electrical, needed: float, heat: float) -> float:
    """The smaller of the standard size that stands the fault and the one that needs no calculation [mm²]."""
    return min(needed, next_size(solved.given.tables.sizes(), heat) or needed)


def _fault(solved: Electrical, node: int, site: Flows) -> tuple[float, float]:
    """The largest earth-fault current at the near end of a cable [A], and how long it is taken to last [s]."""
    part = soil_part(solved.tree.ids[node], site)
    if part is None:
        return solved.faults.largest(solved.tree.parent[node], 1).ampere, INSTANTANEOUS_S
    said, open_ = earth_resistances(part, site)
    if open_ is not None:
        raise CannotTell(open_)
    seconds = needed_time(solved.given.tables, "TT", "distribution", solved.given.u0).number("seconds")
    return C_MAX * solved.given.u0 * sum(1 / ohm for ohm in said), seconds  # in parallel


def _by_rule(solved: Electrical, part: CablePart) -> float:
    """The size that needs no calculation [mm²]."""
    for profile in solved.given.profiles:
        row = next(solved.given.tables.rows("protective", profile=profile, line_mm2=part.area), None)
        if row is not None and part.material == "Cu":
            return row.number("protective_mm2")
    return without_calculation(part.area)
