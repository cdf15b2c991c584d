# SPDX-License-Identifier: MIT
"""Impedance and capacity of the cables of a site, part by part."""
from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

from ..adiabatic import factor_k
from ..capacity import Capacity, capacity
from ..conductors import N, PE, PEN, phase_names
from ..dataclass import dataclass
from ..errors import CannotTell, Unknown
from ..graph import Link
from ..impedance import ALPHA_FAULT, ConductorZ, conductor
from ..site import Cable, CablePart
from ..tables import NoRow, Row
from .given import Given, known
from .laying import laying_of

__all__ = ["CableZ", "capacity_of", "capacity_range", "impedance_of", "impedance_range", "k_of", "no_row", "of_part", "operating_degc", "part_z", "parts_of", "protective_area"]

TABLE_HERTZ = 50.0
"""Frequency of the table of reactances [Hz]"""


@dataclass(frozen=True, slots=True)
class CableZ:
    """Impedances of a cable [ohm]: of one phase conductor, the neutral, and the protective conductor (None where it has none)."""

    phase: complex
    neutral: complex
    protective: complex | None


def parts_of(cable: Cable) -> tuple[CablePart, ...]:
    """The parts of a cable, at least one. Raises CannotTell where the file leaves them open."""
    runs: tuple[CablePart, ...] = known(cable.parts) or (cable,)
    return tuple(known(run) for run in runs)


def no_row(part: Any, error: Exception) -> CannotTell:
    """What is missing where the tables have no row."""
    return CannotTell(Unknown(part.mark, f"{str(error).removeprefix('the tables have no ')} (not in the tables)"))


def protective_area(part: CablePart, mask: int) -> float | None:
    """Cross-section of the protective conductor of a part [mm²]: its earth core, or a core like the others; None without one."""
    number, earth = known(part.cores)
    if earth is not None:
        return float(earth)
    if mask & PEN:
        return float(known(part.area))
    needs = len(phase_names(mask)) + bool(mask & N)
    return float(known(part.area)) if mask & PE and number > needs else None


def impedance_of(given: Given, cable: Cable, link: Link, degc: float | None = None) -> CableZ:
    """Impedances of a cable [ohm].

    degc : temperature of the conductors; None: the highest in use of each part's insulation. For faults the coefficient of
    IEC 60909 holds. Of a ring final a quarter counts (Given.ring_share). Raises CannotTell for what is not known of the cable.
    """
    phase = neutral = 0j
    protective: complex | None = 0j
    for part in parts_of(cable):
        one = of_part(given, part, known(part.area), degc)
        phase += one
        neutral += one
        pe = protective_area(part, link.conductors)
        protective = None if pe is None or protective is None else protective + of_part(given, part, pe, degc)
    share = given.ring_share(cable)
    return CableZ(phase * share, neutral * share, None if protective is None else protective * share)


def of_part(given: Given, part: CablePart, area: float, degc: float | None) -> complex:
    """Impedance of one conductor of a part [ohm]; its reactance at the frequency of the supply."""
    tables = given.tables
    try:
        hot = tables.row("insulation", insulation=known(part.insulation)).number("operating_degc") if degc is None else degc
        key = ("conductor", area, known(part.material), hot, degc is None)
        if key not in tables.memo:
            tables.memo[key] = conductor(tables, area, part.material, hot, alpha_per_k=None if degc is None else ALPHA_FAULT)
    except NoRow as error:
        raise no_row(part, error) from None
    found: ConductorZ = tables.memo[key]  # type: ignore[assignment]
    z = found.of(known(part.length), known(part.parallel))
    return complex(z.real, z.imag * given.hertz / TABLE_HERTZ)


def impedance_range(given: Given, cable: Cable) -> tuple[complex, complex | None]:
    """The least and the largest impedance of one phase conductor of a cable, hot [ohm]; None where it can be of any size.

    A size, metal or insulation that is not known is tried in every way that the tables have; a length or number in parallel that is not
    known bounds nothing.
    """
    least, most = 0j, complex()
    try:
        share = given.ring_share(cable)
    except CannotTell:
        return 0j, None
    runs = cable.parts if isinstance(cable.parts, Unknown) else cable.parts or (cable,)
    if isinstance(runs, Unknown):
        return 0j, None
    open_end = False
    for run in runs:
        found = [] if isinstance(run, Unknown) else _possible(given, run)
        open_end |= not found
        least += min(found, key=abs, default=0j) * share
        most += max(found, key=abs, default=0j) * share
    return least, None if open_end else most


def _possible(given: Given, part: CablePart) -> list[complex]:
    """Every impedance that a part can have by the tables, hot [ohm]; none where its length is not known."""
    if isinstance(part.length, Unknown) or isinstance(part.parallel, Unknown):
        return []
    options = {"area": given.tables.sizes(), "material": ("Cu", "Al"), "insulation": ("PVC", "XLPE")}
    open_ = {name: values for name, values in options.items() if isinstance(getattr(part, name), Unknown)}
    found = []
    for values in product(*open_.values()):
        tried = replace(part, **dict(zip(open_, values, strict=True)))  # type: ignore[arg-type]
        try:
            found.append(of_part(given, tried, tried.area, None))
        except CannotTell as error:
            if "not in the tables" not in error.unknown.what:
                raise
    return found


def part_z(given: Given, part: CablePart, area: float | None = None) -> complex:
    """Impedance of one phase conductor of a part at the highest temperature in use [ohm]. area: another size than its own [mm²]."""
    return of_part(given, part, known(part.area) if area is None else area, None)


def operating_degc(given: Given, part: CablePart) -> float:
    """Highest temperature of the conductors of a part in use [degC]."""
    try:
        return given.tables.row("insulation", insulation=known(part.insulation)).number("operating_degc")
    except NoRow as error:
        raise no_row(part, error) from None


def capacity_of(given: Given, part: CablePart, link: Link) -> Capacity:
    """Current-carrying capacity of a part: as the user says, else by the tables with ambient and grouping of the profile and file."""
    own = part.capacity
    if own is not None:
        amperes = float(known(own))
        source = part.capacity_source if isinstance(part.capacity_source, str) else ""
        row = Row({}, source or "the site file", "", "text" if source else "memory", f"{part.mark.file}:{part.mark.line}")
        return Capacity(amperes, amperes, (), 1, (row,))
    loaded = min(3, max(2, len(phase_names(link.conductors))))
    key = (known(part.area), known(part.material), known(part.insulation), known(part.installed), loaded, known(part.grouped), known(part.parallel))
    if key not in given.capacities:  # a site has few makes of cable and many cables
        given.capacities[key] = _tabulated(given, part, loaded)
    return given.capacities[key]


def _tabulated(given: Given, part: CablePart, loaded: int) -> Capacity:
    """Capacity of a part by the tables."""
    laid = laying_of(given, part)
    ground = laid.method == "D"
    ambient = given.number("ambient-ground-temperature" if ground else "ambient-air-temperature")
    try:
        return capacity(given.tables, area_mm2=known(part.area), material=known(part.material), insulation=known(part.insulation),
                        method=laid.method, loaded=loaded, ambient_degc=ambient, circuits=max(known(part.grouped), known(part.parallel)),
                        arrangement=laid.arrangement, parallel=known(part.parallel))
    except NoRow as error:
        raise no_row(part, error) from None


def capacity_range(given: Given, part: CablePart, link: Link) -> tuple[Capacity, Capacity, Unknown | None]:
    """The smallest and the largest capacity that a part can have, and what leaves it open; both the same where nothing does.

    Whatever is not known of material, insulation and way of laying is tried in every way that the tables know. Raises CannotTell
    where something else is not known (its size), or no combination is in the tables.
    """
    options = {"material": ("Cu", "Al"), "insulation": ("PVC", "XLPE"),
               "installed": (("in wall",), ("underground",), ("in conduit",), ("clipped direct",), ("in air",))}
    open_ = {name: value for name in options if isinstance(value := getattr(part, name), Unknown)}
    if not open_ or part.capacity is not None:
        exact = capacity_of(given, part, link)
        return exact, exact, None
    found = []
    for values in product(*(options[name] for name in open_)):
        try:
            found.append(capacity_of(given, replace(part, **dict(zip(open_, values, strict=True))), link))
        except CannotTell as error:
            if "not in the tables" not in error.unknown.what:
                raise
    first = next(iter(open_.values()))
    if not found:
        raise CannotTell(first)
    return min(found, key=_ampere), max(found, key=_ampere), first


def _ampere(found: Capacity) -> float:
    return found.ampere


def k_of(given: Given, part: CablePart) -> float:
    """Adiabatic factor of the cores of a part from its highest temperature in use [A √s / mm²]."""
    try:
        row = given.tables.row("insulation", insulation=known(part.insulation))
        return factor_k(given.tables, known(part.material), row.number("operating_degc"), row.number("final_degc"))
    except NoRow as error:
        raise no_row(part, error) from None
