# SPDX-License-Identifier: MIT
"""Sources that need interface protection and stand outside it."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits
from ..errors import Finding, Number
from ..flow import Flows
from ..generation import Given, given_by, parallel_sources, total
from ..profiles import LimitEntry
from ..rule import rule
from ..site import InterfaceProtection, Operation, Supply
from ._words import kva, listed

__all__ = ["interface_protection_missing"]


@rule(each=Supply, limits=("interface-threshold", "interface-threshold-older", "interface-threshold-sharing", "edition-inverters"))
def interface_protection_missing(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Sources that together need the site's interface protection, and a source that is not behind it.

    Why: above a size the operator does not rely on the inverters alone to leave the network when it fails. The nameplates count, not what software
        limits them to; old and new inverters count together; once an older one is among them, or a power-sharing device serves several
        customers, it begins at a smaller size. A source's own disconnection is another matter.
    Bad: inverters of 220 kVA together that software limits to 200 kVA, with no interface_protection in the line
    Good: an interface_protection in the supply's chain, before every source
    Source: Energy Networks Australia, 2025 (200 kVA); Evoenergy, requirements page, 2025 (three examples)
    """
    nodes = parallel_sources(site)
    if not nodes or site.profiles.find("interface-threshold") is None:
        return
    sources = [given_by(site, node) for node in nodes]
    trigger = _trigger(site, sources)
    outside = [s for s in sources if not _behind(site, s)] if trigger is not None else []
    if trigger is None or not outside:
        return
    entry, why = trigger
    ids = tuple(s.id for s in outside)
    yield Finding(supply.mark, f"sources of {kva(total(sources))} need interface protection ({why}), and {listed(ids)} stand outside it",
                  "put interface_protection: into the line before every source", objects=(supply.id, *ids), severity=entry.severity,
                  source=entry.reference, numbers={"sources": Number(total(sources), "VA"), "threshold": Number(entry.si, "VA")})


def _trigger(site: Flows, sources: list[Given]) -> tuple[LimitEntry, str] | None:
    """What makes interface protection necessary, in words, with the entry behind it."""
    found = site.profiles.entry("interface-threshold")
    candidates = [(found, f"more than {found.shown}")]
    older = _older(site, sources)
    mixed = site.profiles.find("interface-threshold-older")
    if older and mixed is not None:
        candidates.append((mixed, f"{listed(older)} is not to {site.profiles.limit('edition-inverters')}, so that it begins at {mixed.shown}"))
    sharing = site.profiles.find("interface-threshold-sharing")
    if sharing is not None and isinstance(site.site.operation, Operation) and site.site.operation.shared is True:
        candidates.append((sharing, f"a power-sharing device serves several customers, so that it begins at {sharing.shown}"))
    exceeded = [(entry, why) for entry, why in candidates if site.profiles.value(entry) and total(sources) > entry.si]
    return exceeded[0] if exceeded else None


def _older(site: Flows, sources: list[Given]) -> list[str]:
    """Sources whose type says another standard than the one in force."""
    now = site.profiles.find("edition-inverters")
    said = {s.id: site.type_of(site.obj(s.id)).standard for s in sources}
    return [id_ for id_, standard in said.items() if now is not None and isinstance(standard, str) and standard and standard != now.value]


def _behind(site: Flows, source: Given) -> bool:
    """Whether interface protection stands between the supply and a source on each of its phases."""
    devices = [n for n, obj in site.graph.nodes(data="obj") if isinstance(obj, InterfaceProtection)]
    assert site.root is not None
    return bool(devices) and all(any(site.separates(d, site.root, source.id, bits([p])) for d in devices) for p in source.phases)
