# SPDX-License-Identifier: MIT
"""A source without a device by which it can be isolated."""
from __future__ import annotations

from ..conductors import bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import Board, Contactor, DisconnectionDevice, InterfaceProtection, Switching
from ._sources import AcSource, devices_to, ensure_devices, ensure_phases, phases_of, poles_of

__all__ = ["source_without_isolator"]


@rule(each=AcSource, danger=True)
def source_without_isolator(source: AcSource, site: Flows) -> Finding | None:  # type: ignore[valid-type]
    """Source with no switch, switch-disconnector or circuit-breaker of its own that opens all its phases.

    Why: whoever works on it must be able to make it dead and keep it so. A relay that opens by itself is no means of isolation.
    Bad: in_line: [cable: …] from the board to the storage unit
    Good: in_line: [breaker: 25 A C 2P 6 kA, cable: …, isolator: 32 A 2P]
    Source: IEC 60364-5-53, 536.2 (each source has means of isolation), from memory; AS/NZS 4777.1, from memory
    """
    for phase in phases_of(source, site):
        nodes = devices_to(source, phase, site)
        if not nodes and not site.fed(source.id, bits([phase])):
            return None
        own = nodes[:next((n for n, node in enumerate(nodes) if isinstance(site.obj(node), Board)), len(nodes))]
        if not any(_isolates(node, site) for node in own):
            ensure_devices(source.id, site)
            ensure_phases(source.id, site)
            return Finding(source.mark, f"nothing isolates '{source.id}' on {phase} from its board", "put an isolator into its circuit",
                           objects=(source.id,))
    return None


def _isolates(node: str, site: Flows) -> bool:
    """Whether a device opens all phases that arrive at it by hand."""
    device = site.obj(node)
    if not isinstance(device, Switching) or isinstance(device, DisconnectionDevice | InterfaceProtection | Contactor):
        return False
    phases = len(phase_names(site.phases_at(node)))
    return opened_by(poles_of(device, site), phases) & 7 >= phases
