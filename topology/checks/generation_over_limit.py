# SPDX-License-Identifier: MIT
"""Sources that together are more than the operator or the standard allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..generation import Given, given_by, parallel_sources, per_phase, total
from ..rule import rule
from ..site import Supply
from ._allowed import Allowed, by_entry, by_file
from ._words import kva, listed

__all__ = ["generation_over_limit"]


@rule(each=Supply, limits=("generation-total-1ph", "generation-total-3ph", "generation-per-phase", "generation-solar-1ph", "generation-storage-1ph",
                           "generation-solar-3ph", "generation-storage-3ph"))
def generation_over_limit(supply: Supply, site: Flows) -> Finding | None:
    """Sources that run beside the supply are together more than is allowed: in all, on one phase, or as solar or storage alone.

    Why: the operator has studied the network for what was applied for; an application above its limit comes back. Nameplates count, whatever
        software limits them to. A hybrid inverter counts as solar and as storage.
    Bad: two inverters of 6 kVA and storage of 10 kVA on a single-phase supply where the operator allows 20 kVA
    Good: inverters of 5 kVA and 5 kVA and storage of 10 kVA there
    Source: the profiles that the site names; limits.nameplate of the site file is what the operator has agreed to
    """
    nodes = parallel_sources(site)
    limits = list(_limits(supply, site)) if nodes else []
    if not limits:
        return None
    sources = [given_by(site, node) for node in nodes]
    over = [(allowed, *counted) for of, allowed in limits for counted in _counted(of, sources) if counted[1] > allowed.value * (1 + 1e-9)]
    if not over:
        return None
    allowed, what, va, ids = max(over, key=lambda row: row[2] / row[0].value)
    rest = sorted({row[0].id for row in over} - {allowed.id})
    also = f"; also over {listed(rest)}" if rest else ""
    return Finding(allowed.mark or supply.mark, f"{what} {kva(va)} where {kva(allowed.value)} are allowed{also}",
                   f"take away {kva(va - allowed.value)}, or ask the operator for more", objects=(supply.id, *ids),
                   severity=allowed.severity, source=allowed.source,
                   numbers={"sources": Number(va, "VA"), "limit": Number(allowed.value, "VA")})


def _limits(supply: Supply, site: Flows) -> Iterator[tuple[str, Allowed]]:
    """What the site's own approval and its profiles allow, with what each counts."""
    phases = 3 if isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown) else supply.system.phases
    kind = "1ph" if phases == 1 else "3ph"
    ids = {"total": f"generation-total-{kind}", "phase": "generation-per-phase", "solar": f"generation-solar-{kind}", "storage": f"generation-storage-{kind}"}
    found = [("total", by_file(site, "nameplate")), *((of, by_entry(site.profiles.find(id_))) for of, id_ in ids.items())]
    yield from ((of, allowed) for of, allowed in found if allowed is not None)


def _counted(of: str, sources: list[Given]) -> Iterator[tuple[str, float, tuple[str, ...]]]:
    """What a limit counts: in words, as power [VA], with the ids behind it."""
    if of == "phase":
        for phase, va in per_phase(sources).items():
            yield f"sources on {phase} are", va, tuple(s.id for s in sources if phase in s.phases)
    else:
        some = [s for s in sources if of == "total" or getattr(s, of)]
        yield {"total": "sources are", "solar": "solar is", "storage": "storage is"}[of], total(some), tuple(s.id for s in some)
