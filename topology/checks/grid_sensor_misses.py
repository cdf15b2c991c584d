# SPDX-License-Identifier: MIT
"""A grid sensor that does not stand before everything."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import CurrentTransformer, Load, Meter, Source

__all__ = ["grid_sensor_misses"]


@rule(each=CurrentTransformer)
def grid_sensor_misses(sensor: CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Grid sensor that does not separate the supply from every source and load on its phase behind its meter.

    Why: the controller then exports or charges on a wrong figure.
    Bad: the grid sensor on the submain to the solar board
    Good: the grid sensor between the meter and the main switchboard
    Source: common practice, no source
    """
    if sensor.measures != "grid" or site.root is None or sensor.id not in site.graph:
        return
    for phase in sensor.phase:
        net = site.net(bits([phase]))
        meters = [n for n in net.path(site.root, sensor.id) if isinstance(site.obj(n), Meter)]
        behind = net.under(meters[-1] if meters else site.root, site.root)
        seen = set(net.under(sensor.id, site.root))
        missed = [n for n in behind if n not in seen and isinstance(site.obj(n), Load | Source) and getattr(site.obj(n), "kind", "") != "spare"]
        if missed:
            yield Finding(sensor.mark, f"grid sensor '{sensor.id}' on {phase} misses {', '.join(missed)}",
                          "move it upstream of every load and source, next to the meter", objects=(sensor.id, *missed))
