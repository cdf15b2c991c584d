# SPDX-License-Identifier: MIT
"""A protective conductor that a fault may burn."""
from __future__ import annotations

import math
from collections.abc import Iterator

from ..adiabatic import next_size, without_calculation
from ..dataclass import dataclass
from ..disconnection import INSTANTANEOUS_S, energy_limit, needed_time
from ..electrical import Electrical
from ..electrical.conductors_of import k_of, protective_area
from ..electrical.derating import energy_class, let_through
from ..electrical.given import known
from ..errors import CannotTell, Finding, Number, Unknown
from ..fault import C_MAX
from ..flow import Flows
from ..fuses import most_energy
from ..rule import rule
from ..site import Breaker, Cable, CablePart
from ..soil import earth_resistances, soil_part
from ..tables import Row
from ._electrical import cables_fed, protective, weight

__all__ = ["protective_conductor_too_small"]

BEST_CLASS = 3.0
"""The energy limiting class that lets least through. Source: EN 60898-1 annex ZA, from memory."""


@dataclass(frozen=True, slots=True)
class _Heat:
    """What a fault heats a protective conductor with. energy: [A²s]; words: where it comes from; firm: whether it may refuse; doubt: what is
    not known where the energy is the most that it can be.
    """

    energy: float
    words: str
    firm: bool
    doubt: Unknown | None = None


@rule(each=Cable, danger=True, by_status=True)
def protective_conductor_too_small(cable: Cable, site: Flows) -> Iterator[Finding]:
    """Protective conductor below the size that needs no calculation, and not shown to stand an earth fault by calculation.

    Why: it must carry the fault current until the device opens. Where it is smaller than the rule of the profile asks for, the heat of
        a fault is computed: with the let-through energy that the device or its type says; for a fuse by points of its time-current curve, where
        the smallest fault, which lasts longest, heats most; for a circuit-breaker by the energy limiting class that it, its type or
        `unless_stated:` says; without one the check cannot tell, unless the largest fault at the near end of the cable is little enough for a tenth of
        a second; beyond the classes that tenth of a second counts, which is assumed and only warns. Where the current returns through the
        soil (TT), the electrode limits it, and it may last as long as a distribution circuit may take there.
    Bad: cable: 50 mm² 4C+6E Cu XLPE 30 m underground behind 10 kA
    Good: cable: 50 mm² 4C+16E Cu XLPE 30 m underground
    Source: EN 60898-1 annex ZA (energy limiting classes), from memory; IEC 60364-5-54 clause 543.1 with annex A (S ≥ √(I²t) / k); sizes without calculation as the table of the profile says
    """
    for solved, node, part, number in cables_fed(cable, site):
        mask = solved.link(node).conductors
        area = protective_area(part, mask)
        if not protective(mask) or area is None:
            continue  # no protective conductor in it: missing ones are another question
        needed = _by_rule(solved, part)
        if area >= needed:
            continue
        heat = _heat(solved, node, site)
        stands = (k_of(solved.given, part) * area * part.parallel) ** 2
        if stands >= heat.energy:
            continue
        if heat.doubt is not None:
            raise CannotTell(heat.doubt)
        least = math.sqrt(heat.energy) / k_of(solved.given, part) / part.parallel
        which = f"part {number} of cable '{cable.id}'" if cable.parts and len(cable.parts) > 1 else f"cable '{cable.id}'"
        yield Finding(part.mark, f"the protective conductor of {which} has {area:g} mm²; {needed:g} mm² need no calculation, and "
                      f"{heat.words} ask for {least:.{1 if round(least, 1) > area else 2}f} mm²",
                      f"take a protective conductor of {_enough(solved, needed, least):g} mm² or more, or show by the device's let-through energy that "
                      "this one stands the fault",
                      objects=(cable.id,), severity=weight(heat.firm),
                      numbers={"size": Number(area, "mm2"), "rule": Number(needed, "mm2"), "heat": Number(round(least, 2), "mm2")})


def _heat(solved: Electrical, node: int, site: Flows) -> _Heat:
    """What a fault in a cable heats its protective conductor with. Raises CannotTell where that is open."""
    if soil_part(solved.tree.ids[node], site) is None:
        device = solved.faults.device(node)
        energy = let_through(site, device)
        if energy is not None:
            return _Heat(energy, f"the {energy:g} A²s that '{device.id}' lets through", True)
        curve = solved.faults.fuse_curve(node)
        if curve and (found := _through_fuse(solved, node, curve)) is not None:
            return found
        if isinstance(device, Breaker) and (limited := _by_class(solved, node, device)) is not None:
            return limited
    ampere, seconds = _fault(solved, node, site)
    return _Heat(ampere ** 2 * seconds, f"{ampere / 1000:.2f} kA for {seconds:g} s (assumed, no let-through energy is said)", False)


def _by_class(solved: Electrical, node: int, device: Breaker) -> _Heat | None:
    """What a circuit-breaker may let through by its energy limiting class, open where none is said; None where the tables know no limit."""
    said, tables = energy_class(solved.flows, device), solved.given.tables
    ampere, seconds = _fault(solved, node, solved.flows)
    row = energy_limit(tables, said or BEST_CLASS, known(device.curve), known(device.rating), ampere)
    if row is None:
        return None
    at_once = ampere ** 2 * seconds
    if said is None:
        open_ = Unknown(device.mark, f"energy limiting class or let-through energy of {device.id}", given=False, key="energy_class")
        return _Heat(at_once, "", False, open_)
    words = f"the {min(row.number('a2s'), at_once):.0f} A²s that energy limiting class {said:g} allows '{device.id}' up to {row.number('breaking_a') / 1000:g} kA"
    return _Heat(min(row.number("a2s"), at_once), words, row.firm)


def _through_fuse(solved: Electrical, node: int, curve: tuple[Row, ...]) -> _Heat | None:
    """What a fuse lets through at the smallest fault at the far end, which is the most along the cable; None where it takes longer than its curve says.

    The largest current heats less. Where the loop is not known, the slowest point of the curve counts.
    """
    try:
        smallest = solved.faults.smallest(node).ampere
    except CannotTell:
        smallest = max(row.number("ampere") for row in curve if row.number("seconds") == curve[-1].number("seconds"))
    found = most_energy(curve, smallest)
    if found is None:
        return None
    energy, point = found
    words = f"the {energy:.0f} A²s that '{solved.faults.device(node).id}' may let through ({point.number('ampere'):g} A for {point.number('seconds'):g} s)"
    return _Heat(energy, words, point.firm)


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
        row = solved.given.tables.first("protective", profile=profile, line_mm2=part.area)
        if row is not None and part.material == "Cu":
            return row.number("protective_mm2")
    return without_calculation(part.area)
