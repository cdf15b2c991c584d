# SPDX-License-Identifier: MIT
"""An array whose voltage is above what its inverter or the profile allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Array, HybridInverter, Inverter

__all__ = ["array_voltage_too_high"]


@rule(each=Inverter | HybridInverter, danger=True, limits=("array-voltage-most",))
def array_voltage_too_high(inverter: Inverter | HybridInverter, site: Flows) -> Iterator[Finding]:
    """Array whose open-circuit voltage at the lowest temperature is above that of its inverter's input, or above the profile's limit.

    Why: on the first cold clear morning the voltage destroys the input, and with it the isolation between array and installation.
    Bad: arrays: [{power: 6 kW, open_circuit: 640 V}] on a type with dc_voltage: 600 V
    Good: arrays: [{power: 6 kW, open_circuit: 560 V}]
    Source: the maker's figure for the input (dc_voltage of the type); the profile's limit (array-voltage-most)
    """
    entry = site.profiles.find("array-voltage-most")
    for array in inverter.arrays if isinstance(inverter.arrays, tuple) else ():
        if array.open_circuit is None:
            continue
        volts, most = array.open_circuit + 0, site.type_of(inverter).dc_voltage  # an Unknown raises
        if most is not None and volts > most + 0:
            yield _finding(site, inverter, array, f"the input of '{inverter.id}' takes {most:g} V", most, "error", "the maker's figure (dc_voltage of the type)")
        elif entry is not None and entry.value is not None and volts > entry.si:
            yield _finding(site, inverter, array, f"{entry.si:g} V are allowed", entry.si, entry.severity, entry.reference)


def _finding(site: Flows, inverter: Inverter | HybridInverter, array: Array, why: str, most: float, severity: str, source: str) -> Finding:
    return Finding(array.mark, f"'{array.id}' can have {array.open_circuit:g} V at the lowest temperature, and {why}",
                   "put fewer modules in series, or take an inverter for a higher voltage", objects=(array.id, inverter.id),
                   severity=severity, source=source,
                   numbers={"voltage": Number(array.open_circuit, "V"), "most": Number(most, "V")})
