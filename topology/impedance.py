# SPDX-License-Identifier: MIT
"""Resistance and reactance of cables, at a temperature; impedance of transformers and of what lies behind a fault level."""
from __future__ import annotations

import math

from .dataclass import dataclass
from .tables import Row, Tables

__all__ = ["ALPHA_FAULT", "ConductorZ", "at_temperature", "conductor", "of_loop", "of_network", "of_transformer", "temperature_factor"]

ALPHA_FAULT = 0.004
"""Temperature coefficient of resistance in fault calculations [1/K]. Source: IEC 60909-0, resistance at the end of a short circuit."""


@dataclass(frozen=True, slots=True)
class ConductorZ:
    """Impedance of one conductor per kilometre. z_ohm_per_km at temperature_degc; rows: the facts that it comes from."""

    z_ohm_per_km: complex
    r20_ohm_per_km: float
    temperature_degc: float
    rows: tuple[Row, ...]

    def of(self, length_m: float, parallel: int = 1) -> complex:
        """Impedance of a length of so many equal conductors in parallel [ohm]. length_m: 0 or more."""
        return self.z_ohm_per_km * length_m / 1000 / parallel


def temperature_factor(temperature_degc: float, alpha_per_k: float) -> float:
    """What a resistance at 20 degC is multiplied by at a temperature: 1 + alpha (t - 20).

    temperature_degc : -30 to 300
    alpha_per_k      : of the material, 0.0039 or so
    Source: IEC 60287-1-1, resistance of a conductor; IEC 60909-0 with alpha = 0.004.
    Raises ValueError outside the range.
    """
    if not -30 <= temperature_degc <= 300:
        raise ValueError(f"{temperature_degc:g} degC is outside -30 to 300")
    return 1 + alpha_per_k * (temperature_degc - 20)


def at_temperature(r20_ohm: float, temperature_degc: float, alpha_per_k: float) -> float:
    """Resistance at a temperature from that at 20 degC [ohm, or ohm/km]. Source: see temperature_factor."""
    return r20_ohm * temperature_factor(temperature_degc, alpha_per_k)


def conductor(tables: Tables, area_mm2: float, material: str, temperature_degc: float, conductor_class: int = 2,
              alpha_per_k: float | None = None) -> ConductorZ:
    """Impedance of a conductor of a multicore cable at 50 Hz, direct-current resistance taken [ohm/km].

    area_mm2        : a standard size; 1 to 240
    material        : Cu or Al
    alpha_per_k     : that of the material where None
    conductor_class : 1 solid, 2 stranded, 5 flexible
    Skin and proximity effect are left out: 2 % at 95 mm² (BS 7671 prints 0.50 for alternating and 0.49 for direct current).
    Source: IEC 60228 (resistance), reactance and constants as their rows say. Raises NoRow for a size that the tables lack.
    """
    resistance = tables.row("resistance", conductor_class=float(conductor_class), material=material, area_mm2=area_mm2)
    reactance = tables.row("reactance", area_mm2=area_mm2)
    of_material = tables.row("materials", material=material)
    alpha = of_material.number("alpha_per_k") if alpha_per_k is None else alpha_per_k
    r20 = resistance.number("r20_ohm_per_km")
    z = complex(at_temperature(r20, temperature_degc, alpha), reactance.number("x_ohm_per_km"))
    return ConductorZ(z, r20, temperature_degc, (resistance, reactance, of_material))


def of_transformer(s_va: float, u20_v: float, usc_percent: float, loss_percent: float = 0.0) -> complex:
    """Impedance of a transformer on its low-voltage side [ohm].

    s_va         : rated power [VA], above 0
    u20_v        : no-load voltage between lines [V]
    usc_percent  : short-circuit voltage [%]
    loss_percent : load loss over rated power [%], at most usc_percent
    Formula: Z = usc/100 U²/S, R = loss/100 U²/S. Source: IEC 60909-0, impedance of two-winding transformers.
    """
    base = u20_v**2 / s_va / 100
    return complex(loss_percent * base, math.sqrt(usc_percent**2 - loss_percent**2) * base)


def of_network(power_va: float, u20_v: float, c: float = 1.1) -> float:
    """Impedance of the network before a transformer, on its low-voltage side [ohm].

    power_va : short-circuit power of the network [VA]; u20_v: voltage of the transformer between lines without load [V]; c: voltage factor
    Formula: Z = c U² / S. Source: IEC 60909-0, network feeders; c = 1.1 above 1 kV.
    """
    return c * u20_v**2 / power_va


def of_loop(i_fault_a: float, u0_v: float, r_over_x: float = 1.0, c: float = 1.0) -> complex:
    """Impedance of one conductor's way behind a place where the three-phase fault current is known [ohm].

    i_fault_a : prospective three-phase current [A], above 0
    u0_v      : phase to neutral [V]
    r_over_x  : ratio of resistance to reactance [-]
    c         : voltage factor with which the current was computed [-]
    Formula: |Z| = c U0 / I. Source: IEC 60909-0, network feeders.
    """
    size = c * u0_v / i_fault_a
    x = size / math.hypot(1, r_over_x)
    return complex(r_over_x * x, x)
