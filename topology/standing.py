# SPDX-License-Identifier: MIT
"""Severity by status: what stood before this job, and stood no better, is observed; what the job adds, alters or makes worse is judged."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from .as_found import TOUCHED, as_found, describes_a_job
from .errors import Finding, Unknown
from .flow import Flows
from .rule import RULES, run_rules

__all__ = ["by_status"]

SAME = 1e-4
"""Numbers of findings are rounded; less than this share of a difference is none [-]"""
Key = tuple[str, object, tuple[str, ...]]


def by_status(findings: Sequence[Finding], flows: Flows) -> list[Finding]:
    """The findings, those observed that name nothing this job touches and that the site had before it, with numbers no better.

    Rules that are registered with by_status=False keep their severity: dangers, and faults of the description itself.
    """
    doubtful = [f for f in findings if _may_be_observed(f, flows)] if describes_a_job(flows.read) else []
    if not doubtful:
        return list(findings)
    rules = {f.rule for f in doubtful}
    before = {_key(f): f for f in run_rules(Flows(as_found(flows.read)), rules)}
    there = {id(f) for f in doubtful if (was := before.get(_key(f))) is not None and not _worse(f, was)}
    return [replace(f, severity="observed") if id(f) in there else f for f in findings]


def _key(finding: Finding) -> Key:
    return finding.rule, finding.mark, finding.objects


def _may_be_observed(finding: Finding, flows: Flows) -> bool:
    """Whether a finding may be lowered at all: its rule says so, and it names nothing that the job touches."""
    lowered = finding.outcome == "finding" and finding.severity in ("error", "warning") and RULES[finding.rule].by_status
    return lowered and not any(_touched(name, flows) for name in finding.objects)


def _touched(name: str, flows: Flows) -> bool:
    """Whether an id means something that is new or altered, or of which nobody knows; what bears no status stands as it was found."""
    obj = flows.objects.get(name) or (flows.obj(name) if name in flows.graph else None)
    status = getattr(obj, "status", "existing")
    return isinstance(status, Unknown) or status in TOUCHED


def _worse(now: Finding, was: Finding) -> bool:
    """Whether the numbers behind a finding tell a larger fault than before; of numbers that cannot be set against each other, any other ones."""
    pair = _overstep(now), _overstep(was)
    if pair[0] is not None and pair[1] is not None:
        return pair[0] > pair[1] * (1 + SAME)
    return _differ(now, was)


def _overstep(finding: Finding) -> float | None:
    """By what factor one number passes the other; None where there are not two of one unit."""
    numbers = list(finding.numbers.values())
    values = [n.value for n in numbers if n.value]
    if len(values) != 2 or len({n.unit for n in numbers}) != 1:
        return None
    return max(values) / min(values) if min(values) > 0 else None


def _differ(now: Finding, was: Finding) -> bool:
    if now.numbers.keys() != was.numbers.keys():
        return True
    pairs: Iterable[tuple[float | None, float | None]] = ((now.numbers[k].value, was.numbers[k].value) for k in now.numbers)
    return any((a is None) != (b is None) or a is not None and b is not None and abs(a - b) > SAME * max(abs(a), abs(b)) for a, b in pairs)
