# SPDX-License-Identifier: MIT
"""What an application lacks: fields of the one list that the site file does not say, or leaves open."""
from __future__ import annotations

from typing import Any

from topology.application import Field, application_fields, missing, subjects
from topology.errors import Mark
from topology.flow import Flows

__all__ = ["lacking"]


def lacking(flows: Flows) -> list[str]:
    """A line for each field that is missing: what, of which object, where in the file, and who asks for it.

    Asked for is what is asked for everywhere, and what a profile of the site asks for.
    """
    return [_line(field, part, by) for field in application_fields() if (by := _asked_by(field, flows))
            for part in subjects(field, flows) if all(missing(flows, part, way) for way in field.ways)]


def _asked_by(field: Field, flows: Flows) -> str:
    """Who asks for a field on this site, with how that was found out; empty where nobody does."""
    if field.source:
        return f"{field.source}, found: {field.found}"
    entry = flows.profiles.peek(field.id)
    return entry.reference if entry is not None and entry.value is True else ""


def _line(field: Field, part: Any, by: str) -> str:
    of = f"{part.word} {part.id}: " if field.each else ""
    mark = _nearest(part, field.ways[0])
    return f"  {of}{field.what} ({field.ways[0]}; {mark.file}:{mark.line}:{mark.column}; asked for by {by})"


def _nearest(part: Any, way: str) -> Mark:
    """The place of a field, or of the part of the file that it would stand in."""
    mark: Mark = part.mark
    for name in way.split("."):
        part = getattr(part, name, None)
        mark = getattr(part, "mark", None) or mark
    return mark
