# SPDX-License-Identifier: MIT
"""A source that nothing disconnects when the supply fails."""
from __future__ import annotations

from ..conductors import bits
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import DisconnectionDevice
from ._sources import AcSource, devices_to, ensure_devices, phases_of

__all__ = ["source_without_disconnection"]


@rule(each=AcSource, danger=True)
def source_without_disconnection(source: AcSource, site: Flows) -> Finding | None:  # type: ignore[valid-type]
    """Source whose type has no built-in disconnection, with no disconnection device between it and the supply.

    Why: when the supply fails the source could keep the line live at which somebody works.
    Bad: {storage: {id: BAT1, type: storage-ac-b}} whose type says disconnects_itself: no, behind a breaker only
    Good: disconnection_device: {id: KD1, type: disconnect-1ph-32} in its circuit
    Source: IEC 62109-2 and AS/NZS 4777.2 (automatic disconnection of inverters), from memory; else the document of the type
    """
    if source.id not in site.graph:
        return None  # its circuit could not be read, which is reported
    for phase in phases_of(source, site):
        nodes = devices_to(source, phase, site)
        if not nodes and not site.fed(source.id, bits([phase])):
            return None  # not-fed says it
        if not any(isinstance(site.obj(n), DisconnectionDevice) for n in nodes):
            break
    else:
        return None
    if site.type_of(source).disconnects_itself:
        return None
    ensure_devices(source.id, site)
    return Finding(source.mark, f"nothing disconnects '{source.id}' on {phase} when the supply fails, and its type does not do so itself",
                   "put a disconnection_device into its circuit, or say disconnects_itself: yes in its type if the document of the type does", objects=(source.id,))
