# SPDX-License-Identifier: MIT
"""Voltage drop and rise by hand methods: mV/A/m of a cable, and the sum of rated currents that inspectors expect."""
from __future__ import annotations

import math
from collections.abc import Iterable

from .dataclass import dataclass

__all__ = ["Change", "along", "longest", "mv_per_a_m", "percent", "segment_change"]


@dataclass(frozen=True, slots=True)
class Change:
    """A change of voltage phase to neutral (or between the two lines of a two-phase circuit) and how it came about [V]."""

    volts: float
    working: str


def mv_per_a_m(z_ohm_per_km: complex, system: str, cos_phi: float | None = None) -> float:
    """Voltage drop for each ampere and metre [mV/A/m], which is V/A/km.

    z_ohm_per_km : of one conductor
    system       : "1ph" (both conductors carry the current, the drop is theirs), "3ph" (balanced; the drop is that between lines)
    cos_phi      : power factor, 0 to 1 lagging; None: the largest drop that any power factor gives, |Z|
    Formula: b (R cos φ + X sin φ), b = 2 or √3. Source: IEC 60364-5-52 annex G; BS 7671 Appendix 4.
    """
    times = {"1ph": 2.0, "3ph": math.sqrt(3)}[system]
    if cos_phi is None:
        return times * abs(z_ohm_per_km)
    return times * (z_ohm_per_km.real * cos_phi + z_ohm_per_km.imag * math.sqrt(1 - cos_phi**2))


def segment_change(current_a: float, r_ohm_per_km: float, length_m: float, single_phase: bool, parallel: int = 1) -> Change:
    """Change along one cable at unity power factor, phase to neutral [V].

    current_a    : rated current in one phase
    r_ohm_per_km : resistance of one conductor, hot
    single_phase : the neutral carries the current too: twice the length counts
    Formula: I r l, or 2 I r l. Source: AS/NZS 4777.1 as applied by inspectors; common practice.
    """
    times = 2 if single_phase else 1
    volts = times * current_a * r_ohm_per_km / 1000 * length_m / parallel
    shared = f" / {parallel}" if parallel > 1 else ""
    return Change(volts, f"{'2 × ' if single_phase else ''}{current_a:.2f} A × {r_ohm_per_km:.4g} ohm/km × {length_m:g} m{shared} = {volts:.2f} V")


def along(changes: Iterable[Change]) -> Change:
    """The sum of the changes along a way [V]."""
    each = tuple(changes)
    volts = math.fsum(change.volts for change in each)
    return Change(volts, " + ".join(f"{change.volts:.2f}" for change in each) + f" = {volts:.2f} V" if each else "0.00 V")


def percent(volts: float, u0_v: float) -> float:
    """A change as a share of the nominal voltage [%]. u0_v: phase to neutral, above 0."""
    return 100 * volts / u0_v


def longest(length_m: float, here_v: float, elsewhere_v: float, limit_v: float) -> float | None:
    """The longest that a cable can be within a limit of the whole way, at its present size and current [m].

    here_v : change along it at length_m; elsewhere_v: along the rest of the way; limit_v: of the whole way
    None where nothing flows in it; 0 where the rest alone takes up the limit. Law: the change grows in proportion to the length.
    """
    if here_v <= 0:
        return None
    return max(0.0, length_m * (limit_v - elsewhere_v) / here_v)
