# SPDX-License-Identifier: MIT
"""The dairy of the gallery with its long runs, worked out by hand: arithmetic beside each value, nothing copied from the program's output.

Resistances at 20 °C [ohm/km]: 35 mm² 0.524, 50 mm² 0.387, 16 mm² 1.15, 6 mm² 3.08, 4 mm² 4.61, 2.5 mm² 7.41 (IEC 60228, class 2). Copper at 90 °C:
1 + 0.00393 · 70 (IEC 60287-1-1) for voltages, 1 + 0.004 · 70 (IEC 60909-0) for the loop. Reactances [ohm/km]: 35 and 50 mm² 0.0779 (BS 7671),
16 mm² 0.0805, 6 mm² 0.0913, 2.5 mm² 0.102 (AS/NZS 3008.1.1, from memory).
"""
from __future__ import annotations

import math
from pathlib import Path

import pytest
from topology.electrical import Electrical, solve
from topology.electrical.conductors_of import parts_of
from topology.flow import Flows
from topology.read import read_file

HOT, LOOP = 1 + 0.00393 * 70, 1 + 0.004 * 70
THREE, STORAGE = 9000 / 3 / 230, 2700 / 230  # a phase of the inverter, a storage unit [A]
LINE, NEUTRAL = THREE + STORAGE, STORAGE  # in L1 or L2 of the submain, and in the neutral: two equal units 120° apart
W1 = (LINE + NEUTRAL) * 0.524 * HOT * 0.038
W2 = (LINE + NEUTRAL) * 0.387 * HOT * 0.092
WS = THREE * 3.08 * HOT * 0.034  # balanced, nothing in the neutral


@pytest.fixture(scope="module")
def dairy() -> Electrical:
    return solve(Flows(read_file(Path(__file__).parents[1] / "gallery/longrun/site.yaml")))


def node(e: Electrical, name: str) -> int:
    return e.cable_node(e.flows.objects[name])


def test_design_current_and_capacity_of_the_solar_cable(dairy: Electrical) -> None:
    """9 kVA / 3 / 230 V is 13.04 A; 6 mm² XLPE in conduit, three loaded, 44 A (IEC 60364-5-52 Annex B, from memory), √(50/60) is 0.91: 40.0 A."""
    assert dairy.design(node(dairy, "WS")).ampere == pytest.approx(13.04, abs=0.005)
    assert dairy.capacity(node(dairy, "WS"), parts_of(dairy.flows.objects["WS"])[0]).ampere == pytest.approx(44 * round(math.sqrt(50 / 60), 2), abs=0.05)


def test_rise_along_each_cable_and_in_all(dairy: Electrical) -> None:
    """0.93 + 1.66 + 1.74 V is 4.33 V, 1.88 % of 230 V."""
    assert W1 == pytest.approx(0.93, abs=0.005)
    assert W2 == pytest.approx(1.66, abs=0.005)
    assert WS == pytest.approx(1.74, abs=0.005)
    for name, volts in (("W1", W1), ("W2", W2), ("WS", WS)):
        assert dairy.voltages["export"].linear_part(node(dairy, name), 0).volts == pytest.approx(volts, abs=0.0005)
    assert dairy.linear_rise(dairy.node("INV1")) == pytest.approx(W1 + W2 + WS, abs=0.001)


def test_largest_current_at_the_main_switchboard(dairy: Electrical) -> None:
    """1.05 · 230 V / 5 kA is 0.0483 ohm of reactance; W1 cold 0.0199 + j0.0030 ohm: 241.5 V / |0.0199 + j0.0513| is 4.39 kA."""
    z = 1j * 1.05 * 230 / 5000 + (0.524 + 0.0779j) * 0.038
    assert 241.5 / abs(z) == pytest.approx(4390, abs=5)
    assert dairy.faults.largest(dairy.node("MSB")).ampere == pytest.approx(1.05 * 230 / abs(z), rel=1e-4)


def test_loop_and_smallest_current_at_the_inverter(dairy: Electrical) -> None:
    """0.21 ohm measured at MSB, W2 with 50 and 16 mm², WS with 6 and 2.5 mm², hot: 0.848 ohm; 0.95 · 230 V over it is 258 A."""
    z = ((0.387 + 1.15) * LOOP + (0.0779 + 0.0805) * 1j) * 0.092 + ((3.08 + 7.41) * LOOP + (0.0913 + 0.102) * 1j) * 0.034
    assert 0.21 + abs(z) == pytest.approx(0.848, abs=0.0005)
    assert dairy.faults.loop(dairy.node("INV1")) == pytest.approx(0.21 + abs(z), abs=1e-4)
    assert dairy.faults.smallest(dairy.node("INV1")).ampere == pytest.approx(0.95 * 230 / (0.21 + abs(z)), abs=0.1)


def test_longest_length_and_smallest_size_of_the_solar_cable(dairy: Electrical) -> None:
    """2 % of 230 V leave 4.60 - 0.93 - 1.66 V: 39.3 m of 6 mm². With 4 mm² the rise would be 5.19 V, more than 4.60 V."""
    part = parts_of(dairy.flows.objects["WS"])[0]
    left = 0.02 * 230 - W1 - W2
    assert dairy.longest(node(dairy, "WS"), part) == pytest.approx(left / (THREE * 3.08 * HOT / 1000), abs=0.01)
    assert W1 + W2 + THREE * 4.61 * HOT * 0.034 > 4.6 > W1 + W2 + WS
    size = dairy.smallest(node(dairy, "WS"), part)
    assert size is not None and (size.area_mm2, size.governed_by) == (6, "voltage rise")
