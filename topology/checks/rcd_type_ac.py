# SPDX-License-Identifier: MIT
"""A residual current device of type AC where it must not be."""
from __future__ import annotations

from ..conductors import PHASES, bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..generation import parallel_sources
from ..rule import rule
from ..site import Rcbo, Rcd
from ._status import severity_for
from ._words import listed

__all__ = ["rcd_type_ac"]


@rule(each=Rcd | Rcbo, danger=True, limits=("rcd-type-ac-allowed",))
def rcd_type_ac(device: Rcd | Rcbo, site: Flows) -> Finding | None:
    """Residual current device of type AC in new or altered work, or before a source.

    Why: a device of type AC may not trip when the current to earth has a direct part, which inverters, vehicle supplies and most electronics
        give. One that was lawful when it was put in may stay where this job leaves its circuit alone; before a source it may not.
    Bad: rcd: 40 A 2P 30 mA type AC, with status: new
    Good: rcd: 40 A 2P 30 mA type A
    Source: Building and Energy (Western Australia), Building Commission NSW note 2/2025 and NT WorkSafe on AS/NZS 3000:2018 A2:2021
    """
    entry = site.profiles.find("rcd-type-ac-allowed")
    if entry is None or device.type_ != "AC" or device.id not in site.graph:
        return None
    if site.profiles.value(entry) is not False:
        return None
    sources = _sources_behind(device.id, site)
    severity = entry.severity if sources else severity_for(site, (device.id,), entry.severity)
    where = f" before {listed(sources)}" if sources else ""
    return Finding(device.mark, f"'{device.id}' is of type AC{where}", "use type A, or what the maker of the equipment behind it asks for",
                   objects=(device.id, *sources), severity=severity, source=entry.reference)


def _sources_behind(node: str, site: Flows) -> list[str]:
    """Sources that a device separates from the point of supply."""
    if site.root is None:
        return []
    own = set(parallel_sources(site))
    found = {n: None for p in phase_names(site.phases_at(node) & PHASES) for n in site.net(bits([p])).under(node, site.root) if n in own}
    return list(found)
