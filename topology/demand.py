# SPDX-License-Identifier: MIT
"""Design currents: what equipment draws, diversity, and the trunk of module-level inverters as the row of taps that it is."""
from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence

from .sweep import Draw, accumulate

__all__ = ["apparent", "diversified", "draws_of", "line_current", "motor_power", "neutral_worst", "nominal_current", "taps_current", "taps_rise"]


def line_current(s_va: float, u0_v: float, phases: int = 1, degrees: float = 120.0) -> float:
    """Current in each line [A] of an apparent power.

    phases  : 1 (to neutral), 2 (between two phases), 3
    degrees : between the two phases, 120 or 180
    Formula: S / U0; S / (2 U0 sin(degrees/2)); S / (3 U0). Source: definition of apparent power.
    """
    across = {1: u0_v, 2: 2 * u0_v * math.sin(math.radians(degrees) / 2), 3: 3 * u0_v}[phases]
    return s_va / across


def apparent(p_w: float, cos_phi: float = 1.0, lagging: bool = True) -> complex:
    """Complex power P + jQ [VA] of an active power. cos_phi: above 0 to 1; lagging: takes reactive power, as motors do."""
    if not 0 < cos_phi <= 1:
        raise ValueError(f"a power factor of {cos_phi:g} is outside 0 to 1")
    q = abs(p_w) * math.sqrt(1 / cos_phi**2 - 1)
    return complex(p_w, q if lagging else -q)


def motor_power(shaft_w: float, efficiency: float) -> float:
    """Active power that a motor takes from the supply [W] while its shaft gives shaft_w.

    efficiency : shaft power over power taken, above 0 to 1, of the nameplate or data sheet
    Formula: P / η. Source: IEC 60034-1 (a motor is rated by the power at its shaft). Raises ValueError outside the range.
    """
    if not 0 < efficiency <= 1:
        raise ValueError(f"an efficiency of {efficiency:g} is outside 0 to 1")
    return shaft_w / efficiency


def diversified(values: Iterable[float], factors: Sequence[float]) -> float:
    """Sum with diversity: the largest value times the first factor, the next times the second, the rest times the last.

    factors : 0 to 1, at least one. Source: form of the rules in handbooks (100 % X + 80 % Y + 60 % Z).
    """
    ordered = sorted(values, reverse=True)
    return math.fsum(value * factors[min(n, len(factors) - 1)] for n, value in enumerate(ordered))


def draws_of(node: int, s_va: complex, phases: Sequence[int], u0_v: float, constant: str = "power", to_neutral: bool = True) -> list[Draw]:
    """What equipment draws at a node: one phase to neutral, two phases across or to neutral, three phases alike.

    phases     : 0, 1, 2 for L1, L2, L3; at least one
    to_neutral : two phases load the neutral too, half the power each; else the power stands between them
    """
    if len(phases) == 2 and not to_neutral:
        return [Draw(node, (phases[0], phases[1]), s_va, constant, u0_v * math.sqrt(3))]
    return [Draw(node, (phase, 3), s_va / len(phases), constant, u0_v) for phase in phases]


def nominal_current(draw: Draw, source: tuple[complex, complex, complex]) -> complex:
    """Current phasor of a draw at the nominal voltages of the source [A]. Raises ValueError on a phase that is not there."""
    places = (*source, 0j)
    u = places[draw.between[0]] - places[draw.between[1]]
    if not u:
        raise ValueError("the equipment stands on a phase that the supply does not have")
    return (draw.s_va / u).conjugate()


def taps_current(number: int, each_a: float) -> list[float]:
    """Currents in the pieces of a trunk with equal taps, from its fed end outwards [A]: n I, (n-1) I, … I."""
    flow = accumulate([max(0, n - 1) for n in range(number + 1)], [(n, (0, 3), complex(each_a)) for n in range(1, number + 1)])
    return [abs(currents[0]) for currents in flow[1:]]


def taps_rise(number: int, each_a: float, z_ohm_per_km: complex, length_m: float, single_phase: bool = True) -> float:
    """Change of voltage from the first piece to the last tap of a trunk [V] whose taps divide its length evenly.

    Formula: (2) Σ k I |Z| l/n, k = 1 … n, which is (n + 1)/2n of the change with all current at the far end; unity power factor.
    Source: Ohm's law, sum of an arithmetic series.
    """
    piece = length_m / number / 1000
    return (2 if single_phase else 1) * math.fsum(taps_current(number, each_a)) * z_ohm_per_km.real * piece


def neutral_worst(currents: Sequence[complex], opposed: bool = True) -> float:
    """The most that a shared neutral can carry when each unit runs or rests as it likes [A].

    currents : of each unit, as phasors, all running the same way
    opposed  : some units may push while others pull; else all that run go the same way
    The largest |Σ s_k I_k| over s_k in {-1, 0, 1}, or {0, 1}. Source: Kirchhoff's first law; of all directions in the plane one is
    best, and there each unit adds what it has in that direction.
    """
    angles = [cmath.phase(i) + side for i in currents if i for side in (math.pi / 2 + 1e-9, math.pi / 2 - 1e-9)]
    directions = [cmath.rect(1, a + turn) for a in angles for turn in (0, math.pi)]
    best = 0.0
    for direction in directions:
        parts = [(i * direction.conjugate()).real for i in currents]
        picked = [(1 if p > 0 else -1 if opposed else 0) * i for p, i in zip(parts, currents, strict=True)]
        best = max(best, abs(sum(picked)))
    return best
