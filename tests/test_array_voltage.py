# SPDX-License-Identifier: MIT
"""The highest voltage of a string: by its definition, and the laws that follow from it."""
from __future__ import annotations

import pytest
from topology.array_voltage import REFERENCE_DEGC, cold_voltage


def test_at_standard_conditions_a_string_has_the_voltage_of_its_modules() -> None:
    """IEC 60904-3: data of a module stand at 25 °C (from memory)."""
    assert cold_voltage(14, 49.0, -0.27, REFERENCE_DEGC) == pytest.approx(14 * 49.0)


def test_the_voltage_is_the_definition_of_the_coefficient_worked_by_hand() -> None:
    """14 × 49 V × (1 + 0.0027 × 30) = 741.6 V at -5 °C; 11 of them have 582.7 V."""
    assert cold_voltage(14, 49.0, -0.27, -5.0) == pytest.approx(741.6, abs=0.05)
    assert cold_voltage(11, 49.0, -0.27, -5.0) == pytest.approx(582.7, abs=0.05)


def test_a_colder_or_longer_string_has_more_volts() -> None:
    assert cold_voltage(12, 49.0, -0.3, -10.0) > cold_voltage(12, 49.0, -0.3, 0.0) > cold_voltage(11, 49.0, -0.3, 0.0)
