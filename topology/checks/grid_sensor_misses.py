# SPDX-License-Identifier: MIT
"""A grid sensor that does not stand before everything."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding, Number, Related
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer, Load, Meter, Source
from ._words import listed, on_phase

__all__ = ["grid_sensor_misses"]


@rule(each=CurrentTransformer)
def grid_sensor_misses(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Grid sensor with a load, source or controller on its phase, behind its own meter, whose current does not pass through it.

    Why: the controller then limits export, or charges, on a wrong figure. A sensor answers for what stands behind the nearest meter
        upstream of it; upstream of all meters it answers for everything. Spare ways do not count.
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
    seen = set(on_phase(site, sensor.id, phase, classes))
    missed = [n for n in on_phase(site, start.id, phase, classes) if n not in seen]
    if missed:
        yield Finding(sensor.mark, f"grid sensor '{sensor.id}' on {phase} misses {listed(missed)}",
                      f"move it next to {start.word} '{start.id}', before anything branches off", objects=(sensor.id, *missed),
                      numbers={"missed": Number(len(missed), "1"), "seen": Number(len(seen), "1")},
                      related=(Related(start.mark, f"it answers for everything behind '{start.id}'"),))
