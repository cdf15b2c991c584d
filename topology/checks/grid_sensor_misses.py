# SPDX-License-Identifier: MIT
"""A grid sensor that does not stand before everything."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding, Number, Related
from ..flow import Flows
from ..rule import rule
from ..site import Contactor, Controller, CurrentTransformer, Load, Meter, Source, Thing
from ._words import listed, on_phase

__all__ = ["grid_sensor_misses"]


@rule(each=CurrentTransformer)
def grid_sensor_misses(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Grid sensor with a load, source or controller on its phase, behind its own meter, whose current does not pass through it.

    Why: the controller then limits export, or charges, on a wrong figure. A sensor answers for what stands behind the nearest meter
        upstream of it; upstream of all meters it answers for everything. Spare ways do not count. Loads on another element of a meter,
        or behind a contactor of the distributor, are billed apart: that they are missed is a note.
    Bad: the grid sensor on the submain to the solar board, with loads on the main switchboard
    Good: the grid sensor between the meter and the main switchboard
    Source: common practice, no source (what is metered and what is controlled must be the same current)
    """
    if sensor.measures != "grid" or site.root is None or sensor.id not in site.graph:
        return
    for phase in sensor.phase:
        if site.fed(sensor.id, bits([phase])):
            yield from _on(sensor, phase, site)


def _on(sensor: CurrentTransformer, phase: str, site: Flows) -> Iterator[Finding]:
    assert site.root is not None
    meters = [n for n in site.net(bits([phase])).path(site.root, sensor.id) if isinstance(site.obj(n), Meter)]
    start = site.obj(meters[-1] if meters else site.root)
    classes = (Load, Source, Controller)
    seen = {n for place in site.places(sensor) for n in on_phase(site, place, phase, classes)}
    missed = [n for n in on_phase(site, start.id, phase, classes) if n not in seen]
    apart = [n for n in missed if isinstance(site.obj(n), Load) and _billed_apart(n, phase, start, site)]
    for ids, severity in (([n for n in missed if n not in apart], "error"), (apart, "note")):
        if ids:
            yield Finding(sensor.mark, f"grid sensor '{sensor.id}' on {phase} misses {listed(ids)}"
                          + (", which is billed apart" if severity == "note" else ""),
                          f"move it next to {start.word} '{start.id}', before anything branches off", severity=severity, objects=(sensor.id, *ids),
                          numbers={"missed": Number(len(ids), "1"), "seen": Number(len(seen), "1")},
                          related=(Related(start.mark, f"it answers for everything behind '{start.id}'"),))


def _billed_apart(load: str, phase: str, start: Thing, site: Flows) -> bool:
    """Whether a load stands on another element of the meter than the first, or behind a contactor that the distributor or a clock operates."""
    path = [site.obj(n) for n in site.net(bits([phase])).path(start.id, load)]
    if any(isinstance(o, Contactor) and o.opens in ("by distributor", "by time") for o in path):
        return True
    return isinstance(start, Meter) and start.elements > 1
