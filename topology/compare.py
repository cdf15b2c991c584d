# SPDX-License-Identifier: MIT
"""Two site files compared: object by object by their ids, fact by fact, with the places of both."""
from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from .dataclass import dataclass
from .errors import Mark, Unknown
from .fields import Field, fields_of
from .kinds import Said
from .pairing import Paired, pair, translated
from .read import ReadSite, equipment_library
from .site import EquipmentType, Part

__all__ = ["Difference", "compare", "compare_json", "compare_text"]

MEMBERS = ("circuits", "segments")
"""Lists whose members have lines of their own, and whose order means nothing."""
SITE = "site"
"""Stands for the id where a fact belongs to no object."""


@dataclass(frozen=True)
class Difference:
    """One difference. fact: the field in the words of the file, "" for the object as a whole; old, new: "" where there is none.

    change: added, taken away, changed; of an object as a whole also renamed, of a circuit renumbered (other ways) or moved (another board).
    """

    id: str
    word: str
    fact: str
    change: str
    old: str
    new: str
    at_old: Mark | None
    at_new: Mark | None

    @property
    def place_old(self) -> str:
        """Place in the first file."""
        return _place(self.at_old)

    @property
    def place_new(self) -> str:
        """Place in the second file."""
        return _place(self.at_new)


@dataclass(frozen=True)
class _Fact:
    """What a file says of one field of one object."""

    text: str
    mark: Mark
    word: str


_Facts = dict[str, dict[str, _Fact]]
"""Facts by the id of their object and by the field; the field "" is the object itself."""

COUNTED = ("entry", "entries")
"""How a list ends of which only the number of its members can be said."""


def compare(old: ReadSite, new: ReadSite) -> tuple[Difference, ...]:
    """What differs between two sites, in the order of the first file, then what only the second has. Marks and comments do not count.

    What only bears another id in the second file (see pairing) goes by that, is said once, and is compared like the rest.
    """
    before, after = _facts(old), _facts(new)
    other = pair(_plain(before), _plain(after))
    found: list[Difference] = []
    for id_ in dict.fromkeys([*before, *(id_ for id_ in after if id_ not in other.values())]):
        new_id = other.get(id_, id_)
        if id_ in other:
            found += _renamed(id_, new_id, before[id_], after[new_id])
        found += _without_counts(list(_of_object(new_id, before.get(id_, {}), after.get(new_id, {}), other)))
    return tuple(found)


def _plain(facts: _Facts) -> dict[str, dict[str, tuple[str, str]]]:
    return {id_: {name: (fact.text, fact.word) for name, fact in own.items()} for id_, own in facts.items() if id_ != SITE}


def _renamed(old_id: str, new_id: str, before: dict[str, _Fact], after: dict[str, _Fact]) -> Iterator[Difference]:
    """That a thing bears another id; nothing for what only goes by the id of its circuit."""
    word, marks = before[""].word, (before[""].mark, after[""].mark)
    if word == "circuit":
        change = "renumbered" if old_id.partition(".")[0] == new_id.partition(".")[0] else "moved"
        old, new = (f"{id_}, way {facts['way'].text}" if "way" in facts else id_ for id_, facts in ((old_id, before), (new_id, after)))
        yield Difference(new_id, word, "", change, old, new, *marks)
    elif "." not in old_id:
        yield Difference(new_id, word, "", "renamed", old_id, new_id, *marks)


def compare_text(found: tuple[Difference, ...]) -> str:
    """The differences for people, one a line."""
    lines = [_line(d) for d in found]
    return "\n".join([*lines, f"{len(found)} difference{'' if len(found) == 1 else 's'}."])


def compare_json(found: tuple[Difference, ...]) -> str:
    """The differences for programs, as one JSON document."""
    rows = [{"id": d.id, "word": d.word, "fact": d.fact, "change": d.change, "old": d.old, "new": d.new, "at_old": _at(d.at_old),
             "at_new": _at(d.at_new)} for d in found]
    return json.dumps({"format": 1, "same": not found, "differences": rows}, ensure_ascii=False, indent=1)


def _line(d: Difference) -> str:
    places = ", ".join(place for place in (d.place_old, d.place_new) if place)
    what = f"{d.id}  {d.fact}" if d.fact else f"{d.id}  {d.word}"
    said = {"added": d.new, "taken away": d.old}.get(d.change, f"{d.old} → {d.new}")
    return f"{what}  {d.change}{f': {said}' if said.strip() else ''}  ({places})"


def _place(mark: Mark | None) -> str:
    return f"{mark.file}:{mark.line}:{mark.column}" if mark is not None else ""


def _at(mark: Mark | None) -> dict[str, Any] | None:
    return None if mark is None else {"file": mark.file, "line": mark.line, "column": mark.column}


def _of_object(id_: str, before: dict[str, _Fact], after: dict[str, _Fact], other: Paired) -> Iterator[Difference]:
    """An object that only one file has is one difference; else each fact that differs."""
    if id_ != SITE and ("" in before) != ("" in after):
        one, change = (before, "taken away") if "" in before else (after, "added")
        facts = ", ".join(f"{fact} {said.text}" for fact, said in one.items() if fact)
        mark = one[""].mark
        old, new, at = (facts, "", (mark, None)) if change == "taken away" else ("", facts, (None, mark))
        yield Difference(id_, one[""].word, "", change, old, new, *at)
        return
    moved = id_ in other.values()
    for fact in dict.fromkeys([*before, *after]):
        a, b = before.get(fact), after.get(fact)
        if not (moved and fact == "way") and not _same(fact, a, b, other):
            change = "changed" if a and b else "taken away" if a else "added"
            word = a.word if a else b.word if b else ""
            places = (a.mark if a else None, b.mark if b else None)
            yield Difference(id_, word, fact, change, a.text if a else "", b.text if b else "", *places)


def _without_counts(found: list[Difference]) -> list[Difference]:
    """Without `1 entry → 2 entries` where what differs in the entries has lines of its own."""
    inside = [d.fact for d in found]
    return [d for d in found if not (d.old.endswith(COUNTED) and d.new.endswith(COUNTED) and any(fact.startswith(f"{d.fact} ") for fact in inside))]


def _same(fact: str, a: _Fact | None, b: _Fact | None, other: Paired) -> bool:
    """Whether a fact is the same in both files, ids put into those of the second; of a list of members, what is left of it on both sides:
    a member that came, went or moved has a line of its own.
    """
    if a is None or b is None:
        return a is b
    if fact == "name" or a.text == b.text:
        return a.text == b.text
    old, new = translated(a.text, other), b.text
    if fact in MEMBERS and not f"{old} {new}".endswith(COUNTED):
        one, two = old.split(), new.split()
        return [member for member in one if member in two] == [member for member in two if member in one]
    return old == new


def _facts(read: ReadSite) -> _Facts:
    facts: _Facts = {SITE: {}}
    if read.site is not None:
        _walk(read.site, SITE, "", facts, set(read.objects))
    shipped = equipment_library()
    for name, type_ in read.types.items():
        if type_ is not shipped.get(name) and f"type {name}" not in facts:
            _walk(type_, f"type {name}", "", facts, set(read.objects))
    return facts


def _walk(part: Part, id_: str, trail: str, facts: _Facts, known: set[str]) -> None:
    """Note every fact of an object and of what stands in it."""
    own = facts.setdefault(id_, {})
    if id_ != SITE and not trail:
        own[""] = _Fact("", part.mark, part.word)
    for f in fields_of(type(part)):
        if f.name in part.marks and f.name != "own_id":
            _value(getattr(part, f.name), f, part, id_, f"{trail}{f.key}", facts, known)


def _value(value: Any, f: Field, part: Part, id_: str, fact: str, facts: _Facts, known: set[str]) -> None:
    """Note the value of one field: what has an id is an object of its own and stands here by its id."""
    mark = part.marks[f.name]
    if isinstance(value, Part):
        _part(value, part, mark, id_, fact, facts, known)
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            if isinstance(inner, Part):
                _part(inner, part, inner.mark, id_, f"{fact} {name}", facts, known, listed=True)
            else:
                facts[id_][f"{fact} {name}"] = _Fact(_text(inner, f), mark, part.word)
    elif isinstance(value, tuple) and any(isinstance(inner, Part) for inner in value):
        facts[id_][fact] = _Fact(_names(value, known), mark, part.word)
        for number, inner in enumerate(value, 1):
            if isinstance(inner, Part):
                _part(inner, part, inner.mark, id_, f"{fact} {number}", facts, known, listed=True)
    else:
        facts[id_][fact] = _Fact(_text(value, f), mark, part.word)


def _part(value: Part, part: Part, mark: Mark, id_: str, fact: str, facts: _Facts, known: set[str], listed: bool = False) -> None:
    """A part with an id of its own is noted as an object; any other belongs to the object around it."""
    if value.registered and value.id in known:
        if not listed:
            facts[id_][fact] = _Fact(value.id, mark, part.word)
        _walk(value, value.id, "", facts, known)
    elif isinstance(value, EquipmentType):
        _walk(value, fact.replace("types ", "type ", 1), "", facts, known)
    else:
        _walk(value, id_, f"{fact} ", facts, known)


def _names(value: tuple[Any, ...], known: set[str]) -> str:
    """What a list holds, by ids; only how many where nothing in it has one."""
    names = [_name(inner, known) for inner in value]
    return f"{len(names)} entr{'y' if len(names) == 1 else 'ies'}" if set(names) <= {"·", "TBC"} else " ".join(names)


def _name(inner: Any, known: set[str]) -> str:
    if isinstance(inner, Part):
        return inner.id if inner.registered and inner.id in known else "·"
    return "TBC" if isinstance(inner, Unknown) else str(inner.id if isinstance(inner, Said) else inner)


def _text(value: Any, f: Field) -> str:
    shown = "TBC" if isinstance(value, Unknown) else f.kind.show(value)
    return " ".join(map(str, shown)) if isinstance(shown, list | tuple) else str(shown)
