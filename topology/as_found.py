# SPDX-License-Identifier: MIT
"""A site as it was found: the same objects without what this job adds, for the question what was there before."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from .errors import Unknown
from .kinds import Said
from .read import ReadSite
from .site import Cable, Device, Equipment, Load, Part, Site, Terminal, Thing

__all__ = ["TOUCHED", "as_found", "describes_a_job"]

TOUCHED = ("new", "altered", "relocated")
"""What a job adds, or leaves otherwise than it found it."""


def describes_a_job(read: ReadSite) -> bool:
    """Whether a job is done on a site that is there. A file that says of nothing that it is new, altered or removed tells nothing apart,
    and a site that is new as a whole has nothing old: all of it is judged.
    """
    whole = None if read.site is None else getattr(read.site.site, "status", None)
    if isinstance(whole, Unknown) or whole == "new":
        return False
    statuses = [o.status for o in read.objects.values() if isinstance(o, Thing)]
    return any(isinstance(s, Unknown) or s != "existing" for s in statuses)


def as_found(read: ReadSite) -> ReadSite:
    """The site before the job, with the same ids and marks.

    What is new is left out, and what is taken away stands. Of what is altered or moved nobody knows how it was: a cable, device, load or
    piece of equipment is left out, and a chain goes on without it; boards and circuits stay, for what hangs on them stood before.
    What leads to something that is left out leads nowhere.
    """
    assert read.site is not None
    rebuilt = _Rebuilt(frozenset(o.id for o in read.objects.values() if isinstance(o, Thing) and _came(o)))
    site: Site = rebuilt.part(read.site)
    kept = {part.id for part in _parts(site)}
    # the blank terminals of a device stand in no field of it
    objects = {id_: rebuilt.part(o) for id_, o in read.objects.items() if id_ in kept or isinstance(o, Terminal) and id_.partition(".")[0] in kept}
    return replace(read, site=site, objects=objects, findings=())


def _came(thing: Thing) -> bool:
    """Whether the job brought a thing, or nobody knows; one that it alters counts where a chain goes on without it."""
    if isinstance(thing.status, Unknown) or thing.status == "new":
        return True
    return thing.status in TOUCHED and isinstance(thing, Cable | Device | Equipment | Load)


class _Rebuilt:
    """Copies of parts without what came. gone: ids of that."""

    def __init__(self, gone: frozenset[str]) -> None:
        self.gone = gone
        self.made: dict[int, Any] = {}

    def part(self, part: Any) -> Any:
        """The copy of a part, each made once."""
        if id(part) not in self.made:
            self.made[id(part)] = self._copy(part)
        return self.made[id(part)]

    def _copy(self, part: Any) -> Any:
        said = {f.name: getattr(part, f.name) for f in fields(part) if f.name not in ("id", "mark", "marks")}
        kept = {name: self._value(value) for name, value in said.items()}
        if isinstance(part, Thing) and part.status == "removed":
            kept["status"] = "existing"
        lost = [name for name, value in kept.items() if value is None and said[name] is not None]
        return replace(part, marks={name: mark for name, mark in part.marks.items() if name not in lost}, **kept)

    def _value(self, value: Any) -> Any:
        if self._is_gone(value):
            return None
        if type(value) is tuple:  # references and ways are tuples too
            return tuple(self._value(item) for item in value if not self._leads_away(item))
        if isinstance(value, Mapping):
            return {key: self._value(item) for key, item in value.items() if not self._leads_away(item)}
        return self.part(value) if isinstance(value, Part) else value

    def _is_gone(self, value: Any) -> bool:
        return isinstance(value, Thing | Said) and value.id in self.gone

    def _leads_away(self, item: Any) -> bool:
        """Whether an item of a list is gone, or joins something to what is gone: a segment, an input, a bond."""
        joins = isinstance(item, Part) and not isinstance(item, Thing)
        return self._is_gone(item) or joins and any(isinstance(to := getattr(item, f.name), Said) and to.id in self.gone for f in fields(item))


def _parts(value: Any) -> Iterator[Part]:
    """All parts in a value, itself included."""
    stack = [value]
    while stack:
        here = stack.pop()
        if isinstance(here, Part):
            yield here
        if is_dataclass(here):
            stack += [getattr(here, f.name) for f in fields(here)]
        elif type(here) is tuple:
            stack += here
        elif isinstance(here, Mapping):
            stack += here.values()
