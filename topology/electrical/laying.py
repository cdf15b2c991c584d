# SPDX-License-Identifier: MIT
"""Which method of installation the words of a way of laying stand for: by the user's own tables, else by the profiles of the site."""
from __future__ import annotations

from collections.abc import Iterator

from ..dataclass import dataclass
from ..errors import CannotTell, Unknown
from ..profiles import LimitEntry, load_profile
from ..site import CablePart
from .given import Given, known

__all__ = ["Laying", "laying_of", "words_of"]

PREFIX = "laying-"
"""How the ids of profile entries begin that say what a way of laying stands for: `laying-in-conduit`, value `B2 enclosed`."""


@dataclass(frozen=True, slots=True)
class Laying:
    """method: of the capacity tables; arrangement: of the grouping tables; words: of the site file; source: who says so, and how that was seen."""

    words: str
    method: str
    arrangement: str
    source: str
    found: str


def laying_of(given: Given, part: CablePart) -> Laying:
    """The method for a part of a cable. Raises CannotTell where nothing says what its words stand for."""
    said = known(part.installed)
    if said not in given.layings:
        given.layings[said] = next(_found(given, said), None)
    found = given.layings[said]
    if found is None:
        raise CannotTell(Unknown(part.mark, f"method of installation for '{' '.join(said)}'"))
    return found


def _found(given: Given, said: tuple[str, ...]) -> Iterator[Laying]:
    """What the words may stand for, the first being meant: of several words the one that the tables or profiles name first."""
    for row in given.tables.rows("methods"):
        if row["words"] in said:
            yield Laying(str(row["words"]), str(row["method"]), str(row["arrangement"]), row.source, row.found)
    for id_ in _ids(given):
        words = words_of(id_)
        entry = _entry(given, id_) if words in said else None
        if entry is not None and isinstance(entry.value, str):
            method, _, arrangement = entry.value.partition(" ")
            yield Laying(words, method, arrangement or "enclosed", entry.reference, entry.found)


def words_of(id_: str) -> str:
    """The words of the site file that an entry speaks of: laying-in-conduit → in conduit, laying-laid-roof-void → laid roof-void."""
    said = id_.removeprefix(PREFIX)
    return said.replace("-", " ", 1) if said.startswith("laid-") else said.replace("-", " ")


def _ids(given: Given) -> Iterator[str]:
    """Ids of entries in order: those of the international profile, whose order says which word counts, then those that only others have."""
    named = [load_profile("iec"), *given.flows.profiles.profiles]
    return (id_ for id_ in dict.fromkeys(id_ for profile in named for id_ in profile.dated) if id_.startswith(PREFIX))


def _entry(given: Given, id_: str) -> LimitEntry | None:
    chosen = given.flows.profiles
    return chosen.peek(id_) or load_profile("iec").find(id_, chosen.on)
