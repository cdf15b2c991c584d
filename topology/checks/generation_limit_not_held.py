# SPDX-License-Identifier: MIT
"""A generation limit below the nameplates that nothing keeps."""
from __future__ import annotations

from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..generation import given_by, parallel_sources, total
from ..rule import rule
from ..site import Supply
from ._allowed import by_entry, by_file, enforcer
from ._words import kva

__all__ = ["generation_limit_not_held"]


@rule(each=Supply, limits=("generation-limit",))
def generation_limit_not_held(supply: Supply, site: Flows) -> Finding | None:
    """Generation limit that is less than the nameplates together, with nothing that holds it.

    Why: nameplate, generation limit and export limit are three numbers. More than the generation limit may be installed only if something keeps
        what is generated below it: limits in the inverters themselves, or a controller that the site file names.
    Bad: limits: {generation: 10 kVA} beside inverters of 15 kVA together
    Good: limits: {generation: 10 kVA, enforced_by: GW1}, or types whose own limits add up to 10 kVA
    Source: Western Power, questions on technical requirements, 2025 (generation limit apart from export limit); Evoenergy, example 1 (apart from nameplate)
    """
    found = [a for a in (by_file(site, "generation"), by_entry(site.profiles.find("generation-limit"))) if a is not None]
    nodes = parallel_sources(site)
    if not found or not nodes:
        return None
    allowed = min(found, key=lambda a: a.value)
    sources = [given_by(site, node) for node in nodes]
    limited = sum(s.limited for s in sources)
    if limited <= allowed.value * (1 + 1e-9):
        return None
    holds = enforcer(site)
    if isinstance(holds, Unknown):
        raise CannotTell(holds)
    if holds is not None:
        return None
    ids = tuple(s.id for s in sources)
    return Finding(allowed.mark or supply.mark, f"sources of {kva(total(sources))} may generate {kva(allowed.value)} at once, and nothing holds them to it",
                   "name what holds it: limits: {enforced_by: …}, or limit: in the types", objects=(supply.id, *ids), source=allowed.source,
                   severity=allowed.severity,
                   numbers={"sources": Number(total(sources), "VA"), "limited": Number(limited, "VA"), "limit": Number(allowed.value, "VA")})
