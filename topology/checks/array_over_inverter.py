# SPDX-License-Identifier: MIT
"""An array larger than the operator allows on its inverter."""
from __future__ import annotations

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import HybridInverter, Inverter
from ._allowed import by_entry
from ._words import kva

__all__ = ["array_over_inverter"]


@rule(each=Inverter | HybridInverter, limits=("array-over-inverter-1ph", "array-over-inverter-3ph"))
def array_over_inverter(inverter: Inverter | HybridInverter, site: Flows) -> Finding | None:
    """Arrays of an inverter that are together larger than the operator allows for its rating.

    Why: some operators cap the array as well as the inverter.
    Bad: arrays of 15 kW on an inverter of 10 kVA where 1.4 times are allowed
    Good: arrays of 14 kW there
    Source: Endeavour Energy, page on its micro generator connection service (14 kW on 10 kW, 40 kW on 30 kW)
    """
    if site.profiles.find("array-over-inverter-1ph") is None and site.profiles.find("array-over-inverter-3ph") is None or not inverter.arrays:
        return None
    kind = site.type_of(inverter)
    three = not isinstance(kind.phases, Unknown) and kind.phases == 3
    allowed = by_entry(site.profiles.find("array-over-inverter-3ph" if three else "array-over-inverter-1ph"))
    if allowed is None:
        return None
    watts = sum(array.power + 0 for array in inverter.arrays)  # an Unknown raises
    most = allowed.value * (kind.power + 0)
    if watts <= most * (1 + 1e-9):
        return None
    return Finding(inverter.mark, f"arrays of {watts / 1000:g} kW on '{inverter.id}' of {kva(kind.power)}, where {most / 1000:.3g} kW ({allowed.value:g} times) are allowed",
                   f"take modules of {(watts - most) / 1000:.3g} kW away, or ask the operator", objects=(inverter.id, *(a.id for a in inverter.arrays)), source=allowed.source,
                   severity=allowed.severity,
                   numbers={"arrays": Number(watts, "W"), "inverter": Number(kind.power, "VA"), "most": Number(allowed.value, "1")})
