# SPDX-License-Identifier: MIT
"""More export than the operator allows."""
from __future__ import annotations

from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..generation import given_by, parallel_sources, total
from ..rule import rule
from ..site import Limits, Supply
from ._allowed import Allowed, by_entry, by_file
from ._words import kva

__all__ = ["export_over_limit"]


@rule(each=Supply, limits=("export-1ph", "export-per-phase", "export-default-1ph", "export-default"))
def export_over_limit(supply: Supply, site: Flows) -> Finding | None:
    """Export limit of the site, or the nameplates where it has none, above what the operator allows.

    Why: the operator allows an export apart from what may be installed; an application that asks for more goes another way or comes back.
    Bad: sources of 8 kVA on a single-phase supply without limits: {export: …}, where 5 kW are allowed
    Good: limits: {export: 5 kW, enforced_by: GW1}
    Source: the profiles that the site names
    """
    nodes = parallel_sources(site)
    allowed = _allowed(supply, site) if nodes else None
    if allowed is None:
        return None
    said = site.site.limits
    if isinstance(said, Limits) and isinstance(said.export, Unknown) and "export" in said.marks:
        raise CannotTell(said.export)
    own = by_file(site, "export")
    sources = [given_by(site, node) for node in nodes]
    asked = total(sources) if own is None else min(own.value, total(sources))
    if asked <= allowed.value * (1 + 1e-9):
        return None
    what = f"sources of {kva(asked)} have no export limit" if own is None else f"the export limit is {asked / 1000:g} kW"
    ids = tuple(s.id for s in sources)
    return Finding((own and own.mark) or supply.mark, f"{what}, where {allowed.value / 1000:g} kW are allowed", "limits: {export: …, enforced_by: …}, or ask the operator for more",
                   objects=(supply.id, *ids), severity=allowed.severity, source=allowed.source,
                   numbers={"export": Number(asked, "W"), "limit": Number(allowed.value, "W")})


def _allowed(supply: Supply, site: Flows) -> Allowed | None:
    """The export that is allowed [W]: the operator's own limit, else the one for all."""
    if isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown):
        return None
    phases = supply.system.phases
    each = by_entry(site.profiles.find("export-per-phase"))
    whole = by_entry(site.profiles.find("export-1ph")) if phases == 1 else None
    own = [*([Allowed(each.value * phases, each.id, each.severity, each.source)] if each else []), *([whole] if whole else [])]
    usual = [by_entry(site.profiles.find(id_)) for id_ in ("export-default", *(["export-default-1ph"] if phases == 1 else []))]
    found = own or [a for a in usual if a is not None]
    return min(found, key=lambda a: a.value) if found else None
