# SPDX-License-Identifier: MIT
"""A field that an application needs and the site file does not have."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..errors import CannotTell, Finding, Mark, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Drawing, Meter, Supply
from ._words import listed

__all__ = ["application_field_missing"]

WAYS: dict[str, tuple[str, ...]] = {
    "field-connection": ("site.connection",), "field-address": ("site.address",), "field-customer": ("people.customer",),
    "field-licence": ("people.designer.licence", "people.installer.licence"),
    "field-accreditation": ("people.designer.accreditation", "people.installer.accreditation"), "field-mode": ("operation.mode",),
    "field-drawing-number": ("drawing.number",), "field-title": ("drawing.title",), "field-date": ("drawing.revisions",),
    "field-approver": ("people.approver.name",), "field-creator": ("people.designer.name",), "field-export": ("limits.export",)}
"""Where the site file has each field; any of several will do."""


@rule(each=Supply, by_status=False, limits=(*WAYS, "field-meter-number"))
def application_field_missing(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Drawing for an application that lacks a field which operator or standard asks for.

    Why: an application with a blank comes back. It is asked only where drawing: {status: for application} says so; a field that is TBC
        is reported as not known.
    Bad: drawing: {status: for application}, and people: {designer: {name: J. Example}} without licence
    Good: people: {designer: {name: J. Example, licence: EC 00000}}
    Source: the profiles that the site names (fields: of each)
    """
    drawing = site.site.drawing
    if not isinstance(drawing, Drawing) or not isinstance(drawing.status, str) or drawing.status != "for application":
        return
    open_: list[Unknown] = []
    for id_, ways in WAYS.items():
        entry = site.profiles.find(id_)
        if entry is None or entry.value is not True:
            continue
        found = [_value(site, way) for way in ways]
        if any(value is not None and not isinstance(value, Unknown) for value, _ in found):
            continue
        if given := [value for value, _ in found if isinstance(value, Unknown)]:
            open_ += given
            continue
        yield Finding(found[0][1], f"an application lacks the {entry.what}", f"say {listed(ways)} in the site file", objects=(supply.id,),
                      severity=entry.severity, source=entry.reference)
    yield from _meters(site)
    if open_:
        raise CannotTell(open_[0])


def _meters(site: Flows) -> Iterator[Finding]:
    """The distributor's meters without a number."""
    entry = site.profiles.find("field-meter-number")
    if entry is None or entry.value is not True:
        return
    for meter in site.objects.values():
        if isinstance(meter, Meter) and meter.owner == "distributor" and isinstance(meter.number, Unknown) and not meter.number.given:
            yield Finding(meter.mark, f"an application lacks the {entry.what}", f"say number: of '{meter.id}'", objects=(meter.id,), severity=entry.severity,
                          source=entry.reference)


def _value(site: Flows, way: str) -> tuple[Any, Mark]:
    """The value along a way, None where the file does not say it, an Unknown where it says TBC; with the nearest place that it does say."""
    part: Any = site.site
    mark = Mark(part.mark.file, 1, 1)
    for name in way.split("."):
        said = getattr(part, name)
        if isinstance(said, Unknown):
            return (said if said.given else None), mark
        part = said
        mark = part.mark if hasattr(part, "mark") else mark
    return (part if part not in ("", ()) else None), mark
