# SPDX-License-Identifier: MIT
"""What title block, notes, totals and checks of a sheet say, taken from the site."""
from __future__ import annotations

from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.report import Report, check

from sld.facts import fact
from sld.revisions import changed_ids, revision_notes, summary
from sld.sheet import Revision, SheetInfo
from sld.sheet_checks import check_lines, counted
from sld.sheet_notes import limit_lines, notes
from sld.sheet_totals import totals_table
from sld.views import view_notes, view_words

__all__ = ["last_revision", "sheet_info"]


def sheet_info(flows: Flows, document: str, power: bool = True, report: Report | None = None, control: bool = True) -> SheetInfo:
    """The texts of a sheet of this site; an unknown field stays blank.

    power   : with totals, limits and what the supply is like
    report  : what the checks found; None has them run
    control : with what each controller reads and drives
    """
    site = flows.site
    revisions = _revisions(site.drawing, flows)
    last = revisions[-1] if revisions else Revision("", "", "")
    status = fact(site, "drawing", "status")
    customer, designer = fact(site, "people", "customer"), fact(site, "people", "designer", "name")
    name = fact(site, "site", "name")
    report = report or _report(flows)
    return SheetInfo(
        owner=fact(site, "drawing", "owner") or customer, number=fact(site, "drawing", "number"), date=last.date,
        title=fact(site, "drawing", "title") or name, approver=fact(site, "people", "approver", "name"), creator=designer,
        document_type=f"{document}{view_words(flows)}", revision=last.index, status=status,
        language=fact(site, "drawing", "language") or "en", supplementary=name,
        site=name, address=fact(site, "site", "address"), connection=fact(site, "site", "connection"), customer=customer,
        designer=_joined(designer, fact(site, "people", "designer", "contact")),
        licence=_joined(*(fact(site, "people", "designer", field) for field in ("licence", "accreditation"))),
        installer=_joined(*(fact(site, "people", "installer", field) for field in ("name", "licence"))),
        approval=_joined(*(fact(site, "approval", field) for field in ("operator", "reference", "date"))),
        final=status == "as-built", fed=bool(flows.sources), zoned=getattr(site.drawing, "zones", True) is not False,
        paper=fact(site, "drawing", "paper"), changed=changed_ids(flows), revisions=revisions, checks=check_lines(report, flows, power), counted=counted(report),
        notes=(*notes(flows, power, control), *view_notes(flows), *revision_notes(flows)),
        totals=totals_table(flows) if power else (), limits=limit_lines(flows) if power else ())


def _report(flows: Flows) -> Report:
    """What the checks find, run once for all sheets."""
    if "report" not in flows.memo:
        flows.memo["report"] = check(flows.read)
    found: Report = flows.memo["report"]
    return found


def _joined(*words: str) -> str:
    return ", ".join(word for word in words if word)


def _revisions(drawing: Any, flows: Flows | None = None) -> tuple[Revision, ...]:
    rows = () if isinstance(drawing, Unknown) or isinstance(drawing.revisions, Unknown) else drawing.revisions
    notes = [fact(row, "note") or (summary(flows, row) if flows else "") for row in rows]
    return tuple(Revision(fact(row, "rev"), fact(row, "date"), note, fact(row, "by")) for row, note in zip(rows, notes, strict=True))


def last_revision(drawing: Any) -> str:
    """The index of the revision that is shown, or an empty text."""
    revisions = _revisions(drawing)
    return revisions[-1].index if revisions else ""
