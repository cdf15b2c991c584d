# SPDX-License-Identifier: MIT
"""What the title block and the notes say, taken from the site."""
from __future__ import annotations

from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.limits import limits_said
from topology.quantity import show_quantity
from topology.site import Acceptance, Equipment, ModuleInverters

from sld.sheet import Revision, SheetInfo

__all__ = ["sheet_info"]


def _text(part: Any, *names: str) -> str:
    """A fact along a path of fields, or an empty text."""
    for name in names:
        if isinstance(part, Unknown) or part is None:
            return ""
        part = getattr(part, name)
    return "" if isinstance(part, Unknown) or part is None else str(part)


def sheet_info(flows: Flows, document: str, power: bool = True) -> SheetInfo:
    """The texts of a sheet of this site; an unknown field stays blank. power: with totals and faults of the supply."""
    site = flows.site
    revisions = _revisions(site.drawing)
    last = revisions[-1] if revisions else None
    status = _text(site, "drawing", "status")
    return SheetInfo(
        owner=_text(site, "people", "customer"), number=_text(site, "drawing", "number"), date=last.date if last else "",
        title=_text(site, "drawing", "title") or _text(site, "site", "name"), approver=_text(site, "people", "approver", "name"),
        creator=_text(site, "people", "designer", "name"), document_type=document, revision=last.index if last else "", status=status,
        language=_text(site, "drawing", "language") or "en", supplementary=_text(site, "site", "name"), site=_text(site, "site", "name"),
        address=_text(site, "site", "address"), connection=_text(site, "site", "connection"), customer=_text(site, "people", "customer"),
        designer=_text(site, "people", "designer", "name"), licence=_text(site, "people", "designer", "licence"), final=status == "as-built",
        revisions=revisions, notes=_notes(flows, power), totals=_totals(flows) if power else ())


def _revisions(drawing: Any) -> tuple[Revision, ...]:
    rows = () if isinstance(drawing, Unknown) or isinstance(drawing.revisions, Unknown) else drawing.revisions
    return tuple(Revision(_text(r, "rev"), _text(r, "date"), _text(r, "note")) for r in rows)


def _notes(flows: Flows, power: bool) -> tuple[str, ...]:
    site = flows.site
    notes = ["A number before a circuit's name is its way on the board."] if power else []
    if power and not isinstance(site.supply, Unknown) and not isinstance(site.supply.faults, Unknown):
        largest, loop = (_text(site.supply.faults, n) or "TBC" for n in ("largest", "loop"))
        notes.append(f"Largest prospective fault current: {largest}; earth-fault loop impedance: {loop}.")
    if not isinstance(site.operation, Unknown):
        mode, charge, backup = (_text(site.operation, n) for n in ("mode", "charge_from_grid", "backup"))
        charge = {"True": "yes", "False": "no"}.get(charge, "TBC")
        notes.append(f"Operation: {mode or 'TBC'}; charging from the grid: {charge}; backup: {backup or 'TBC'}.")
    if not isinstance(site.limits, Unknown) and not isinstance(site.limits.export, Unknown):
        by = _text(site.limits, "enforced_by")
        notes.append(f"Export limit {show_quantity(site.limits.export, 'W')}, enforced by {by or 'TBC'}.")
    notes += _decisions(flows)
    if not isinstance(site.drawing, Unknown) and isinstance(site.drawing.notes, tuple):
        notes += [str(n) for n in site.drawing.notes]
    return tuple(notes)


def _decisions(flows: Flows) -> list[str]:
    """Limits that licensed persons set for this site, and findings that they accepted, with the reason."""
    accepted = [a for a in flows.site.accept if isinstance(a, Acceptance)] if isinstance(flows.site.accept, tuple) else []
    return [*(f"{said[0].upper()}{said[1:]}." for said in limits_said(flows.profiles)),
            *(f"Accepted: {a.rule} of {a.object}: {a.reason} ({a.by}, {a.role}, {a.date})." for a in accepted)]


def _totals(flows: Flows) -> tuple[str, ...]:
    """Nameplate of the sources on each phase [VA]."""
    sums: dict[str, float] = {}
    for node in flows.sources:
        obj = flows.obj(node)
        kind = flows.types.get(_text(obj, "type_"))
        if not isinstance(obj, Equipment) or kind is None or isinstance(kind.power, Unknown):
            return ("Sources: TBC",)
        count = obj.number if isinstance(obj, ModuleInverters) else 1
        if isinstance(count, Unknown):
            return ("Sources: TBC",)
        phases = conductors.phase_names(flows.phases_at(node)) if not isinstance(obj.phase, tuple) else obj.phase
        for phase in phases:
            sums[phase] = sums.get(phase, 0.0) + count * kind.power / len(phases)
    return tuple(f"Nameplate of sources on {phase}: {show_quantity(round(total, 1), 'VA')}" for phase, total in sorted(sums.items()))
