# SPDX-License-Identifier: MIT
"""Fault levels at the point of supply: as declared or measured, else from the distributor's transformer and service cable."""
from __future__ import annotations

from typing import Any

from ..errors import Unknown
from ..fault import C_MAX, COLD_DEGC
from ..impedance import of_network, of_transformer
from ..quantity import show_quantity
from ..site import CablePart
from .conductors_of import of_part, operating_degc
from .given import FaultLevel, Given, known

__all__ = ["level_of"]


def level_of(given: Given, cold: bool) -> FaultLevel:
    """What a fault current or a loop impedance starts from.

    cold : for the largest current [A]; else for the loop [ohm]. What is declared or measured comes first. Else by the transformer: the largest
    with a network without impedance before it, the service cable at 20 °C, one way where the supply has three phases; the loop with the network's
    short-circuit power, the service cable hot and both ways, magnitudes added, which is never too little. Raises CannotTell.
    """
    faults = known(given.supply.faults)
    said = faults.largest if cold else faults.loop
    if faults.transformer is None or not isinstance(said, Unknown):
        return given.largest if cold else given.loop
    made = known(faults.transformer)
    power, short_circuit, voltage = known(made.power), known(made.short_circuit), known(made.voltage)
    z = of_transformer(power, voltage, short_circuit)
    line, back = _service(given, faults.service, cold)
    words = f"transformer {show_quantity(power, 'VA')} {short_circuit:g} % {voltage:g} V, {abs(z):.4f} ohm"
    if faults.service is not None:
        words += f", service cable {abs(line):.4f} ohm" + ("" if cold and given.phases >= 3 else f" and back {abs(back):.4f} ohm")
    assert given.flows.root is not None
    if cold:
        whole = abs(z + line + (0j if given.phases >= 3 else back))
        return FaultLevel(C_MAX * given.u0 / whole, given.flows.root, "calculated", words)
    before = of_network(known(made.network), voltage)
    return FaultLevel(before + abs(z) + abs(line + back), given.flows.root, "calculated", f"{words}, network {before:.4f} ohm")


def _service(given: Given, part: Any, cold: bool) -> tuple[complex, complex]:
    """Impedance of the line and of the way back of the service cable [ohm]; nothing where there is none."""
    if part is None:
        return 0j, 0j
    told: CablePart = known(part)
    degc = COLD_DEGC if cold else operating_degc(given, told)
    area = float(known(told.area))
    earth = known(told.cores)[1] if not cold and not isinstance(told.cores, Unknown) else None
    line = of_part(given, told, area, degc)
    return line, of_part(given, told, area if earth is None else float(earth), degc)
