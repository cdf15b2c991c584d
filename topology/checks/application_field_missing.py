# SPDX-License-Identifier: MIT
"""A field that an application needs and the site file does not have."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..application import Field, application_fields, subjects
from ..errors import CannotTell, Finding, Mark, Unknown
from ..flow import Flows
from ..profiles import LimitEntry
from ..rule import rule, the
from ..site import Drawing, Supply

__all__ = ["application_field_missing"]

@rule(each=Supply, by_status=False, limits=tuple(field.id for field in application_fields() if field.id))
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
    for field in application_fields():
        entry = site.profiles.find(field.id) if field.id else None
        if entry is not None and entry.value is True:
            for part in subjects(field, site):
                yield from _asked(field, part, supply.id, entry, open_)
    if open_:
        raise CannotTell(open_[0])


def _asked(field: Field, part: Any, supply: str, entry: LimitEntry, open_: list[Unknown]) -> Iterator[Finding]:
    """What is to be said of one field of one object; what is TBC goes to the open ones."""
    found = [_value(part, way) for way in field.ways]
    if any(value is not None and not isinstance(value, Unknown) for value, _ in found):
        return
    if given := [value for value, _ in found if isinstance(value, Unknown)]:
        open_ += given
        return
    where = f"of '{part.id}'" if field.each else "in the site file"
    yield Finding(found[0][1], f"an application lacks {the(entry.what)}", f"say {' or '.join(field.ways)} {where}", objects=(part.id if field.each else supply,),
                  severity=entry.severity, source=entry.reference)


def _value(part: Any, way: str) -> tuple[Any, Mark]:
    """The value along a way, None where the file does not say it, an Unknown where it says TBC; with the nearest place that it does say."""
    mark = part.mark if getattr(part, "registered", False) else Mark(part.mark.file, 1, 1)
    for name in way.split("."):
        said = getattr(part, name)
        if isinstance(said, Unknown):
            return (said if said.given else None), mark
        part = said
        mark = part.mark if hasattr(part, "mark") else mark
    return (part if part not in ("", ()) else None), mark
