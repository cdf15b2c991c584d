# SPDX-License-Identifier: MIT
"""Findings that a licensed person takes upon themselves, and acceptances that match nothing any more."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from .errors import Finding, Unknown
from .site import Acceptance, Site
from .site_faults import acceptance_unused

__all__ = ["with_acceptances"]


def with_acceptances(findings: Iterable[Finding], site: Site) -> list[Finding]:
    """The findings, those that the site file accepts marked so, and one more for each acceptance that fits none of them.

    An acceptance fits a finding of its rule that names its object, or that has no object while the acceptance says `site`.
    """
    todo = [a for a in site.accept if isinstance(a, Acceptance)] if isinstance(site.accept, tuple) else []
    used: set[str] = set()
    marked = []
    for finding in findings:
        fitting = next((a for a in todo if _fits(a, finding)), None)
        if fitting is not None:
            used.add(fitting.id)
            finding = replace(finding, accepted={"reason": str(fitting.reason), "by": f"{fitting.by}, {fitting.role}", "date": str(fitting.date)})
        marked.append(finding)
    unused = [acceptance_unused(a.mark, a.rule, a.object) for a in todo
              if a.id not in used and not isinstance(a.rule, Unknown) and not isinstance(a.object, Unknown)]
    return marked + unused


def _fits(acceptance: Acceptance, finding: Finding) -> bool:
    if finding.outcome != "finding" or isinstance(acceptance.rule, Unknown) or isinstance(acceptance.object, Unknown):
        return False
    return acceptance.rule == finding.rule and (acceptance.object in finding.objects or not finding.objects and acceptance.object == "site")
