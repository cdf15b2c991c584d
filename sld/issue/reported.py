# SPDX-License-Identifier: MIT
"""Findings and assumptions as text and table, for the document and the page."""
from __future__ import annotations

from collections.abc import Iterator

from topology.errors import Finding
from topology.report import VERIFY, Report, accepted_words

from sld.counts import many
from sld.issue.flow import BETWEEN, Block, Heading, Paragraph
from sld.issue.grid import LINE, Grid

__all__ = ["FINDING_TITLES", "basis", "finding_row", "findings_blocks", "severity_of"]

MORE = 4
"""Lines that follow what the findings rest on, or more than one for a sentence of it."""
FINDING_TITLES = ("severity", "rule", "place", "what was found", "next step", "objects")


def severity_of(finding: Finding) -> str:
    """Severity, or that the check could not tell; accepted ones say so."""
    word = finding.severity if finding.outcome == "finding" else "cannot tell"
    return f"{word}, accepted" if finding.accepted else word


def finding_row(finding: Finding, report: Report) -> tuple[str, ...]:
    """The cells of a finding under FINDING_TITLES."""
    said = [finding.message, *([f"Accepted: {accepted_words(finding)}"] if finding.accepted else [])]
    if finding.cause is not None:
        cause = report.findings[finding.cause]
        said.append(f"Follows from {cause.rule} at {_place(cause)}")
    return (severity_of(finding), finding.rule, _place(finding), ". ".join(said), finding.next, ", ".join(finding.objects))


def _place(finding: Finding) -> str:
    return f"{finding.mark.file}:{finding.mark.line}:{finding.mark.column}"


def basis(report: Report) -> list[str]:
    """What the findings rest on, in sentences."""
    counts = report.counts
    said = ", ".join([*(many(counts[word], word) for word in ("error", "warning", "note")),
                      *(f"{counts[key]} {words}" for key, words in (("observed", "observed"), ("cannot_tell", "could not be told"), ("accepted", "accepted")))])
    profiles = "; ".join(f"{p.id} of {p.date}" for p in report.profiles) or "none"
    accepted = [f"Accepted: {f.rule} of {', '.join(f.objects) or 'site'}: {accepted_words(f)}." for f in report.findings if f.accepted]
    return [f"Findings: {said}.", *accepted, f"Profile: {profiles}.", *(f"Assumed: {line}." for line in report.assumed), VERIFY]


def findings_blocks(report: Report) -> Iterator[Block]:
    """Everything that the checks say, on sheets."""
    lines = basis(report)
    yield Heading("Findings and assumptions", 5.0, (LINE + BETWEEN) * (len(lines) + MORE), True)
    yield from (Paragraph(line) for line in lines)
    if report.findings:
        rows = tuple(finding_row(finding, report) for finding in report.findings)
        links = {(number, 5): f"drawn {finding.objects[0]}" for number, finding in enumerate(report.findings) if finding.objects}
        yield Grid(FINDING_TITLES, rows, links=links)
    else:
        yield Paragraph("The checks of the program found nothing. They do not see everything, and they replace no inspection.")
