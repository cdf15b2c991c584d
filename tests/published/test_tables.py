# SPDX-License-Identifier: MIT
"""Every table against a second way to the same figure: a law of physics, or another standard's printed figure."""
from __future__ import annotations

import math

import pytest
from topology.capacity import ambient_factor, as_aluminium, capacity, grouping_factor
from topology.disconnection import conventional, energy_limit, residual_times
from topology.drop import mv_per_a_m
from topology.impedance import conductor, temperature_factor
from topology.tables import shipped

T = shipped()


def test_resistances_lie_a_little_above_resistivity_over_area() -> None:
    """IEC 60228 sets a largest resistance, so it exceeds that of the pure metal (IEC 60028: 1/58; IEC 60889: 28.264); a real
    conductor's area is a few per cent under its name, a stranded one's more, a flexible one's most."""
    for row in T.rows("resistance"):
        rho = T.row("materials", material=str(row["material"])).number("rho20_ohm_mm2_per_km")
        ratio = row.number("r20_ohm_per_km") * row.number("area_mm2") / rho
        assert 1.03 < ratio < (1.16 if row["conductor_class"] == 5 else 1.135), row.cells


def test_resistance_falls_with_area() -> None:
    for kind, material in ((1, "Cu"), (1, "Al"), (2, "Cu"), (2, "Al"), (5, "Cu")):
        rows = list(T.rows("resistance", conductor_class=kind, material=material))
        assert [r.number("area_mm2") for r in rows] == sorted(r.number("area_mm2") for r in rows)
        assert [r.number("r20_ohm_per_km") for r in rows] == sorted((r.number("r20_ohm_per_km") for r in rows), reverse=True)


def test_temperature_factors_follow_0_004_per_kelvin() -> None:
    for row in T.rows("temperature"):  # three printed digits (IEC 60228, annex)
        assert 1 / temperature_factor(row.number("temperature_degc"), 0.004) == pytest.approx(row.number("factor"), abs=0.0006)


# BS 7671, mV/A/m of copper at the temperature in use (4D1B at 70 degC and 4E1B, 4E4B at 90 degC), direct current for 1.5 to 95 mm²
D1B = {1.5: 29, 2.5: 18, 4: 11, 6: 7.3, 10: 4.4, 16: 2.8, 25: 1.75, 35: 1.25, 50: 0.93, 70: 0.63, 95: 0.46}
E1B = {1.5: 31, 2.5: 19, 4: 12, 6: 7.9, 10: 4.7, 16: 2.9, 25: 1.85, 35: 1.35, 50: 0.99, 70: 0.68, 95: 0.49}
E4B_3PH = {1.5: 27, 2.5: 16, 4: 10, 6: 6.8, 10: 4.0, 16: 2.5, 25: 1.65, 35: 1.15, 50: 0.87, 70: 0.60, 95: 0.45}


@pytest.mark.parametrize(("printed", "degc"), [(D1B, 70), (E1B, 90)])
def test_single_phase_drop_figures_are_rebuilt_from_resistances(printed: dict[float, float], degc: float) -> None:
    for area, figure in printed.items():  # 3.2 %: the standard prints two digits
        made = mv_per_a_m(complex(conductor(T, area, "Cu", degc).z_ohm_per_km.real), "1ph")
        assert made == pytest.approx(figure, rel=0.032), area


def test_three_phase_drop_figures_are_rebuilt_from_resistance_and_reactance() -> None:
    for area, figure in E4B_3PH.items():
        assert mv_per_a_m(conductor(T, area, "Cu", 90).z_ohm_per_km, "3ph") == pytest.approx(figure, rel=0.035), area


# AS/NZS 3008.1.1, three-phase mV/A/m of copper multicore cable at 75 degC; from memory, so only sizes that a derivation confirms
@pytest.mark.parametrize(("area", "figure"), [(2.5, 15.6), (4, 9.71), (6, 6.49), (10, 3.86), (16, 2.43), (25, 1.54)])
def test_three_phase_drop_figures_at_75_degrees_are_met(area: float, figure: float) -> None:
    assert mv_per_a_m(conductor(T, area, "Cu", 75).z_ohm_per_km, "3ph") == pytest.approx(figure, rel=0.002)


# IEC 60364-5-52, printed ambient factors in air; PVC 40 to 55 read in text, the others from memory
@pytest.mark.parametrize(("hot", "printed"), [
    (70, {10: 1.22, 15: 1.17, 20: 1.12, 25: 1.06, 30: 1.0, 35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71, 55: 0.61, 60: 0.5}),
    (90, {10: 1.15, 15: 1.12, 20: 1.08, 25: 1.04, 30: 1.0, 35: 0.96, 40: 0.91, 45: 0.87, 50: 0.82, 55: 0.76, 60: 0.71})])
def test_ambient_factors_are_those_that_the_standard_prints(hot: float, printed: dict[float, float]) -> None:
    for ambient, factor in printed.items():
        assert ambient_factor(hot, ambient, 30) == factor


# IEC 60364-5-52 with ambient factors, whole amperes, PVC, three loaded conductors, method B2; a machine maker's manual prints them
WHOLE = {1.5: (15, 13, 12, 11, 9), 2.5: (20, 17, 16, 14, 12), 6: (34, 30, 27, 24, 21), 16: (62, 54, 49, 44, 38), 50: (118, 103, 93, 84, 72)}


@pytest.mark.parametrize("area", WHOLE)
def test_capacities_at_other_temperatures_are_those_printed_in_whole_amperes(area: float) -> None:
    for ambient, printed in zip((30, 40, 45, 50, 55), WHOLE[area], strict=True):
        made = capacity(T, area_mm2=area, material="Cu", insulation="PVC", method="B2", loaded=3, ambient_degc=ambient).ampere
        assert math.floor(made + 0.5) == printed


def test_capacity_rises_with_area_and_falls_from_free_air_to_insulated_wall() -> None:
    for insulation in ("PVC", "XLPE"):
        for loaded in (2, 3):
            by = {m: {r.number("area_mm2"): r.number("ampere") for r in T.rows("capacity", insulation=insulation, method=m, loaded=float(loaded),
                                                                            material="Cu")} for m in ("A1", "B2", "B1", "C", "E")}
            for method in by.values():
                amps = [method[a] for a in sorted(method)]
                assert amps == sorted(set(amps))
            for area in (2.5, 6, 16, 50):
                row = [by[m][area] for m in ("A1", "B2", "B1")]
                assert row == sorted(row) and by["B2"][area] <= by["C"][area] <= by["E"][area]


def test_aluminium_carries_what_its_resistance_lets_it() -> None:
    """Equal heat in equal cables: I² R is the same, so the ratio is √(R Cu / R Al), about 0.78; second way for rows from memory."""
    for row in T.rows("capacity", material="Al"):
        same = {c: row[c] for c in ("insulation", "method", "loaded", "area_mm2")}
        copper = T.row("capacity", **same, material="Cu", reference_degc=row["reference_degc"])
        law = math.sqrt(T.row("resistance", conductor_class=2, material="Cu", area_mm2=row["area_mm2"]).number("r20_ohm_per_km")
                        / T.row("resistance", conductor_class=2, material="Al", area_mm2=row["area_mm2"]).number("r20_ohm_per_km"))
        assert row.number("ampere") / copper.number("ampere") == pytest.approx(law, rel=0.05)  # method C differs most, 4.8 %


def test_aluminium_that_no_table_has_is_estimated_below_what_is_printed_and_not_far() -> None:
    """The same law with a twentieth off, against every row of aluminium; such a row can warn, never refuse."""
    for row in T.rows("capacity", material="Al"):
        same = {c: row[c] for c in ("insulation", "method", "loaded", "area_mm2")}
        estimate = as_aluminium(T, T.row("capacity", **same, material="Cu", reference_degc=row["reference_degc"]))
        assert 0.9 * row.number("ampere") - 1 <= estimate.number("ampere") <= row.number("ampere") and not estimate.firm
    found = capacity(T, area_mm2=35, material="Al", insulation="XLPE", method="D", loaded=3, ambient_degc=20)
    copper = capacity(T, area_mm2=35, material="Cu", insulation="XLPE", method="D", loaded=3, ambient_degc=20)
    assert 0.7 < found.ampere / copper.ampere < 0.75 and "estimated" in found.rows[0].source


def test_grouping_steps_to_the_next_number_and_never_interpolates() -> None:
    assert grouping_factor(T, 10)["factor"] == grouping_factor(T, 12)["factor"] == 0.45  # public guide on IEC 60364-5-52:2001
    assert [grouping_factor(T, n)["factor"] for n in (1, 2, 3)] == [1.0, 0.8, 0.7]


def test_standard_ratings_and_sizes_grow_by_steps_of_a_quarter_or_more() -> None:
    for steps in ([r.number("ampere") for r in T.rows("ratings")], T.sizes()):
        assert all(1.2 <= b / a <= 1.7 for a, b in zip(steps, steps[1:], strict=False))


def test_capacities_in_the_ground_refer_to_20_degrees_and_those_in_air_to_30() -> None:
    """IEC 60364-5-52; users' tables may refer to other temperatures."""
    for row in T.rows("capacity"):
        assert row["reference_degc"] == (20 if row["method"] == "D" else 30)


@pytest.mark.parametrize(("rated", "k3"), [(6, 1.31), (10, 1.31), (16, 1.1), (63, 1.1)])
def test_a_fuse_opens_at_what_a_public_guide_makes_of_its_standard(rated: float, k3: float) -> None:
    """In ≤ Iz / k3 with k3 of two digits for gG fuses, I2 = 1.45 k3 In (a public guide to IEC 60364-4-43)."""
    assert conventional(T, "fuse", "opens", rated).number("multiple") / 1.45 == pytest.approx(k3, abs=0.005)


def test_what_a_device_carries_is_below_what_opens_it() -> None:
    for rated in (2, 4, 6, 10, 16, 63, 125, 400):
        for device in ("breaker", "fuse"):
            assert conventional(T, device, "carries", rated).number("multiple") < conventional(T, device, "opens", rated).number("multiple")
    assert conventional(T, "breaker", "opens", 63).number("multiple") == 1.45  # IEC 60898-1


def test_residual_current_devices_are_as_fast_as_the_tests_of_another_standard_ask() -> None:
    """AS/NZS 3017, longest times of types III (above 30 mA) and IV S in a public table, in ms."""
    assert {m: 1000 * s for m, s in residual_times(T).items()} == pytest.approx({1: 300, 2: 150, 5: 40})
    assert {m: 1000 * s for m, s in residual_times(T, selective=True).items()} == pytest.approx({1: 500, 2: 200, 5: 150})


def test_energy_limits_grow_with_rating_and_breaking_capacity_and_fall_with_the_class() -> None:
    """Laws; the one figure, 35,000 A²s of a B 16 A of 6 kA and class 3, is printed in many sheets (EN 60898-1, from memory)."""
    def most(energy_class: float, curve: str, rated: float, breaking: float) -> float:
        row = energy_limit(T, energy_class, curve, rated, breaking)
        assert row is not None and not row.firm
        return row.number("a2s")
    assert most(3, "B", 16, 6000) == 35_000
    for curve in ("B", "C"):
        for breaking in (3000, 4500, 6000, 10_000):
            assert most(3, curve, 16, breaking) < most(2, curve, 16, breaking)
            assert most(3, curve, 16, breaking) < most(3, curve, 20, breaking) < most(3, curve, 40, breaking)
            assert most(3, "B", 20, breaking) < most(3, "C", 20, breaking)
        by_breaking = [most(3, curve, 25, breaking) for breaking in (3000, 4500, 5000, 6000, 10_000)]
        assert by_breaking == sorted(by_breaking) and by_breaking[2] == by_breaking[3]  # between two the next one up
    assert energy_limit(T, 3, "D", 16, 6000) is None and energy_limit(T, 3, "C", 50, 6000) is None and energy_limit(T, 3, "C", 16, 15_000) is None
