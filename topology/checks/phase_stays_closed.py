# SPDX-License-Identifier: MIT
"""A device that leaves a phase of its circuit closed."""
from __future__ import annotations

from ..conductors import phase_names
from ..errors import Finding, Number
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import Switching
from ._sources import ensure_phases, poles_of

__all__ = ["phase_stays_closed"]


@rule(each=Switching, danger=True)
def phase_stays_closed(device: Switching, site: Flows) -> Finding | None:
    """Switching device with fewer poles than phases arrive at it.

    Why: somebody opens it and takes everything behind it for dead, while a phase is still there.
    Bad: breaker: 32 A C 1P 6 kA on a circuit of L1 L2 L3
    Good: breaker: 32 A C 3P 6 kA, or phase: L1 on that circuit
    Source: IEC 60364-5-53, 530.4 (all phases of a circuit are opened together), from memory
    """
    if device.id not in site.graph:
        return None
    phases = phase_names(site.phases_at(device.id))
    if len(phases) < 2:
        return None
    opened = opened_by(poles_of(device, site), len(phases)) & 7
    if opened >= len(phases):
        return None
    ensure_phases(device.id, site)
    return Finding(device.mark, f"'{device.id}' ({poles_of(device, site)}) opens {opened} of {len(phases)} phases ({' '.join(phases)})",
                   "use a device with a pole for each phase, or say on which phase the circuit is", objects=(device.id,),
                   numbers={"opened": Number(opened, "1"), "phases": Number(len(phases), "1")})
