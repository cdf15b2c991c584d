# SPDX-License-Identifier: MIT
"""Current-carrying capacity with its factors, coordination with the device, and the smallest size that passes."""
from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from .dataclass import dataclass
from .tables import NoRow, Row, Tables

__all__ = ["Capacity", "Coordination", "ambient_factor", "as_aluminium", "capacity", "coordination", "grouping_factor", "smallest_size"]

SAFE_SIDE = 0.95
"""What is taken off a capacity of aluminium that is estimated from copper [-]."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """Iz and how it came about. ampere = tabulated × factors × parallel; firm: no row is known from memory alone."""

    ampere: float
    tabulated: float
    factors: tuple[tuple[str, float], ...]
    parallel: int
    rows: tuple[Row, ...]

    @property
    def firm(self) -> bool:
        """Whether the figure may refuse and not merely warn."""
        return all(row.firm for row in self.rows)

    @property
    def working(self) -> str:
        """The multiplication in words: 51 A × 0.91 ambient 40 degC = 46.4 A."""
        factors = "".join(f" × {value:g} {name}" for name, value in self.factors)
        times = f" × {self.parallel} in parallel" if self.parallel > 1 else ""
        return f"{self.tabulated:g} A{factors}{times} = {self.ampere:.1f} A"


@dataclass(frozen=True, slots=True)
class Coordination:
    """Ib ≤ In ≤ Iz and I2 ≤ 1.45 Iz [A]."""

    design: float
    rated: float
    capacity: float
    conventional: float

    @property
    def device_carries_load(self) -> bool:
        """Ib ≤ In."""
        return self.design <= self.rated

    @property
    def cable_is_protected(self) -> bool:
        """In ≤ Iz and I2 ≤ 1.45 Iz."""
        return self.rated <= self.capacity and self.conventional <= 1.45 * self.capacity * (1 + 1e-9)


def ambient_factor(operating_degc: float, ambient_degc: float, reference_degc: float) -> float:
    """Factor on a capacity for surroundings of another temperature than the table's, rounded to two places.

    operating_degc : highest temperature of the conductor in use
    ambient_degc   : of the air or ground around, below operating_degc
    reference_degc : of the table
    Formula: √((θc - θa) / (θc - θ0)), losses in proportion to the rise. Rounded as standards print it, so that a capacity is
    the one that a person finds by hand. Source: IEC 60287-1-1; equals the factors of IEC 60364-5-52 to the last place.
    Raises ValueError where the surroundings are as hot as the conductor may be.
    """
    if ambient_degc >= operating_degc:
        raise ValueError(f"surroundings of {ambient_degc:g} degC leave nothing to a conductor that may reach {operating_degc:g} degC")
    return round(math.sqrt((operating_degc - ambient_degc) / (operating_degc - reference_degc)), 2)


def grouping_factor(tables: Tables, circuits: int, arrangement: str = "enclosed") -> Row:
    """The row with the factor for circuits laid together; between two numbers the next larger one.

    circuits : how many, all loaded alike, 1 or more. Source: IEC 60364-5-52, as the row says. Raises NoRow beyond the table.
    """
    key = ("grouping", arrangement)
    if key not in tables.memo:
        tables.memo[key] = sorted(tables.rows("grouping", arrangement=arrangement), key=lambda row: row.number("circuits"))
    rows: list[Row] = tables.memo[key]  # type: ignore[assignment]
    found = next((row for row in rows if row.number("circuits") >= circuits), None)
    if found is None:
        raise NoRow(f"the tables have no grouping for {circuits} circuits, {arrangement}")
    return found


def capacity(tables: Tables, *, area_mm2: float, material: str, insulation: str, method: str, loaded: int, ambient_degc: float,
             circuits: int = 1, arrangement: str = "enclosed", parallel: int = 1, other_factor: float = 1.0) -> Capacity:
    """Current-carrying capacity Iz of a cable [A].

    area_mm2     : a standard size
    insulation   : PVC, XLPE, EPR or another word of the insulation table
    method       : A1, B1, B2, C, D, E
    loaded       : conductors that carry current, 2 or 3; a neutral that carries the unbalance of three phases does not count
    ambient_degc : around the cable
    circuits     : laid together with it, itself counted
    other_factor : of the user's own (soil, enclosure)
    Formula: Iz = tabulated × ambient × grouping × other × parallel. Source: IEC 60364-5-52 clause 523, as the rows say.
    Raises NoRow, or ValueError where the surroundings are too hot.
    """
    made_of = tables.row("insulation", insulation=insulation)
    row = _capacity_row(tables, insulation, str(made_of["family"]), method, loaded, material, area_mm2)
    grouping = grouping_factor(tables, circuits, arrangement)
    # a row for the family was measured at the family's own temperature, not at that of its Australian sister
    own = row["insulation"] == insulation
    hot = made_of if own else tables.row("insulation", insulation=str(made_of["family"]))
    ambient = ambient_factor(hot.number("operating_degc"), ambient_degc, row.number("reference_degc"))
    factors = [(f"ambient {ambient_degc:g} °C", ambient), (f"{circuits} circuits together", grouping.number("factor")),
               ("other", other_factor)]
    used = tuple((name, value) for name, value in factors if value != 1)
    rows = (row, grouping) if circuits > 1 else (row,)
    return Capacity(row.number("ampere") * math.prod(value for _, value in used) * parallel, row.number("ampere"), used, parallel, rows)


def _capacity_row(tables: Tables, insulation: str, family: str, method: str, loaded: int, material: str, area_mm2: float) -> Row:
    wanted = {"method": method, "loaded": float(loaded), "material": material, "area_mm2": area_mm2}
    for name, metal in ((insulation, material), (family, material), (insulation, "Cu"), (family, "Cu")):
        row = next(tables.rows("capacity", insulation=name, **{**wanted, "material": metal}), None)
        if row is not None and (metal == material or material == "Al"):
            return row if metal == material else as_aluminium(tables, row)
    return tables.row("capacity", insulation=family, **wanted)  # raises, in the words of the tables


def as_aluminium(tables: Tables, copper: Row) -> Row:
    """The row of an aluminium cable where the tables have only the copper one laid alike; it can warn, never refuse.

    copper : row with the capacity of the copper cable [A]
    Formula: I = 0.95 × I Cu × √(R Cu / R Al), cut to whole amperes: equal heat in equal cables, and a twentieth off, since printed figures lie
    up to that much below (clipped direct). Law: heat is I² R. Source: resistances of IEC 60228. Raises NoRow for a size that is not made.
    """
    area = copper.number("area_mm2")
    r_cu, r_al = (tables.row("resistance", conductor_class=2, material=m, area_mm2=area).number("r20_ohm_per_km") for m in ("Cu", "Al"))
    cells = {**copper.cells, "material": "Al", "ampere": float(math.floor(SAFE_SIDE * copper.number("ampere") * math.sqrt(r_cu / r_al)))}
    return Row(cells, f"estimated on the safe side from copper laid alike ({copper.source})", copper.edition, "memory", copper.at)


def coordination(design_a: float, rated_a: float, capacity_a: float, conventional_multiple: float = 1.45) -> Coordination:
    """Design current, device and cable side by side [A].

    conventional_multiple : I2 / In: 1.45 for circuit-breakers of IEC 60898-1, more for gG fuses (disconnection.conventional).
    Formula: Ib ≤ In ≤ Iz, I2 ≤ 1.45 Iz. Source: IEC 60364-4-43 clause 433.1.
    """
    return Coordination(design_a, rated_a, capacity_a, conventional_multiple * rated_a)


def smallest_size(sizes: Iterable[float], criteria: Iterable[tuple[str, Callable[[float], bool]]]) -> tuple[float, str] | None:
    """The smallest standard size that meets every criterion, with the criterion that rules out the size below it.

    sizes    : ascending [mm²]
    criteria : (name, whether a size passes); one that raises NoRow for a size does not pass it
    None where no size passes; "smallest size made" where the first one passes.
    """
    tests = list(criteria)
    governing = "smallest size made"
    for size in sizes:
        failed = next((name for name, test in tests if not _passes(test, size)), None)
        if failed is None:
            return size, governing
        governing = failed
    return None


def _passes(test: Callable[[float], bool], size: float) -> bool:
    try:
        return test(size)
    except NoRow:
        return False
