# SPDX-License-Identifier: MIT
"""One figure of a profile, and a profile: figures by id, each in force for work that begins in its time."""
from __future__ import annotations

from datetime import date

from ..dataclass import dataclass

__all__ = ["FOUND", "LimitEntry", "Profile", "Value"]

FOUND = ("text", "second-hand", "memory")
Value = float | bool | str | None
_PREFIX = {"kVA": 1e3, "kW": 1e3, "kA": 1e3, "mA": 1e-3}


@dataclass(frozen=True)
class LimitEntry:
    """One figure, rule, required field, label or edition.

    value      : a number in `unit`, yes or no, words, or None where no figure is known
    found      : how its source was seen: text (where the rule is set or enforced), second-hand, memory
    severity   : what a check that rests on it may say: error, warning or note; never error from memory
    valid_from, valid_until : days on which work that begins then falls under it, both included; None is open
    profile    : the profile that it stands in
    set_by     : who overrode it on this site and why; empty where nobody did
    """

    id: str
    section: str
    what: str
    value: Value
    unit: str
    source: str
    edition: str
    found: str
    severity: str
    valid_from: date | None
    valid_until: date | None
    note: str
    profile: str
    set_by: str = ""

    def in_force(self, on: date) -> bool:
        """Whether work that begins on a day falls under it."""
        return (self.valid_from is None or self.valid_from <= on) and (self.valid_until is None or on <= self.valid_until)

    @property
    def si(self) -> float:
        """The number in the unit without prefix: W, VA, A. Raises TypeError where the value is no number."""
        if isinstance(self.value, bool | str | None):
            raise TypeError(f"{self.id} is no number: {self.value!r}")
        return self.value * _PREFIX.get(self.unit, 1.0)

    @property
    def shown(self) -> str:
        """The value with its unit as people write it."""
        if self.value is None:
            return "no figure is known"
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        text = self.value if isinstance(self.value, str) else f"{self.value:g}"
        return text if self.unit in ("1", "-") else f"{text} {self.unit}"

    @property
    def reference(self) -> str:
        """Where it comes from, in one line, for a finding."""
        edition = f"{self.edition}; " if self.edition != "-" else ""
        seen = {"second-hand": " (second-hand)", "memory": " (from memory)"}.get(self.found, "") if "memory" not in self.source else ""
        decided = f"; {self.set_by}" if self.set_by else ""
        return f"profile {self.profile}, {self.id}: {edition}{self.source}{seen}{decided}"


@dataclass(frozen=True)
class Profile:
    """The figures of one country or operator. date: of this edition of the figures, ISO 8601; over: the profile that an overlay follows."""

    id: str
    date: str
    title: str
    dated: dict[str, tuple[LimitEntry, ...]]
    """for each id its entries, oldest first, their times apart"""
    over: str = ""
    region: str = ""

    def find(self, id_: str, on: date | None = None) -> LimitEntry | None:
        """The entry that is in force for work that begins on a day, the newest without a day; None where there is none."""
        found = [e for e in self.dated.get(id_, ()) if on is None or e.in_force(on)]
        return found[-1] if found else None

    def limit(self, id_: str, on: date | None = None) -> LimitEntry:
        """As `find`. Raises KeyError where the profile has no such entry, or none in force on that day."""
        found = self.find(id_, on)
        if found is None:
            known = f"none in force on {on}" if id_ in self.dated else "no such entry"
            raise KeyError(f"{id_}: profile '{self.id}' has {known}")
        return found

    @property
    def entries(self) -> dict[str, LimitEntry]:
        """The newest entry of each id."""
        return {id_: entries[-1] for id_, entries in self.dated.items()}
