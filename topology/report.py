# SPDX-License-Identifier: MIT
"""What `check` reports: findings with the user's own line, and what was looked at, assumed and not told."""
from __future__ import annotations

import json
import textwrap
import unicodedata
from collections import Counter
from functools import cached_property, lru_cache
from typing import Any

from . import checks, site_faults
from .accepted import with_acceptances
from .assumed import assumptions
from .causes import with_causes
from .dataclass import dataclass
from .errors import SEVERITIES, Finding, Mark, Unusable
from .faults import FAULTS, SEVERITY, doc_parts
from .explain_limits import limit_lines
from .flow import Flows
from .limits import limits_said
from .methods import explain_method
from .profiles import LimitEntry, Profile
from .read import ReadSite
from .rule import RULES, in_order, run_rules
from .standing import by_status

__all__ = ["STAYS", "Report", "accepted_words", "can_be_accepted", "check", "explain", "explain_list", "rule_names", "unopened"]

VERIFY = "This report replaces no inspection: a licensed person must verify the work under the rules that apply at the place."
STAYS = "accepting it does not take it away, it counts as before"
_ = checks, site_faults  # importing them registers rules and faults


@dataclass(frozen=True)
class Report:
    """Findings on one site, in order. objects: how many were looked at, 0 where the rules could not be run."""

    read: ReadSite
    findings: tuple[Finding, ...]
    profiles: tuple[Profile, ...] = ()
    assumed: tuple[str, ...] = ()
    objects: int = 0
    limits: tuple[LimitEntry, ...] = ()
    """the entries of profiles that were asked for"""

    @property
    def counts(self) -> dict[str, int]:
        """Findings by severity; cannot_tell and accepted ones count for themselves only, but a danger counts though it is accepted."""
        open_ = Counter(f.severity for f in self.findings if f.outcome == "finding" and not (f.accepted and can_be_accepted(f.rule)))
        return {**{s: open_[s] for s in SEVERITIES}, "cannot_tell": sum(f.outcome == "cannot-tell" for f in self.findings),
                "accepted": sum(f.accepted is not None for f in self.findings)}

    @property
    def exit_code(self) -> int:
        """0 without errors, 1 with, 2 where the file cannot be used."""
        return 2 if self.read.unusable else int(self.counts["error"] > 0)

    def text(self) -> str:
        """The report for people."""
        return "\n".join([*(self._group(i) for i, f in enumerate(self.findings) if f.cause is None), *self._tail()])

    @cached_property
    def _following(self) -> dict[int, list[Finding]]:
        """What follows from each finding, by its index."""
        found: dict[int, list[Finding]] = {}
        for f in self.findings:
            if f.cause is not None:
                found.setdefault(f.cause, []).append(f)
        return found

    def _group(self, index: int) -> str:
        """A finding with what follows from it, indented; of one unknown value all that cannot be told for want of it."""
        head, following = self.findings[index], self._following.get(index, [])
        if head.outcome == "cannot-tell" and all(f.outcome == "cannot-tell" and f.mark == head.mark for f in following):
            return self._untold([head, *following])
        return "\n".join([self._block(head), *(textwrap.indent(self._block(f, head), "    ") for f in following)])

    def _untold(self, findings: list[Finding]) -> str:
        """One place where a value is not known, and the checks that wait for it."""
        head = findings[0]
        what = list(dict.fromkeys(m.what for f in findings for m in f.missing))
        waiting = "; ".join(f"{f.rule} ({', '.join(f.objects[:3])}{f' and {len(f.objects) - 3} more' if len(f.objects) > 3 else ''})" for f in findings)
        steps = dict.fromkeys(f.next for f in findings)
        return "\n".join([f"{_place(head.mark)}  cannot tell  not known: {', '.join(what)}", *self._quote(head.mark),
                          f"waiting for it: {waiting}", f"next: {'; '.join(steps)}", ""])

    def _block(self, f: Finding, head: Finding | None = None) -> str:
        """A finding in full; of one that follows from a head, without the line and the step that stand above it already."""
        word = (f.severity if f.outcome == "finding" else "cannot tell") + (" (accepted)" if f.accepted else "")
        taken = [f"accepted: {accepted_words(f)}"] if f.accepted else []
        lines = [f"{_place(f.mark)}  {word}  {f.rule}: {f.message}", *([] if head and head.mark == f.mark else self._quote(f.mark))]
        lines += [*taken, *(f"see {_place(r.mark)}: {r.message}" for r in f.related[:8])]
        return "\n".join([*lines, *([f"next: {f.next}"] if f.next and not (head and head.next == f.next) else []), ""])

    def _quote(self, mark: Mark) -> list[str]:
        """The user's own line with carets under the place; nothing for a file that was not read."""
        lines = self.read.lines if mark.file == self.read.name else self.read.texts.get(mark.file, ())
        if not 0 < mark.line <= len(lines):
            return []
        line = lines[mark.line - 1]
        before, under = line[:mark.column - 1], line[mark.column - 1:mark.column - 1 + mark.width]
        number = f" {mark.line} | "
        pad = "".join("\t" if c == "\t" else " " * _cells(c) for c in before)
        return [number + _printable(line), " " * (len(number) - 2) + "| " + pad + "^" * (sum(map(_cells, under)) or 1)]

    def _tail(self) -> list[str]:
        """What was checked, against what, what was assumed and what could not be told."""
        counts = self.counts
        said = ", ".join(f"{counts[s]} {s}" for s in SEVERITIES)
        looked = f"{len(RULES)} rules on {self.objects} objects" if self.objects else "reading only, the rules were not run"
        profiles = "; ".join(f"{p.id} of {p.date}" for p in self.profiles) or "none"
        missing = list(dict.fromkeys(f"  {m.what} ({_place(m.mark)})" for f in self.findings for m in f.missing))
        untold = f"Could not be told: {counts['cannot_tell']}{', for want of' if missing else '.'}"
        following = sum(f.cause is not None and f.outcome == "finding" for f in self.findings)
        grouped = [f"Indented below what they follow from: {following}."] if following else []
        return [f"Findings: {said}.", *grouped, f"Checked: {looked}.", f"Profile: {profiles}. {self._limits()}",
                *(f"Assumed: {a}." for a in self.assumed), untold, *missing, f"Accepted: {counts['accepted']}.", VERIFY]

    def _limits(self) -> str:
        """How many limits were looked up, and how many of them can only warn."""
        weak = sum(e.severity != "error" for e in self.limits)
        return f"Limits looked up: {len(self.limits)}, of which {weak} can only warn (sld explain LIMIT names the source)."

    def to_dict(self) -> dict[str, Any]:
        """The report for programs, with exactly the keys of the contract."""
        return {"format": 1, "complete": self.read.complete, "profiles": [{"id": p.id, "date": p.date} for p in self.profiles],
                "assumed": list(self.assumed), "counts": self.counts, "findings": [_plain(f) for f in self.findings]}

    def to_json(self) -> str:
        """The report for programs as JSON text."""
        return json.dumps(self.to_dict(), ensure_ascii=False, indent=1)


def unopened(error: Unusable) -> Report:
    """The report on a file that could not even be opened: its one finding."""
    return Report(ReadSite(None, {}, {}, (error.finding,), False, (), error.finding.mark.file), (error.finding,))


def can_be_accepted(rule: str) -> bool:
    """A fault of the file cannot be accepted, and an accepted danger (shock, fire, isolation) still counts as what it is."""
    return rule in RULES and not RULES[rule].danger


def accepted_words(finding: Finding) -> str:
    """Who accepted a finding and why, and that a danger counts all the same; empty for one that nobody accepted."""
    if finding.accepted is None:
        return ""
    said = "{reason} ({by}, {date})".format(**finding.accepted)
    return said if can_be_accepted(finding.rule) else f"{said}; {STAYS}"


def _place(mark: Mark) -> str:
    return f"{mark.file}:{mark.line}:{mark.column}"


def _cells(character: str) -> int:
    """How many columns of a terminal a character takes."""
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def _printable(line: str) -> str:
    """The line without characters that would act on a terminal."""
    return "".join(c if c.isprintable() or c == "\t" else "·" for c in line)


def _at(mark: Mark) -> dict[str, Any]:
    return {"file": mark.file, "line": mark.line, "column": mark.column}


def _plain(f: Finding) -> dict[str, Any]:
    accepted = {key: f.accepted.get(key, "") for key in ("reason", "by", "date")} if f.accepted else None
    return {"rule": f.rule, "severity": f.severity, "outcome": f.outcome, **_at(f.mark), "width": f.mark.width, "message": f.message,
            "next": f.next, "objects": list(f.objects), "numbers": {k: {"value": n.value, "unit": n.unit} for k, n in f.numbers.items()},
            "source": f.source, "missing": [{"what": m.what, **_at(m.mark)} for m in f.missing],
            "related": [{**_at(r.mark), "message": r.message} for r in f.related], "cause": f.cause, "accepted": accepted}


@lru_cache(maxsize=1)  # the sheets of all diagrams state the counts of one and the same report
def check(read: ReadSite) -> Report:
    """All findings on a site that was read. Where YAML itself broke, what comes after is not known, so the rules are not run."""
    if read.site is None or not read.complete:
        return Report(read, tuple(in_order(read.findings)))
    flows = Flows(read)
    objects = len({**flows.objects, **dict(flows.graph.nodes)})
    found = in_order(with_acceptances([*read.findings, *by_status(run_rules(flows), flows)], read.site))
    findings = tuple(with_causes(found, flows))
    assumed = (*assumptions(flows), *limits_said(flows.profiles))
    return Report(read, findings, flows.profiles.profiles, assumed, objects, tuple(flows.profiles.used[id_] for id_ in sorted(flows.profiles.used)))


def rule_names() -> list[str]:
    """Every rule that can appear in findings."""
    return sorted([*FAULTS, *RULES])


def explain_list() -> str:
    """Every rule that can appear in findings, one a line."""
    return "\n".join(rule_names())


def explain(name: str) -> str | None:
    """The manual of a rule or of a method of calculation, or None where there is none of that name; "methods" lists the methods."""
    if name in RULES:
        parts, severity = dict(RULES[name].parts), f"{RULES[name].severity}{_standing(name)}"
        lines = [line for id_ in RULES[name].limits for line in limit_lines(id_)]
        parts["Source"] = "\n".join([parts["Source"], *(["Limits in the profiles:", *lines] if lines else [])])
    elif name in FAULTS:
        parts, severity = doc_parts(FAULTS[name].__doc__ or ""), SEVERITY.get(name, "error")
    else:
        return explain_method(name)
    return "\n\n".join([f"{name} ({severity}): {parts['']}", *(f"{head}\n{_body(body)}" for head, body in parts.items() if head)])


def _standing(name: str) -> str:
    """How a rule weighs what is old or accepted, in words for its manual."""
    observed = "observed where this job leaves it as it was" if RULES[name].by_status else ""
    stays = "a danger: accepting it does not take it away" if RULES[name].danger else ""
    return "".join(f"; {said}" for said in (stays, observed) if said)


def _body(text: str) -> str:
    """A part of a manual with its lines of continuation at the margin."""
    first, _, rest = text.partition("\n")
    return "\n".join([first, textwrap.dedent(rest)] if rest else [first])
