# SPDX-License-Identifier: MIT
"""A meter that counts imports only, with a source behind it."""
from __future__ import annotations

from ..conductors import bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..generation import parallel_sources
from ..rule import rule
from ..site import Meter
from ._words import listed

__all__ = ["meter_one_way"]


@rule(each=Meter)
def meter_one_way(meter: Meter, site: Flows) -> Finding | None:
    """Meter for imports only before a source that runs beside the supply.

    Why: what is exported is not counted, or is counted as import. The operator approves an import and export meter together with the system.
    Bad: meter: {id: M1, direction: import} in the supply's chain of a site with an inverter
    Good: meter: {id: M1, direction: both}
    Source: Western Power, conditions of approval, 14 February 2022 (approved import and export meter)
    """
    sources = _behind(meter.id, site)
    if not sources or meter.direction != "import":
        return None
    return Finding(meter.mark, f"meter '{meter.id}' counts imports only, with {listed(sources)} behind it", "direction: both, and ask the operator for such a meter",
                   objects=(meter.id, *sources))


def _behind(node: str, site: Flows) -> list[str]:
    """Sources that a node separates from the point of supply on some phase, in the order of the graph."""
    if site.root is None or node not in site.graph:
        return []
    seen = {n for p in phase_names(site.phases_at(node)) for n in site.net(bits([p])).under(node, site.root)}
    return [source for source in parallel_sources(site) if source in seen]
