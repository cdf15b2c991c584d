# SPDX-License-Identifier: MIT
"""The totals on a sheet: each kind of source on each phase, all that run in parallel with the supply, and what they are limited to."""
from __future__ import annotations

from collections.abc import Sequence

from topology import conductors
from topology.flow import Flows
from topology.totals import SourceShare, per_phase, source_shares, total

__all__ = ["phases_on_site", "totals_table"]

GROUPS = {"solar": "Solar", "storage": "Storage", "hybrid": "Hybrid (solar and storage)"}


def totals_table(flows: Flows) -> tuple[tuple[str, ...], ...]:
    """Heading and rows [kVA, kWh]; nothing for a site without sources. A generator stands apart: it takes over from the supply."""
    shares = source_shares(flows)
    if not shares:
        return ()
    parallel = [share for share in shares if share.group in GROUPS]
    by_group = {words: [share for share in shares if share.group == group] for group, words in GROUPS.items()}
    found = [(f"{words} [kVA]", some, "nameplate") for words, some in by_group.items() if some]
    found += [("Nameplate in parallel [kVA]", parallel, "nameplate"), ("Limited by software [kVA]", parallel, "limited")] if parallel else []
    if any(share.energy != 0 for share in parallel):
        found.append(("Storage, usable [kWh]", parallel, "energy"))
    if alone := [share for share in shares if share.group not in GROUPS]:
        found.append(("Generator, alternative supply [kVA]", alone, "nameplate"))
    phases = phases_on_site(flows, shares)
    heading = ("Sources", *phases, *(["Total"] if len(phases) > 1 else []))
    return (heading, *(_row(words, some, field, phases) for words, some, field in found))


def phases_on_site(flows: Flows, shares: Sequence[SourceShare]) -> tuple[str, ...]:
    """The phases of the supply and of any source."""
    arriving = {phase for node in flows.graph for phase in conductors.phase_names(flows.phases_at(node))}
    return tuple(sorted(arriving.union(*(share.phases or () for share in shares))))


def _row(words: str, shares: Sequence[SourceShare], field: str, phases: tuple[str, ...]) -> tuple[str, ...]:
    sums = per_phase(shares, field)
    last = [_shown(total(shares, field))] if len(phases) > 1 else []
    return (words, *(_shown(sums.get(phase, 0.0)) for phase in phases), *last)


def _shown(value: float | None) -> str:
    """In thousands, with at most two decimals."""
    return "TBC" if value is None else f"{value / 1000:.2f}".rstrip("0").rstrip(".") if value else "–"
