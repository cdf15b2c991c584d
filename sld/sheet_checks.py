# SPDX-License-Identifier: MIT
"""What a sheet says of the checks: counts, the profile, the few assumptions that bear on what is drawn, and where all of them stand."""
from __future__ import annotations

from collections.abc import Iterator

from topology.electrical.given import Given
from topology.errors import Unknown
from topology.flow import Flows
from topology.report import Report
from topology.site import Board, Cable, Circuit, Load, Supply

from sld.counts import many

__all__ = ["check_lines", "counted"]

ALWAYS = (("error", "error"), ("warning", "warning"))
WHERE_ANY = (("note", "note"), ("observed", "observed fault"), ("accepted", "accepted finding"))
ALL = "{}, the tables used and every finding: see the report of the check, or the findings in an issued set."


def counted(report: Report) -> str:
    """The counts that matter most, in a line for the caution."""
    counts = report.counts
    found = ", ".join(many(counts[word], name) for word, name in ALWAYS)
    return f"Checks of the program: {found}, {counts['cannot_tell']} could not be told."


def check_lines(report: Report, flows: Flows, power: bool) -> tuple[str, ...]:
    """Counts of findings and the profile, what was assumed, and where to read more. A drawing never says that all is well.

    power : the drawing shows circuits and cables, so that what their computation takes for granted bears on it
    """
    counts = report.counts
    words = [*(many(counts[word], name) for word, name in ALWAYS), *(many(counts[word], name) for word, name in WHERE_ANY if counts[word])]
    profile = "; ".join(f"{p.id} of {p.date}" for p in report.profiles) or "none"
    lines = [f"Found by the program: {', '.join(words)}; {counts['cannot_tell']} could not be told.", f"Figures of profile: {profile}."]
    if report.assumed:
        if assumed := "; ".join(_assumed(flows)) if power else "":
            lines.append(f"Assumed: {assumed}.")
        lines.append(ALL.format("The one assumption" if len(report.assumed) == 1 else f"All {len(report.assumed)} assumptions"))
    return tuple(lines)


def _assumed(flows: Flows) -> Iterator[str]:
    """In few words what a reader of the drawing must know; the report has the same at length."""
    yield "supply live, all switches closed"
    if flows.profiles.on is None:
        yield "newest figures, as no day of work is given"
    supply, objects = flows.site.supply, flows.objects.values()
    if isinstance(supply, Supply) and (isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown)):
        yield "three phases, N and PE, as the system is not known"
    if any(isinstance(o, Cable) for o in objects):
        yield from _computed(flows)
    if any(isinstance(o, Circuit) and o.phase is None for o in objects) and _several_phases(supply):
        yield "a circuit without phase is on all of them"


def _several_phases(supply: object) -> bool:
    code = getattr(getattr(supply, "system", None), "code", None)
    return not isinstance(code, tuple) or code[0] != 1


def _computed(flows: Flows) -> Iterator[str]:
    """Round which cables, and with which loads, currents and voltage drops are computed."""
    given = Given(flows)
    air, ground = given.figure("ambient-air-temperature"), given.figure("ambient-ground-temperature")
    yield f"air {air.value:g} °C, ground {ground.value:g} °C"
    boards = any(isinstance(o, Board) and o.diversity is not None for o in flows.objects.values())
    if any(isinstance(o, Load) for o in flows.objects.values()):
        yield f"{given.number('diversity'):g} % of loads together{' where no diversity is given' if boards else ''}"
    if any(isinstance(o, Load) and getattr(o.power, "given", True) is False for o in flows.objects.values()):
        yield "a load without power draws what its device lets through"
