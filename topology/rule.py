# SPDX-License-Identifier: MIT
"""A check is a function of one object; the runner asks it for each object of its class."""
from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace
from typing import Any

from .collector import no_collection
from .dataclass import dataclass
from .errors import SEVERITIES, CannotTell, Finding, Missing
from .faults import doc_parts
from .flow import Flows

__all__ = ["RULES", "Rule", "in_order", "rule", "run_rules", "the"]

Check = Callable[[Any, Flows], Finding | Iterable[Finding] | None]


@dataclass(frozen=True)
class Rule:
    """A registered check. each: class of object that it looks at; parts: its manual by headings; danger: an accepted finding stays what it is;
    limits: ids of the profile entries that it may rest on; by_status: of what this job leaves as it was found it only observes.
    """

    name: str
    each: Any
    severity: str
    check: Check
    parts: dict[str, str]
    danger: bool = False
    limits: tuple[str, ...] = ()
    by_status: bool = True

    @property
    def source(self) -> str:
        """Where the rule comes from."""
        return " ".join(self.parts.get("Source", "").split())


RULES: dict[str, Rule] = {}
"""Every check by name; importing topology.checks fills it."""


def rule(each: Any, severity: str = "error", danger: bool = False, limits: tuple[str, ...] = (), by_status: bool | None = None) -> Callable[[Check], Check]:
    """Register a check of one class of object, or of several, under its function's name. danger: of shock, fire or isolation;
    limits: ids of the profile entries that it may rest on, for its manual; by_status: whether it only observes what this job leaves as it
    was found. By default dangers do not; those of rating and load do, for the job may not have made them. A fault of the description never does.
    """
    assert severity in SEVERITIES, severity

    def register(function: Check) -> Check:
        name = function.__name__.replace("_", "-")
        assert name not in RULES, name
        RULES[name] = Rule(name, each, severity, function, doc_parts(function.__doc__ or ""), danger, limits, not danger if by_status is None else by_status)
        return function
    return register


def run_rules(flows: Flows, names: Collection[str] | None = None) -> list[Finding]:
    """What the checks of these names, or all, say of a site, in order, whatever the status of things: `by_status` weighs that.

    A value that is not known gives "cannot tell" for that object alone.
    """
    rules = [r for r in RULES.values() if names is None or r.name in names]
    nodes = {node: obj for node, obj in flows.graph.nodes(data="obj")}
    everything = list({**flows.objects, **nodes}.values())  # automatic bars and joints stand in the graph only
    asked: dict[type, list[Rule]] = {}
    for cls in {type(obj) for obj in everything}:
        asked[cls] = [r for r in rules if issubclass(cls, r.each)]
    with no_collection():
        return in_order(_gathered(finding for obj in everything for r in asked[type(obj)] for finding in _ask(r, obj, flows)))


def _gathered(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Findings as they are; what one rule cannot tell of many objects for want of one thing is said once, with all of them."""
    untold: dict[tuple[str, Missing], list[Finding]] = {}
    for finding in findings:
        if finding.outcome == "cannot-tell":
            untold.setdefault((finding.rule, finding.missing[0]), []).append(finding)
        else:
            yield finding
    for alike in untold.values():
        names = tuple(name for finding in alike for name in finding.objects)
        listed = ", ".join(f"'{name}'" for name in names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
        message = f"cannot be told for {listed}: {alike[0].missing[0].what} is not known"
        yield replace(alike[0], message=message, objects=names)


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings by severity, place, rule and objects; what could not be told comes last."""
    return sorted(findings, key=lambda f: (f.outcome != "finding", SEVERITIES.index(f.severity), f.mark, f.rule, f.objects))


def _ask(r: Rule, obj: Any, flows: Flows) -> Iterator[Finding]:
    """What one check says of one object: what it found before something turned out to be unknown counts too."""
    try:
        said = r.check(obj, flows)
        for finding in (said,) if isinstance(said, Finding) else said or ():
            severity = r.severity if finding.severity == "error" else finding.severity  # "error" is what a finding is born with
            yield replace(finding, rule=r.name, severity=severity, source=finding.source or r.source)
    except CannotTell as error:
        if not error.unknown.silent:
            yield _cannot_tell(r, obj, error)


def the(what: str) -> str:
    """What is asked for, with its article; a question ("which voltage it is") has none."""
    return what if what.split()[0] in ("how", "what", "when", "where", "whether", "which", "who") else f"the {what}"


def _cannot_tell(r: Rule, obj: Any, error: CannotTell) -> Finding:
    what, mark, key = error.unknown.what, error.unknown.mark, error.unknown.key
    step = f"find out {the(what)}{f' ({key}: …)' if key else ''}"
    return Finding(mark, f"cannot be told for '{obj.id}': {what} is not known", step, r.name, "note", "cannot-tell",
                   (obj.id,), source=r.source, missing=(Missing(what, mark),))
