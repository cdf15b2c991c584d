# SPDX-License-Identifier: MIT
"""What the lead of a current transformer burdens its core with."""
from __future__ import annotations

from .tables import Tables

__all__ = ["copper_rho", "lead_burden"]


def copper_rho(tables: Tables, degc: float) -> float:
    """Resistivity of copper at a temperature [Ω·mm²/m], by the row of the table of materials (IEC 60028)."""
    row = tables.row("materials", material="Cu")
    return row.number("rho20_ohm_mm2_per_km") / 1000 * (1 + row.number("alpha_per_k") * (degc - 20))


def lead_burden(current_a: float, length_m: float, area_mm2: float, rho: float) -> float:
    """Burden of a lead there and back [VA]: I² · 2 · ρ · length / area; length one way [m], rho [Ω·mm²/m]. Ohm's law."""
    return current_a ** 2 * 2 * rho * length_m / area_mm2
