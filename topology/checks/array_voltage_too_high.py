# SPDX-License-Identifier: MIT
"""An array whose voltage is above what its inverter or the profile allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..array_voltage import cold_voltage
from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Array, HybridInverter, Inverter
from ._status import severity_for

__all__ = ["array_voltage_too_high"]


@rule(each=Inverter | HybridInverter, danger=True, limits=("array-voltage-most",))
def array_voltage_too_high(inverter: Inverter | HybridInverter, site: Flows) -> Iterator[Finding]:
    """Array whose open-circuit voltage at the lowest temperature is above that of its inverter's input, or above the profile's limit.

    Why: on the first cold clear morning the voltage destroys the input, and with it the isolation between array and installation. The
        voltage is as the file says it (open_circuit), or computed from the modules of a string and the lowest temperature of the site.
    Bad: arrays: [{power: 6 kW, in_string: 14, module_voltage: 49 V, voltage_coefficient: -0.27 %/K}] at -5 °C on a type with dc_voltage: 600 V
    Good: in_string: 11 there, which has 583 V
    Source: the maker's figure for the input (dc_voltage of the type); the profile's limit (array-voltage-most); voltage by IEC 62548, from memory
    """
    entry = site.profiles.find("array-voltage-most")
    if inverter.status == "removed":
        return
    for array in inverter.arrays if isinstance(inverter.arrays, tuple) else ():
        if array.open_circuit is None and array.in_string is None:
            continue
        volts, how = _volts(array, site)
        most = site.type_of(inverter).dc_voltage
        if most is not None and volts > (most + 0) * (1 + 1e-9):
            yield _finding(site, inverter, array, (volts, how), f"the input of '{inverter.id}' takes {most:g} V", most, "error",
                           "the maker's figure (dc_voltage of the type)")
        elif entry is not None and entry.value is not None and volts > entry.si * (1 + 1e-9):
            yield _finding(site, inverter, array, (volts, how), f"{entry.si:g} V are allowed", entry.si, entry.severity, entry.reference)


def _volts(array: Array, site: Flows) -> tuple[float, str]:
    """The highest voltage of an array [V], and what it holds for in words. Raises CannotTell where a figure is missing."""
    if array.in_string is None:
        return array.open_circuit + 0, "at the lowest temperature"
    degc = site.site.site.lowest_temperature + 0
    volts = cold_voltage(array.in_string + 0, array.module_voltage + 0, array.voltage_coefficient + 0, degc)
    return volts, f"at {degc:g} °C ({array.in_string} × {array.module_voltage:g} V at 25 °C, {array.voltage_coefficient:g} %/K)"


def _finding(site: Flows, inverter: Inverter | HybridInverter, array: Array, voltage: tuple[float, str], why: str, most: float, severity: str,
             source: str) -> Finding:
    volts, how = voltage
    return Finding(array.mark, f"'{array.id}' can have {volts:.4g} V {how}, and {why}",
                   "put fewer modules in series, or take an inverter for a higher voltage", objects=(array.id, inverter.id),
                   severity=severity_for(site, (array.id, inverter.id), severity), source=source,
                   numbers={"voltage": Number(round(volts, 1), "V"), "most": Number(most, "V")})
