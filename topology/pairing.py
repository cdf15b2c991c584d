# SPDX-License-Identifier: MIT
"""Which object of an old site file is which of a new one where its id has changed: circuits with other ways or on other boards, renamed devices."""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

__all__ = ["Paired", "Said", "pair", "translated"]

Said = Mapping[str, Mapping[str, tuple[str, str]]]
"""Facts by the id of their object and by the field, each as (text, word of the object); the field "" is the object itself."""
Paired = dict[str, str]
"""New ids by old ones."""
LIKENESS = 0.5
"""Share of equal facts from which two circuits of one name are taken for one and the same. Own choice."""
PLACED = ("way",)
"""Facts that say where a thing is and not what it is."""


def pair(old: Said, new: Said) -> Paired:
    """New ids by old ones, for objects that only one file has by their id. A doubtful pair is none: it stays taken away and added."""
    gone = [id_ for id_ in old if id_ not in new and "" in old[id_]]
    come = [id_ for id_ in new if id_ not in old and "" in new[id_]]
    found: Paired = {}
    for one, other in _circuits(old, new, gone, come):
        found[one] = other
        found |= _members(old, new, one, other)
    while more := _alike(old, new, [i for i in gone if i not in found], [i for i in come if i not in found.values()], found):
        found |= more
    return found


def translated(text: str, found: Paired) -> str:
    """A text of the old file with the ids of the new one."""
    return " ".join(found.get(word, word) for word in text.split(" "))


def _circuits(old: Said, new: Said, gone: list[str], come: list[str]) -> Iterator[tuple[str, str]]:
    """Circuits that bear one name on both sides, each the only one of that name, and are alike in what they consist of."""
    before, after = _by_name(old, gone), _by_name(new, come)
    for name in before.keys() & after.keys():
        if len(before[name]) == len(after[name]) == 1 and _likeness(old, new, before[name][0], after[name][0]) >= LIKENESS:
            yield before[name][0], after[name][0]


def _by_name(said: Said, ids: list[str]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for id_ in ids:
        if said[id_][""][1] == "circuit" and said[id_].get("name", ("", ""))[0]:
            found[said[id_]["name"][0]].append(id_)
    return found


def _likeness(old: Said, new: Said, one: str, other: str) -> float:
    """Share of the facts of two circuits and of what stands in them that are the same."""
    a, b = _whole(old, one), _whole(new, other)
    return len(a & b) / max(1, len(a | b))


def _whole(said: Said, circuit: str) -> set[tuple[str, str, str]]:
    """The facts of a circuit and of its members, without the id of the circuit itself."""
    ids = [id_ for id_ in said if id_ == circuit or id_.startswith(f"{circuit}.")]
    return {(id_.removeprefix(circuit), fact, text.replace(f"{circuit}.", ".")) for id_ in ids for fact, (text, _) in said[id_].items() if fact not in PLACED}


def _members(old: Said, new: Said, one: str, other: str) -> Paired:
    """What has no id of its own goes by that of its circuit: MSB.5.cable is SB.2.cable."""
    within = {id_: f"{other}{id_.removeprefix(one)}" for id_ in old if id_.startswith(f"{one}.")}
    return {a: b for a, b in within.items() if a not in new and b in new and b not in old and old[a][""][1] == new[b][""][1]}


def _alike(old: Said, new: Said, gone: list[str], come: list[str], found: Paired) -> Paired:
    """Things of their own name or segments whose facts are all the same, each the only such one on its side."""
    before: dict[object, list[str]] = defaultdict(list)
    after: dict[object, list[str]] = defaultdict(list)
    for ids, said, into in ((gone, old, before), (come, new, after)):
        for id_ in ids:
            word = said[id_][""][1]
            if "." not in id_ or word == "segment":
                texts = {fact: translated(text, found) if said is old else text for fact, (text, _) in said[id_].items() if fact not in PLACED}
                into[word, tuple(sorted(texts.items()))].append(id_)
    return {before[key][0]: after[key][0] for key in before.keys() & after.keys() if len(before[key]) == len(after[key]) == 1}
