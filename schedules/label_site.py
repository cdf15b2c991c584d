# SPDX-License-Identifier: MIT
"""A site as the triggers of labels ask it, and a place where a label belongs."""
from __future__ import annotations

from collections.abc import Iterator

from topology.dataclass import dataclass
from topology.flow import Flows
from topology.site import Generator, Inlet, Meter

from .isolating import SourceSwitches, main_board, source_switches

__all__ = ["LabelSite", "Place", "is_array", "panels"]


@dataclass(frozen=True)
class Place:
    """Where a label belongs and why. fills: what its words leave open."""

    object: str
    reason: str
    fills: dict[str, str]


class LabelSite:
    """What the triggers ask for, computed once."""

    def __init__(self, flows: Flows) -> None:
        self.flows = flows
        self.switches: tuple[SourceSwitches, ...] = source_switches(flows)
        self.away = {s.source for s in self.switches if isinstance(flows.obj(s.source), Generator | Inlet)}
        self.main = main_board(flows)


def panels(site: LabelSite, reason: str, fills: dict[str, str]) -> Iterator[Place]:
    """The meter and the main board."""
    meter = next((o.id for o in site.flows.objects.values() if isinstance(o, Meter) and o.id in site.flows.graph), None)
    yield from (Place(node, reason, fills) for node in (meter, site.main) if node)


def is_array(site: LabelSite, leaf: str) -> bool:
    """Whether what stands on the direct-current side is an array."""
    return getattr(site.flows.objects.get(leaf), "symbol", "") == "array"
