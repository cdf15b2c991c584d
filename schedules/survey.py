# SPDX-License-Identifier: MIT
"""Survey list: what is still to be found out, what was found, and what on the site is not ours, each with its evidence."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import field
from typing import Any

from topology import checks
from topology.dataclass import dataclass
from topology.errors import Mark, Unknown
from topology.fields import fields_of
from topology.flow import Flows
from topology.kinds import Way
from topology.rule import run_rules
from topology.site import Battery, Changeover, Circuit, Found, Part, Thing
from topology.unsaid import unsaid_facts

from .columns import ID, NAME, Cell, Column, Table, build, given, joined
from .equipment import location
from .isolating import source_switches, surroundings

__all__ = ["survey"]

_ = checks  # importing them registers the rules


@dataclass(frozen=True, eq=False)
class _Line:
    """A line of the list. thing: what it speaks of; what; kind; asked: rules that cannot tell without it."""

    thing: Any
    kind: str
    what: Cell
    mark: Mark
    found: Any = None
    asked: list[str] = field(default_factory=list)


def survey(flows: Flows) -> Table:
    """The survey list. What is open comes first, in the order of the file, then what was found, then what is not the customer's."""
    lines = [*_open(flows), *_found(flows), *_not_ours(flows)]
    return build("survey", "Survey list", columns_of(flows), lines)


def _open(flows: Flows) -> list[_Line]:
    """What the file says is open (TBC), what a check asks for and does not get, and what else is needed and not said; each place of the file once."""
    lines: dict[tuple[Mark, str], _Line] = {}
    for owner, unknown in _unknowns(flows):
        line = lines.get((unknown.mark, ""))
        what = unknown.what if line is None else _both(str(line.what), unknown.what)
        lines[unknown.mark, ""] = _Line(owner, "to be found out", what, unknown.mark, given(owner, "found"))
    for finding in run_rules(flows):
        for missing in finding.missing:
            key = (missing.mark, "" if (missing.mark, "") in lines else missing.what)
            thing = flows.objects.get(finding.objects[0]) if finding.objects else None
            line = lines.setdefault(key, _Line(thing, "asked by a check", missing.what, missing.mark, given(thing, "found")))
            if finding.rule not in line.asked:
                line.asked.append(finding.rule)
    for thing, unknown in (*unsaid_facts(flows), *_nowhere(flows)):
        lines.setdefault((unknown.mark, unknown.what), _Line(thing, "not said", unknown.what, unknown.mark, given(thing, "found")))
    return sorted(lines.values(), key=lambda line: line.mark)


def _nowhere(flows: Flows) -> Iterator[tuple[Thing, Unknown]]:
    """Sources, batteries and the switches by which they are isolated of which the file does not say where they stand: signs and application name it."""
    isolating = (node for s in source_switches(flows) for node in (*s.outwards, *s.backup, *(dc for dc, _ in s.direct_current if dc)))
    things = (o.id for o in flows.objects.values() if isinstance(o, Battery | Changeover))
    for node in dict.fromkeys((*flows.sources, *isolating, *things)):
        thing = flows.objects[node]
        placed = surroundings(flows, f"{node}.load" if isinstance(thing, Changeover) else node)
        at_source = node.partition(".")[0] in flows.sources and "." in node
        if not placed and not at_source and thing.place is None and (isinstance(thing.status, Unknown) or thing.status != "removed"):
            yield thing, Unknown(thing.mark, f"place of {thing.id}", given=False)


def _both(first: str, second: str) -> str:
    """Two open facts of one thing in one line: cores of W1 and length of W1 are `cores, length of W1`."""
    facts, of, thing = first.rpartition(" of ")
    return f"{facts}, {second.removesuffix(f'{of}{thing}')}{of}{thing}" if of and second.endswith(f"{of}{thing}") else f"{first}, {second}"


def _unknowns(flows: Flows) -> Iterator[tuple[Any, Unknown]]:
    """Every value that the file gives as open or that could not be read, with the thing that it belongs to."""
    todo: list[tuple[Any, Any]] = [(None, flows.site)]
    while todo:
        owner, value = todo.pop()
        if isinstance(value, Unknown):
            if value.given or value.silent:
                yield owner, value
        elif isinstance(value, Part):
            thing = value if isinstance(value, Thing) else owner
            todo.extend((thing, getattr(value, f.name)) for f in reversed(fields_of(type(value))) if f.name in value.marks)
        elif isinstance(value, dict):
            todo.extend((owner, inner) for inner in reversed(list(value.values())))
        elif isinstance(value, tuple):
            todo.extend((owner, inner) for inner in reversed(value) if isinstance(inner, Part | Unknown | tuple))


def _found(flows: Flows) -> Iterator[_Line]:
    for thing in flows.objects.values():
        found = given(thing, "found")
        if isinstance(found, Found):
            yield _Line(thing, "found", thing.word, found.mark, found)


def _not_ours(flows: Flows) -> Iterator[_Line]:
    for thing in flows.objects.values():
        owner = given(thing, "owner", "customer")
        if isinstance(owner, Unknown) or owner != "customer":
            yield _Line(thing, "not ours", joined([thing.word, "of", owner]), thing.mark, given(thing, "found"))


def columns_of(flows: Flows) -> tuple[tuple[Column, Callable[[_Line], Any]], ...]:
    """The columns; a line that belongs to no thing bears the id `site`."""
    return (
        (ID, lambda n: getattr(n.thing, "id", None) or "site"),
        (NAME, lambda n: _name(flows, n.thing)),
        (Column("kind"), lambda n: n.kind),
        (Column("what"), lambda n: _what(n)),
        (Column("location"), lambda n: location(flows, n.thing) if n.thing is not None else None),
        (Column("seen"), lambda n: n.found.seen if isinstance(n.found, Found) else None),
        (Column("evidence"), lambda n: _evidence(n)),
        (Column("date"), lambda n: _date(n)),
        (Column("by"), lambda n: n.found.by if isinstance(n.found, Found) else None),
        (Column("asked by checks"), lambda n: ", ".join(n.asked)),
        (Column("place in the site file"), lambda n: f"line {n.mark.line}, column {n.mark.column}"),
        (Column("answer", room=24), lambda n: None),
    )


def _name(flows: Flows, thing: Any) -> Cell:
    """The name of a thing, else that of its circuit with board and way: the id of a cable that nobody named is nowhere to be read on site."""
    own = given(thing, "name", "")
    id_ = getattr(thing, "id", "")
    if isinstance(own, Unknown) or own or "." not in str(id_):
        return own
    circuit = flows.objects.get(id_) if isinstance(flows.objects.get(id_), Circuit) else flows.circuit_of.get(id_)
    if not isinstance(circuit, Circuit) or not isinstance(circuit.way, Way):
        return own
    words = f"{circuit.id.partition('.')[0]} way {circuit.way}"
    return f"{circuit.name}, {words}" if isinstance(circuit.name, str) and circuit.name else words


def _what(line: _Line) -> Cell:
    """The fact without the id, which has a column of its own: `rating`, not `rating of SF`."""
    id_ = getattr(line.thing, "id", None) or "site"
    return re.sub(rf"( of fault levels)? of {re.escape(id_)}(\.[a-z_]+)?$", "", line.what) if isinstance(line.what, str) else line.what


def _evidence(line: _Line) -> Cell:
    """How far the line is evidenced; nothing has been seen of what is open and not spoken of."""
    if not isinstance(line.found, Found):
        return "none" if line.kind != "not ours" else None
    return line.found.evidence


def _date(line: _Line) -> Cell:
    if not isinstance(line.found, Found):
        return None
    return line.found.date if isinstance(line.found.date, Unknown) else str(line.found.date)
