# SPDX-License-Identifier: MIT
"""Prospective fault currents: largest and smallest, which are never one figure."""
from __future__ import annotations

import math

from .dataclass import dataclass

__all__ = ["C_MAX", "C_MIN", "COLD_DEGC", "Fault", "earth_fault", "from_dip", "of_inverter", "phase_phase", "three_phase", "transformer"]

C_MAX = 1.05
"""Voltage factor for the largest current in low-voltage networks with a tolerance of +6 %. Source: IEC 60909-0, table 1."""
C_MIN = 0.95
"""Voltage factor for the smallest current. Source: IEC 60909-0:2016, table 1; BS 7671:2018 takes the same."""
COLD_DEGC = 20.0
"""Temperature of conductors for the largest current [degC]. Source: IEC 60909-0."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A prospective current with its working [A]. loop_ohm: the impedance that limits it; c: voltage factor."""

    ampere: float
    loop_ohm: complex
    c: float
    working: str


def _fault(kind: str, times: float, u_v: float, z: complex, c: float) -> Fault:
    if abs(z) <= 0:
        raise ValueError("a fault that nothing limits has no current")
    current = times * c * u_v / abs(z)
    factor = f"{times:.3f} × " if times != 1 else ""
    return Fault(current, z, c, f"{kind}: {factor}{c:g} × {u_v:.0f} V / {abs(z):.4f} ohm = {current:.0f} A")


def three_phase(u0_v: float, z_ohm: complex, c: float) -> Fault:
    """Current of a fault between three phases [A].

    u0_v : phase to neutral [V]; z_ohm: of one conductor from the source to the fault, not 0
    Formula: c Un / (√3 |Z|). Source: IEC 60909-0, three-phase short circuit. Raises ValueError for an impedance of 0.
    """
    return _fault("three-phase", 1.0, u0_v, z_ohm, c)


def phase_phase(u0_v: float, z_ohm: complex, c: float, degrees: float = 120.0) -> Fault:
    """Current of a fault between two phases [A]. degrees: between them, 120 (two of three) or 180 (split phase).

    Formula: c U / |2 Z|, U = 2 U0 sin(degrees / 2); √3/2 of the three-phase current at 120°. Source: IEC 60909-0.
    """
    return _fault("phase-phase", math.sin(math.radians(degrees) / 2), u0_v, z_ohm, c)


def earth_fault(u0_v: float, z_line_ohm: complex, z_return_ohm: complex, c: float, kind: str = "earth fault") -> Fault:
    """Current of a fault between a phase and the neutral or protective conductor [A].

    z_line_ohm, z_return_ohm : from the source to the fault and back, not both 0
    kind : what the working calls it
    Formula: c U0 / |Z line + Z return|. Source: IEC 60364-4-41 clause 411.4.4 with the voltage factor of IEC 60909-0.
    """
    return _fault(kind, 1.0, u0_v, z_line_ohm + z_return_ohm, c)


def transformer(s_va: float, u20_v: float, usc_percent: float) -> tuple[float, float]:
    """Rated current and three-phase fault current at the terminals of a transformer on a stiff network [A].

    Formula: In = S / (√3 U20), Isc = 100 In / usc. Source: IEC 60076-5; worked examples in tests/published/test_examples.py.
    """
    rated = s_va / (math.sqrt(3) * u20_v)
    return rated, 100 * rated / usc_percent


def from_dip(open_v: float, loaded_v: float, load_a: float) -> tuple[float, float]:
    """Loop impedance [ohm] and prospective current [A] from the dip that a known load makes.

    Formula: Z = (U open - U loaded) / I, Ik = U open / Z. Source: common practice. Raises ValueError where nothing dips.
    """
    if load_a <= 0 or loaded_v >= open_v:
        raise ValueError("the voltage must fall when the load is switched on")
    loop = (open_v - loaded_v) / load_a
    return loop, open_v / loop


def of_inverter(rated_a: float, multiple: float = 1.2) -> float:
    """Fault current that an inverter adds [A]: its electronics hold it near the rated current.

    multiple : from the maker's document; 1.2 where it says nothing
    Formula: multiple × rated current. Source: common practice, no source.
    """
    return rated_a * multiple
