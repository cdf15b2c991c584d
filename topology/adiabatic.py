# SPDX-License-Identifier: MIT
"""Whether a conductor stands the heat of a fault, and the size that the protective conductor needs."""
from __future__ import annotations

import math

from .tables import Tables

__all__ = ["factor_k", "next_size", "smallest_area", "withstand_s", "without_calculation"]


def factor_k(tables: Tables, material: str, initial_degc: float, final_degc: float) -> float:
    """Factor k of a conductor [A √s / mm²].

    material : Cu, Al or steel; initial_degc < final_degc
    Formula: K √ln(1 + (θf - θi) / (β + θi)). Source: IEC 60364-5-54 annex A; equals the printed factors within 1.
    Raises ValueError where the conductor is not heated.
    """
    if final_degc <= initial_degc:
        raise ValueError("the conductor must get hotter")
    row = tables.row("materials", material=material)
    return row.number("k0") * math.sqrt(math.log(1 + (final_degc - initial_degc) / (row.number("beta_degc") + initial_degc)))


def smallest_area(fault_a: float, seconds: float, k: float) -> float:
    """Smallest cross-section that stands a fault [mm²]. seconds: up to 5.

    Formula: S = √(I² t) / k. Source: IEC 60364-5-54 clause 543.1.2. Raises ValueError beyond 5 s, where heat escapes.
    """
    if not 0 <= seconds <= 5:
        raise ValueError(f"{seconds:g} s is outside 0 to 5 s")
    return fault_a * math.sqrt(seconds) / k


def withstand_s(area_mm2: float, fault_a: float, k: float) -> float:
    """How long a conductor stands a fault [s]: (k S / I)². Source: IEC 60364-4-43 clause 434.5.2; holds up to 5 s."""
    return (k * area_mm2 / fault_a) ** 2


def next_size(sizes: tuple[float, ...], area_mm2: float) -> float | None:
    """The smallest standard size that is not below an area [mm²]; None beyond the largest."""
    return next((size for size in sizes if size >= area_mm2), None)


def without_calculation(line_mm2: float) -> float:
    """Protective conductor of the same material that needs no calculation [mm²].

    Rule: as the line up to 16, then 16 up to 35, then half. Source: IEC 60364-5-54 clause 543.1, as a public page gives it.
    """
    return line_mm2 if line_mm2 <= 16 else 16.0 if line_mm2 <= 35 else line_mm2 / 2
