# SPDX-License-Identifier: MIT
"""The highest voltage of a string of photovoltaic modules."""
from __future__ import annotations

__all__ = ["REFERENCE_DEGC", "cold_voltage"]

REFERENCE_DEGC = 25.0
"""Cell temperature of standard test conditions, at which a module's data stand. Source: IEC 60904-3, from memory."""


def cold_voltage(modules: int, module_v: float, coefficient: float, degc: float) -> float:
    """Open-circuit voltage of a string at the lowest temperature [V].

    modules     : in series
    module_v    : open-circuit voltage of one at 25 °C [V]
    coefficient : of that voltage [%/K], negative
    degc        : lowest temperature of the cells; before sunrise that of the air
    Formula: U = n Uoc (1 + β (T - 25 °C)), the definition of the coefficient. Source: IEC 62548 (highest voltage of an array), IEC 60891, from memory.
    """
    return modules * module_v * (1 + coefficient / 100 * (degc - REFERENCE_DEGC))
