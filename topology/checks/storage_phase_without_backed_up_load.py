# SPDX-License-Identifier: MIT
"""A source for backup on a phase where nothing is backed up."""
from __future__ import annotations

from ..conductors import PHASES, bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import HybridInverter, Load, Storage
from ._sources import ensure_phases, spare
from ._status import severity_for

__all__ = ["storage_phase_without_backed_up_load"]


@rule(each=Storage | HybridInverter, severity="warning")
def storage_phase_without_backed_up_load(source: Storage | HybridInverter, site: Flows) -> Finding | None:
    """Storage unit or hybrid inverter that feeds without the supply, on a phase with no load behind it then.

    Why: its energy is of no use when the supply fails, while the other phases carry all that is backed up.
    Bad: three storage units, one on each phase, and all backed-up circuits on L1
    Good: backed-up circuits on each of the three phases
    Source: common practice, no source
    """
    if source.id not in site.backs_up or source.id not in site.graph:
        return None
    lost = [mode for mode in site.modes if not mode.live]
    loads = [load for load in site.all(Load) if load.id in site.graph and not spare(load)]
    idle = [p for p in phase_names(site.phases_at(source.id) & PHASES) if site.uses(source.id, bits([p]))
            and not any(site.uses(load.id, bits([p])) and site.net(bits([p]), mode).joined(source.id, load.id) for load in loads for mode in lost)]
    if not idle:
        return None
    ensure_phases(source.id, site)
    return Finding(source.mark, f"without the supply '{source.id}' feeds no load on {' '.join(idle)}", "move a circuit of the backed-up part to that "
                   "phase, or the unit to another", objects=(source.id,), severity=severity_for(site, (source.id,), "warning"))
