# SPDX-License-Identifier: MIT
"""Worked examples that handbooks and public pages print; the source stands beside each, the tolerance is half the last digit."""
from __future__ import annotations

import cmath
import itertools
import math
import random

import pytest
from topology.adiabatic import factor_k, next_size, smallest_area, without_calculation
from topology.burden import copper_rho, lead_burden
from topology.busbar import Tap, busbar_sections, sum_of_sources
from topology.capacity import ambient_factor, coordination
from topology.demand import apparent, diversified, line_current, neutral_worst, taps_current, taps_rise
from topology.disconnection import largest_loop, loop_of_residual, needed_time, trip_current
from topology.drop import longest, percent, segment_change
from topology.fault import from_dip, phase_phase, three_phase, transformer
from topology.impedance import of_transformer
from topology.tables import shipped

T = shipped()


def test_a_main_and_a_final_circuit_of_a_public_installation_guide() -> None:
    """Electrical Installation Guide 2018, chapter G, second example of voltage drop: 70 mm² 50 m 150 A, then 2.5 mm² 20 m 20 A.

    The guide rounds the drop between lines to 4.4 V before it goes on, hence 0.06 V."""
    main = segment_change(150, 590 / math.sqrt(3), 50, single_phase=False).volts / 1000
    final = segment_change(20, 19 / 2, 20, single_phase=True).volts
    assert main * math.sqrt(3) == pytest.approx(4.4, abs=0.06)
    assert main == pytest.approx(2.54, abs=0.06)
    assert final == pytest.approx(7.6, abs=0.05)
    assert main + final == pytest.approx(10.1, abs=0.06)
    assert percent(main + final, 230) == pytest.approx(4.4, abs=0.05)


def test_a_house_extension_of_a_textbook() -> None:
    """Basic Electrical Installation Work, 9th edition, p. 207: 6 kW, 18 m, 35 degC, device 32 A, 10 mm² at 4.4 mV/A/m."""
    design = line_current(6000, 230)
    assert design == pytest.approx(26.09, abs=0.005)
    assert 32 / ambient_factor(70, 35, 30) == pytest.approx(34.04, abs=0.005)
    assert segment_change(design, 4.4 / 2, 18, single_phase=True).volts == pytest.approx(2.06, abs=0.01)  # printed cut, not rounded
    found = coordination(design, 32, 43 * 0.94)  # 43 A: 10 mm² by method A in that edition
    assert found.device_carries_load and found.cable_is_protected


def test_the_largest_drop_figure_that_a_run_allows() -> None:
    """A cable distributor's note on the British tables: 100 A over 150 m, 1.1 mV/A/m, 2.5 % of 415 V (printed 10.5 V for 10.375)."""
    assert 100 * 150 * 1.1 / 1000 == 16.5
    allowed = longest(150, 16.5, 0, 0.025 * 415)
    assert allowed is not None and 1.1 * allowed / 150 == pytest.approx(0.7, abs=0.05)


@pytest.mark.parametrize(("kva", "usc", "rated", "fault"), [
    (400, 4, 550, 13_700),   # Electrical Installation Guide, chapter G: 550 A, 13.7 kA
    (1000, 6, 1375, 22_910)])  # a public calculation sheet: 1375 A, 22.91 kA
def test_fault_current_at_the_terminals_of_a_transformer(kva: float, usc: float, rated: float, fault: float) -> None:
    i_rated, i_fault = transformer(kva * 1000, 420, usc)
    assert i_rated == pytest.approx(rated, abs=0.5)
    assert i_fault == pytest.approx(fault, abs=50 if fault == 13_700 else 5)
    assert three_phase(420 / math.sqrt(3), of_transformer(kva * 1000, 420, usc), 1.0).ampere == pytest.approx(i_fault)


def test_fault_current_from_a_measured_dip() -> None:
    """An electrician's page: 240 V falls to 238 V at 40 A, so 0.05 ohm and 4800 A."""
    assert from_dip(240, 238, 40) == (pytest.approx(0.05), pytest.approx(4800))


def test_a_fault_of_10_ka_for_a_tenth_of_a_second_needs_35_mm2() -> None:
    """An unattributed web page (weak source, arithmetic right): 27.5 mm² with k = 115, next size 35 mm²."""
    area = smallest_area(10_000, 0.1, 115)
    assert area == pytest.approx(27.5, abs=0.05)
    assert next_size(T.sizes(), area) == 35


def test_diversity_of_a_small_shop() -> None:
    """The Electricians Guide (Whitfield), example 6.1 with its rules for a small shop; amperes at 240 V worked out from its figures."""
    def at_240(*kw: float) -> list[float]:
        return [line_current(value * 1000, 240) for value in kw]
    assert diversified(at_240(6, 6, 3, 3, 3, 3, 3, 3, 3), [1]) == pytest.approx(137.5)
    assert diversified(at_240(3, 3), [1, 1, 0.25]) == pytest.approx(25)
    assert diversified(at_240(6, 6, 4), [1, 0.8, 0.6]) == pytest.approx(55)
    assert 0.9 * at_240(12 * 1.8)[0] == pytest.approx(81)  # discharge lighting counts 1.8 times; 90 % of it
    assert diversified([30] * 8, [1, 0.5]) == pytest.approx(135)
    assert diversified([30] * 8, [1, 0.75]) == pytest.approx(187.5)


# IEC 60364-5-54 annex A in a public copy of NEN 1010: k as printed, whole numbers
@pytest.mark.parametrize(("material", "cold", "hot", "printed"), [
    ("Cu", 70, 160, 115), ("Cu", 90, 250, 143), ("Cu", 85, 220, 134), ("Al", 70, 160, 76), ("Al", 90, 250, 94), ("Al", 85, 220, 89),
    ("Cu", 30, 160, 143), ("Cu", 30, 250, 176), ("Cu", 30, 220, 166), ("Al", 30, 160, 95), ("Al", 30, 250, 116), ("Al", 30, 220, 110),
    ("steel", 30, 160, 52), ("steel", 30, 250, 64), ("steel", 30, 220, 60), ("Cu", 30, 500, 228), ("Cu", 30, 200, 159),
    ("Cu", 30, 150, 138), ("Al", 30, 300, 125), ("Al", 30, 200, 105), ("Al", 30, 150, 91), ("steel", 30, 500, 82), ("steel", 30, 200, 58),
    ("steel", 30, 150, 50)])
def test_factor_k_is_the_printed_one(material: str, cold: float, hot: float, printed: float) -> None:
    assert factor_k(T, material, cold, hot) == pytest.approx(printed, abs=0.6)  # the standard cuts 94.5 to 94


def test_protective_conductor_without_calculation() -> None:
    """IEC 60364-5-54, as a public page gives it: S to 16, 16 to 35, then S/2."""
    assert [without_calculation(s) for s in (2.5, 16, 25, 35, 70)] == [2.5, 16, 16, 16, 35]


# BS 7671:2008, largest Zs at 230 V, as printed (half cases are cut there: 0.01 ohm)
ZS_2008 = {"B": {6: 7.67, 10: 4.6, 16: 2.87, 20: 2.3, 25: 1.84, 32: 1.44, 40: 1.15, 50: 0.92, 63: 0.73, 80: 0.57, 100: 0.46, 125: 0.37},
           "C": {6: 3.83, 10: 2.3, 16: 1.44, 20: 1.15, 25: 0.92, 32: 0.72, 40: 0.57, 50: 0.46, 63: 0.36, 80: 0.29, 100: 0.23, 125: 0.18},
           "D": {6: 1.92, 10: 1.15, 16: 0.72, 20: 0.57, 25: 0.46, 32: 0.36, 40: 0.29, 50: 0.23, 63: 0.18, 80: 0.14, 100: 0.11, 125: 0.09}}
# BS 7671:2018 with its voltage factor 0.95, from memory
ZS_2018 = {"B": {6: 7.28, 32: 1.37}, "C": {32: 0.68}}
# AS/NZS 3000:2018, mean multiples; from memory, the 7.5 of type C in text of the board that licenses electricians in New Zealand
ZS_MEAN = {"B": {6: 9.58, 16: 3.59, 32: 1.8}, "C": {10: 3.07, 20: 1.53, 32: 0.96, 63: 0.49}, "D": {16: 1.15, 32: 0.57}}


@pytest.mark.parametrize(("printed", "basis", "c", "within"), [
    (ZS_2008, "upper", 1.0, 0.01), (ZS_2018, "upper", 0.95, 0.006), (ZS_MEAN, "mean", 1.0, 0.006)])
def test_largest_loop_impedances_are_those_of_the_named_editions(printed: dict[str, dict[int, float]], basis: str, c: float, within: float) -> None:
    for curve, by_rating in printed.items():
        for rated, ohm in by_rating.items():
            assert largest_loop(230, trip_current(T, rated, curve, basis), c) == pytest.approx(ohm, abs=within), (curve, rated)


def test_residual_current_devices_bear_a_loop_of_50_volts() -> None:
    """A public reference page on residual current devices: 1667, 500, 167 ohm."""
    assert [round(loop_of_residual(i)) for i in (0.03, 0.1, 0.3)] == [1667, 500, 167]


def test_disconnection_times_by_earthing_voltage_and_use() -> None:
    """IEC 60364-4-41 and BS 7671: 0.4 s in TN and 0.2 s in TT at 230 V; 5 s and 1 s in distribution circuits."""
    assert [needed_time(T, e, u, 230)["seconds"] for e in ("TN", "TT") for u in ("final", "distribution")] == [0.4, 5, 0.2, 1]


def test_units_of_3_84_kva_draw_16_7_amperes_and_three_of_them_may_put_33_4_in_one_neutral() -> None:
    """Common practice, no source: units of 3.84 kVA at 230 V; of three on one combined neutral two may push one way."""
    one = line_current(3840, 230)
    assert one == pytest.approx(16.7, abs=0.05)
    three = [cmath.rect(one, -math.radians(120) * n) for n in range(3)]
    assert neutral_worst(three) == pytest.approx(33.4, abs=0.05)
    assert neutral_worst(three, opposed=False) == pytest.approx(16.7, abs=0.05)


def test_the_worst_neutral_is_the_worst_of_all_combinations() -> None:
    r = random.Random(3)
    for _ in range(40):
        units = [cmath.rect(r.uniform(1, 20), r.uniform(-math.pi, math.pi)) for _ in range(r.randint(1, 5))]
        for opposed, states in ((True, (-1, 0, 1)), (False, (0, 1))):
            tried = (abs(sum(s * i for s, i in zip(signs, units, strict=True))) for signs in itertools.product(states, repeat=len(units)))
            assert neutral_worst(units, opposed) == pytest.approx(max(tried))


def test_two_supplies_side_by_side_load_a_bar_section_with_their_sum() -> None:
    """Energy Safe Victoria: 63 A and 32 A side by side on a bar of 80 A load a section with 95 A."""
    taps = [Tap("supply", 63, 0), Tap("solar", 32, 0), *(Tap(f"way {n}", 0, 25) for n in range(1, 6))]
    sections = busbar_sections(taps)
    assert max(s.ampere for s in sections) == 95 > 80
    assert (sections[1].left, sections[1].right) == ("solar", "way 1")
    assert max(s.ampere for s in busbar_sections([taps[0], *taps[2:], taps[1]])) == 63  # the far end of the bar: never together
    assert sum_of_sources(taps) == 95


def test_the_phase_phase_current_is_root_three_over_two_of_the_three_phase_one() -> None:
    """IEC 60909-0; split phase (180°) has twice the voltage over twice the impedance."""
    z = 0.05 + 0.02j
    assert phase_phase(230, z, 1.05).ampere / three_phase(230, z, 1.05).ampere == pytest.approx(math.sqrt(3) / 2)
    assert phase_phase(230, z, 1.05, degrees=180).ampere == pytest.approx(three_phase(230, z, 1.05).ampere)


def test_a_row_of_taps_drops_half_of_what_its_far_end_would() -> None:
    """Series of numbers: Σ k from 1 to n is n (n + 1) / 2."""
    assert taps_current(4, 1.4) == pytest.approx([5.6, 4.2, 2.8, 1.4])
    lumped = segment_change(11 * 1.4, 4.61, 22, single_phase=True).volts
    assert taps_rise(11, 1.4, 4.61 + 0j, 22) == pytest.approx(lumped * 12 / 22)


def test_a_power_factor_splits_power_as_pythagoras_has_it() -> None:
    assert abs(apparent(800, 0.8)) == pytest.approx(1000)
    assert apparent(800, 0.8).imag == pytest.approx(600)


def test_a_lead_of_a_current_transformer_takes_what_its_core_has_left() -> None:
    """A published application note on leads of current transformers: 5 A, core 2.5 VA, instrument 0.75 VA, 30 ft one way: 0.07 ohm are left, 10 AWG.

    Areas 5.26 and 3.31 mm² (ASTM B258, from memory); copper cold, as the note has it: 0.01724 (IEC 60028). Hot, 10 AWG no longer does."""
    left = 2.5 - 0.75
    assert left / 5 ** 2 == pytest.approx(0.07, abs=0.005)
    ten, twelve = (lead_burden(5, 30 * 0.3048, area, 0.01724) for area in (5.26, 3.31))
    assert ten / 25 == pytest.approx(0.0599, abs=0.00005)
    assert twelve / 25 == pytest.approx(0.0953, abs=0.00005)
    assert ten < left < twelve
    assert lead_burden(5, 30 * 0.3048, 5.26, copper_rho(T, 75)) > left
