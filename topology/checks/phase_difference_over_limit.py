# SPDX-License-Identifier: MIT
"""Sources that load the phases too unevenly."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..generation import Given, given_by, parallel_sources, per_phase, total, worst_difference
from ..rule import rule
from ..site import Limits, Supply
from ._words import kva

__all__ = ["phase_difference_over_limit"]


@rule(each=Supply, limits=("phase-difference", "phase-difference-large", "phase-difference-threshold"))
def phase_difference_over_limit(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Difference between the phases of a supply that is more than allowed, with all sources on or with any one of them off.

    Why: what one phase gives and another does not goes back through the neutral and pulls the voltages apart. With one source off a balance of
        single-phase sources is lost, which is reported as a warning.
    Bad: two single-phase inverters of 5 kVA on L1 and none on L2, where 5 kVA are allowed
    Good: one on L1 and one on L2
    Source: the profiles that the site names; limits.phase_difference of the site file is what the operator has agreed to
    """
    if isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown) or supply.system.phases == 1:
        return
    nodes = parallel_sources(site)
    if not nodes:
        return
    found = _allowed(site, nodes)
    if found is None:
        return
    sources = [given_by(site, node) for node in nodes]
    allowed, severity, source = found
    difference, off = worst_difference(sources, ("L1", "L2", "L3")[:supply.system.phases])
    if difference <= allowed * (1 + 1e-9):
        return
    ids = tuple(s.id for s in sources)
    with_off = f" once {off} is off" if off else ""
    sums = ", ".join(f"{phase} {kva(va)}" for phase, va in per_phase([s for s in sources if s.id != off]).items())
    yield Finding(supply.mark, f"sources differ by {kva(difference)} between phases{with_off} ({sums}), where {kva(allowed)} are allowed",
                  "move a source to a phase with less, or ask the operator", objects=(supply.id, *ids), source=source,
                  severity="warning" if off else severity,
                  numbers={"difference": Number(difference, "VA"), "limit": Number(allowed, "VA")})


def _allowed(site: Flows, nodes: list[str]) -> tuple[float, str, str] | None:
    """The difference that is allowed [VA], the severity of more, and where that stands; None where no rule is in force.

    Raises CannotTell where the profile has a rule but no figure, and the site file has none either.
    """
    said = site.site.limits
    if isinstance(said, Limits) and "phase_difference" in said.marks:
        if isinstance(said.phase_difference, Unknown):
            raise CannotTell(said.phase_difference)
        return said.phase_difference, "error", "limits.phase_difference of the site file"
    threshold = site.profiles.find("phase-difference-threshold")
    sources: list[Given] = [given_by(site, node) for node in nodes] if threshold is not None else []
    large = threshold is not None and total(sources) > threshold.si
    entry = site.profiles.find("phase-difference-large" if large else "phase-difference")
    if entry is None:
        return None
    site.profiles.value(entry)
    return entry.si, entry.severity, entry.reference
