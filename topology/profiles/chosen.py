# SPDX-License-Identifier: MIT
"""The profiles that a site names, in one: the later one comes first, and the site's own decisions before all."""
from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from ..dataclass import dataclass
from ..errors import CannotTell, Mark, Unknown
from .entries import LimitEntry, Profile, Value
from .load import load_profile

__all__ = ["Override", "Profiles", "load_profiles", "value_of"]

_NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)\s*(\S*)")


@dataclass(frozen=True)
class Override:
    """A limit that the site sets itself. value: as the file says it; by: name and licensed role of who decided."""

    value: str
    by: str
    reason: str


class Profiles:
    """Figures for one site.

    profiles  : in the order in which the site names them; a later one (an overlay) comes before an earlier one
    on        : the day on which work begins, None where it is not known: then the newest entries apply
    overrides : limits that the site sets itself, by id
    mark      : where the site file names its profiles
    unknown   : what of the site's profiles is not known; no question can then be answered
    used      : ids that were asked for, with the entries that answered
    """

    def __init__(self, profiles: Iterable[Profile], on: date | None, overrides: Mapping[str, Override] | None = None,
                 mark: Mark | None = None, unknown: Unknown | None = None) -> None:
        self.unknown = unknown
        self.profiles, self.on = tuple(profiles), on
        self.overrides = dict(overrides or {})
        self.mark = mark or Mark("site.yaml", 1, 1)
        self.used: dict[str, LimitEntry] = {}
        self._found: dict[str, LimitEntry | None] = {}

    def find(self, id_: str) -> LimitEntry | None:
        """The entry in force under an id, as the site overrides it; None where no profile in use has one, which means: no such rule here.

        An overlay that knows no figure does not hide one that its base knows. Raises CannotTell where the site's profiles are not known.
        """
        if self.unknown is not None:
            # silent: limit-override-idle says once that the profile is not known
            raise CannotTell(Unknown(self.unknown.mark, self.unknown.what, silent=True))
        if id_ not in self._found:
            found = [e for p in reversed(self.profiles) if (e := p.find(id_, self.on)) is not None]
            entry = next((e for e in found if e.value is not None), found[0] if found else None)
            self._found[id_] = entry if entry is None else self._overridden(entry)
        entry = self._found[id_]
        if entry is not None:
            self.used[id_] = entry
        return entry

    def peek(self, id_: str) -> LimitEntry | None:
        """As `find`, and None too where the site's profiles are not known: for what must be answered all the same."""
        return None if self.unknown is not None else self.find(id_)

    def entry(self, id_: str) -> LimitEntry:
        """As `find`. Raises KeyError where no profile in use has such an entry in force."""
        found = self.find(id_)
        if found is None:
            names = ", ".join(p.id for p in self.profiles) or "none"
            raise KeyError(f"{id_} is not in the profiles in use ({names}){f' for work that begins on {self.on}' if self.on else ''}")
        return found

    def limit(self, id_: str) -> float | bool | str:
        """The value under an id in the unit of its entry.

        Raises KeyError as `entry` does, CannotTell where the profile says that no figure is known.
        """
        return self.value(self.entry(id_))

    def number(self, id_: str) -> float:
        """As `limit`, for a number. Raises TypeError for any other value."""
        value = self.limit(id_)
        if isinstance(value, bool | str):
            raise TypeError(f"{id_} is no number: {value!r}")
        return value

    def value(self, entry: LimitEntry) -> float | bool | str:
        """The value of an entry. Raises CannotTell where no figure is known."""
        if entry.value is None:
            raise CannotTell(Unknown(self.mark, f"{entry.id} of profile {entry.profile} ({entry.what})"))
        return entry.value

    def _overridden(self, entry: LimitEntry) -> LimitEntry:
        said = self.overrides.get(entry.id)
        value = None if said is None else value_of(said.value, entry)
        if said is None or value is None:
            return entry
        return replace(entry, value=value, set_by=f"set on this site by {said.by} ({said.reason}), instead of {entry.shown}")


def value_of(text: str, entry: LimitEntry) -> Value:
    """What an override says in the unit and kind of an entry: "3 %", "yes"; None where it does not fit."""
    words = text.strip()
    if isinstance(entry.value, bool):
        return {"yes": True, "no": False}.get(words)
    if isinstance(entry.value, str):
        return words
    found = _NUMBER.fullmatch(words)
    if found is None or found[2] != ("" if entry.unit in ("1", "-") else entry.unit):
        return None
    return float(found[1])


def load_profiles(names: Iterable[str], work_begins: date | None, overrides: Mapping[str, Override] | None = None,
                  mark: Mark | None = None) -> Profiles:
    """The profiles of these names, each once, for work that begins on a day. Raises ProfileError for a name that does not ship."""
    return Profiles([load_profile(name) for name in dict.fromkeys(names)], work_begins, overrides, mark)
