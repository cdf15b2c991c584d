# SPDX-License-Identifier: MIT
"""A phase with generation on which a sensor is missing."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer, Supply
from ._sources import AcSource, phases_of
from ._words import listed

__all__ = ["phase_without_sensor"]


@rule(each=Supply)
def phase_without_sensor(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Phase with generation or storage that has no grid sensor, on a site whose other phases, or whose controllers, have one.

    Why: on that phase nobody sees what is exported, so that a limit or the charging acts on a part of the site only.
    Bad: inverters on L1 and L2, a grid sensor on L1
    Good: a grid sensor on each of L1 and L2
    Source: common practice, no source
    """
    sensors = site.all(CurrentTransformer)
    if not sensors or not any(o.inputs for o in site.all(Controller)):
        return
    measured = {phase for s in sensors if s.measures == "grid" for phase in s.phase}
    on: dict[str, list[str]] = {}
    for source in (site.obj(n) for n in site.sources):
        if isinstance(source, AcSource):
            for phase in phases_of(source, site):
                on.setdefault(phase, []).append(source.id)
    for phase in sorted(set(on) - measured):
        yield Finding(supply.mark, f"{listed(on[phase])} on {phase}: no grid sensor stands on this phase",
                      f"add a ct with measures: grid and phase: {phase} next to the meter", objects=(supply.id, *on[phase]))
