# SPDX-License-Identifier: MIT
"""What the lead of a current transformer burdens its core with."""
from __future__ import annotations

__all__ = ["COPPER_75", "lead_burden"]

COPPER_75 = 0.0225
"""Copper at about 75 °C [Ω·mm²/m]: 0.01724 at 20 °C (IEC 60028) times 1.2, with a margin for joints."""


def lead_burden(current_a: float, length_m: float, area_mm2: float, rho: float = COPPER_75) -> float:
    """Burden of a lead there and back [VA]: I² · 2 · ρ · length / area; length one way [m], rho [Ω·mm²/m]. Ohm's law."""
    return current_a ** 2 * 2 * rho * length_m / area_mm2
