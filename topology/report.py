# SPDX-License-Identifier: MIT
"""What `check` reports: findings with the user's own line, and what was not looked at."""
from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from . import checks, site_faults
from .errors import Finding
from .faults import FAULTS, doc_parts
from .flow import Flows
from .read import ReadSite
from .rule import RULES, run_rules

__all__ = ["Report", "check", "explain", "rule_names"]

VERIFY = "Have the work verified under local rules by a licensed person."
_ = checks, site_faults  # importing them registers rules and faults


@dataclass(frozen=True)
class Report:
    """Findings on one site, in order."""

    read: ReadSite
    findings: tuple[Finding, ...]

    @property
    def exit_code(self) -> int:
        """0 without errors, 1 with, 2 where the file cannot be used."""
        errors = any(f.severity == "error" and f.outcome == "finding" and not f.accepted for f in self.findings)
        return 2 if self.read.unusable else int(errors)

    def text(self) -> str:
        """The report for people."""
        unknown = sum(f.outcome == "cannot-tell" for f in self.findings)
        profiles = self.read.site.profile if self.read.site is not None and isinstance(self.read.site.profile, tuple) else ()
        tail = [f"{len(self.findings) - unknown} findings; {unknown} could not be told.",
                f"Checked: reading and {len(RULES)} rules of topology. No limit of a profile ({', '.join(map(str, profiles))}) is applied yet.", VERIFY]
        return "\n".join([*(self._block(f) for f in self.findings), *tail])

    def _block(self, f: Finding) -> str:
        line = self.read.lines[f.mark.line - 1] if 0 < f.mark.line <= len(self.read.lines) else ""
        word = f.severity if f.outcome == "finding" else "cannot tell"
        margin = f" {f.mark.line} | "
        carets = " " * (len(margin) - 2) + "| " + " " * (f.mark.column - 1) + "^" * f.mark.width
        return f"{f.mark.file}:{f.mark.line}:{f.mark.column}  {word}  {f.rule}: {f.message}\n{margin}{line}\n{carets}\nnext: {f.next}\n"

    def to_json(self) -> str:
        """The report for programs, in the contract's form."""
        counts = {s: sum(f.severity == s and f.outcome == "finding" for f in self.findings) for s in ("error", "warning", "note", "observed")}
        counts |= {"cannot_tell": sum(f.outcome == "cannot-tell" for f in self.findings), "accepted": 0}
        return json.dumps({"format": 1, "complete": self.read.complete, "profiles": [], "assumed": [], "counts": counts,
                           "findings": [_plain(f) for f in self.findings]}, ensure_ascii=False, indent=1)


def _plain(f: Finding) -> dict[str, Any]:
    place = {"file": f.mark.file, "line": f.mark.line, "column": f.mark.column}
    return {"rule": f.rule, "severity": f.severity, "outcome": f.outcome, **place, "width": f.mark.width, "message": f.message, "next": f.next,
            "objects": list(f.objects), "numbers": {k: {"value": n.value, "unit": n.unit} for k, n in f.numbers.items()}, "source": f.source,
            "missing": [{"what": m.what, "file": m.mark.file, "line": m.mark.line, "column": m.mark.column} for m in f.missing],
            "related": [{"file": r.mark.file, "line": r.mark.line, "column": r.mark.column, "message": r.message} for r in f.related],
            "cause": f.cause, "accepted": f.accepted}


def check(read: ReadSite) -> Report:
    """All findings on a site that was read."""
    findings = list(read.findings)
    if read.site is not None:
        findings += run_rules(Flows(read))
    order = ("error", "warning", "note", "observed")
    return Report(read, tuple(sorted(findings, key=lambda f: (f.outcome != "finding", order.index(f.severity), f.mark, f.rule, f.objects))))


def rule_names() -> list[str]:
    """Every rule that can appear in findings."""
    return sorted([*FAULTS, *RULES])


def explain(name: str) -> str | None:
    """The manual of a rule, or None where there is none of that name."""
    function = FAULTS.get(name) or RULES.get(name)
    if function is None:
        return None
    parts = doc_parts(function.__doc__ or "")
    return "\n\n".join([f"{name}: {parts.pop('')}", *(f"{head}\n{body}" for head, body in parts.items())])
