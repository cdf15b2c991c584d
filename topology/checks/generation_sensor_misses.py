# SPDX-License-Identifier: MIT
"""Generation that no generation sensor sees."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import CurrentTransformer, HybridInverter, Inverter, ModuleInverters
from ._sources import phases_of

__all__ = ["generation_sensor_misses"]


@rule(each=Inverter | ModuleInverters | HybridInverter, severity="warning")
def generation_sensor_misses(source: Inverter | ModuleInverters | HybridInverter, site: Flows) -> Finding | None:
    """Inverter on a phase where no generation sensor sees it, on a site that has generation sensors.

    Why: the figures of generation, of own consumption and of what a battery may take are then too small. The array of a hybrid inverter
        sits on its direct-current side together with the battery: no sensor on the alternating-current side can tell the two apart.
    Bad: two inverters, and a generation sensor on the circuit of one
    Good: a generation sensor on each circuit
    Source: common practice, no source
    """
    if not _sensors(site) or site.root is None or source.id not in site.graph or isinstance(source, HybridInverter) and source.arrays == ():
        return None
    missed = [p for p in phases_of(source, site) if source.id not in _seen(p, site) and not _idle(p, site)]
    if not missed:
        return None
    if isinstance(source, HybridInverter):
        return Finding(source.mark, f"no generation sensor can see the array of '{source.id}': it joins the battery on the direct-current side",
                       "read its generation from the inverter itself", severity="note", objects=(source.id,))
    return Finding(source.mark, f"no generation sensor sees '{source.id}' on {' '.join(missed)}",
                   f"add a ct with measures: generation and phase: {missed[0]} to its circuit", objects=(source.id,))


def _sensors(site: Flows) -> list[CurrentTransformer]:
    return [o for o in site.all(CurrentTransformer) if o.measures == "generation"]


def _seen(phase: str, site: Flows) -> set[str]:
    """What stands behind the generation sensors of a phase; worked out once."""
    key = ("generation seen", phase)
    if key not in site.memo:
        site.memo[key] = {n for s in _sensors(site) if phase in s.phase for n in site.seen_by(s, phase)}
    return site.memo[key]


def _idle(phase: str, site: Flows) -> bool:
    """Whether some generation sensor on a phase sees no generation: generation-sensor-sees-other says it, and moving it mends both."""
    key = ("generation sensor idle", phase)
    if key not in site.memo:
        inverters = (Inverter, ModuleInverters, HybridInverter)
        site.memo[key] = any(phase in s.phase and not any(isinstance(site.obj(n), inverters) for n in site.seen_by(s, phase)) for s in _sensors(site))
    return site.memo[key]
