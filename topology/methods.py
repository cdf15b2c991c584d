# SPDX-License-Identifier: MIT
"""The methods of calculation by name, for `sld explain`: their manual is the docstring, with units, range, formula and source."""
from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

from . import adiabatic, busbar, capacity, demand, disconnection, drop, fault, fuses, impedance, signals, sweep

__all__ = ["METHODS", "explain_method", "method_names"]

METHODS: dict[str, Callable[..., Any]] = {
    "adiabatic-limit": adiabatic.smallest_area,
    "aluminium-capacity": capacity.as_aluminium,
    "ambient-factor": capacity.ambient_factor,
    "busbar-sections": busbar.busbar_sections,
    "capacity": capacity.capacity,
    "clearing": disconnection.clears,
    "conductor-impedance": impedance.conductor,
    "coordination": capacity.coordination,
    "diversity": demand.diversified,
    "earth-fault-current": fault.earth_fault,
    "factor-k": adiabatic.factor_k,
    "four-wire-sweep": sweep.sweep,
    "fuse-curve": fuses.opens_within,
    "fuse-let-through": fuses.most_energy,
    "grouping-factor": capacity.grouping_factor,
    "inverter-fault-current": fault.of_inverter,
    "largest-loop": disconnection.largest_loop,
    "line-length-of-a-bus": signals.longest_line_m,
    "linear-voltage-change": drop.segment_change,
    "longest-cable": drop.longest,
    "motor-power": demand.motor_power,
    "network-impedance": impedance.of_network,
    "neutral-of-opposed-units": demand.neutral_worst,
    "phase-phase-current": fault.phase_phase,
    "protective-conductor-size": adiabatic.without_calculation,
    "reflections-on-a-bus": signals.reflections,
    "resistance-at-temperature": impedance.temperature_factor,
    "tee-length-of-a-bus": signals.longest_tee_m,
    "three-phase-current": fault.three_phase,
    "transformer-impedance": impedance.of_transformer,
    "trip-current": disconnection.trip_current,
    "trunk-of-taps": demand.taps_rise,
    "volts-per-ampere-and-metre": drop.mv_per_a_m,
}
"""Every method that a report, drawing or schedule rests on."""


def method_names() -> str:
    """The names of the methods, one a line."""
    return "\n".join(METHODS)


def explain_method(name: str) -> str | None:
    """The manual of a method, or None where there is none of that name; "methods" lists them."""
    if name == "methods":
        return method_names()
    method = METHODS.get(name)
    return None if method is None else f"{name} (method): {inspect.getdoc(method)}"
