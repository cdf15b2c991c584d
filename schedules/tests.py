# SPDX-License-Identifier: MIT
"""Inspection and test record: each test with what is expected and the limit, and room for the result, or the result of the site file."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.records import TestResult

from .columns import ID, NAME, STATUS, Cell, Column, Table, build, given
from .sourced import facts_of, profiles_of
from .tested import FOR
from .tested_on import On
from .verdict import against

__all__ = ["tests"]

PAPER = ""
LIVE = {"yes": "live: licensed person only", "no": "dead", "paper": PAPER}


@dataclass(frozen=True, eq=False)
class _Test:
    """A test of one object, with its result where the site file has one."""

    object: str
    name: Cell
    test: str
    live: str
    expected: Cell
    limit: Cell
    source: str
    found: str
    status: Cell
    result: TestResult | None


def tests(flows: Flows) -> Table:
    """The inspection and test record, tests in order for each object. A result outside its limit is called so; none is called good."""
    notes = ("Rows marked live need a live board: only a licensed person does them, by local rules.",
             "Limits are proposals by the profile; local rules and the makers' instructions prevail. "
             "A result within its limit is no verdict.")
    return build("tests", "Inspection and test record", COLUMNS, _tests(flows), notes)


def _tests(flows: Flows) -> Iterator[_Test]:
    results = _results(flows)
    named = {*(profiles_of(flows) or ("iec",)), "all"}
    rows = [row for row in facts_of("tests") if named & set(row["profile"].split())]
    objects = {on: [at for at in find(flows) if _stays(_thing(flows, at.id))] for on, find in FOR.items()}
    made: list[_Test] = []
    for row in rows:
        for at in objects[row["on"]]:
            made.append(_made(flows, row, at, _entered_for(flows, results, at.id, row["test"])))
    made.sort(key=lambda test: (test.live == PAPER, _thing(flows, test.object).mark))  # papers come when the tests are done
    yield from made
    for (id_, test), result in results.items():  # entered, though nothing here asked for it
        yield _Test(id_, given(flows.objects.get(id_), "name", ""), test, "", None, None, "site file", "", None, result)


def _thing(flows: Flows, id_: str) -> Any:
    """An object, or what only the graph has."""
    return flows.objects[id_] if id_ in flows.objects else flows.obj(id_)


def _stays(thing: Any) -> bool:
    """Whether a thing is there after the work; one of which that is open is tested too."""
    status = getattr(thing, "status", None)
    return isinstance(status, Unknown) or status != "removed"


def _results(flows: Flows) -> dict[tuple[str, str], TestResult]:
    """The last result of each test of each object."""
    said = flows.site.tests if isinstance(flows.site.tests, tuple) else ()
    return {(r.of.id, r.test): r for r in said if isinstance(r, TestResult) and isinstance(r.of, Said) and isinstance(r.test, str)}


def _entered_for(flows: Flows, results: dict[tuple[str, str], TestResult], id_: str, test: str) -> TestResult | None:
    """The result of a test; of an electrode or a bond it may stand under what that belongs to (NE1 for NE1.electrode)."""
    owner = id_ if id_ in flows.objects else id_.rpartition(".")[0]
    return results.pop((id_, test), None) or results.pop((owner, test), None)


def _made(flows: Flows, row: dict[str, str], at: On, result: TestResult | None) -> _Test:
    obj = _thing(flows, at.id)
    found = at.fills.get("found", row["found"]) if "{" in row["source"] else row["found"]

    def fill(words: str) -> str:
        return words.format(**at.fills) if "{" in words else words

    return _Test(at.id, given(obj, "name", ""), row["test"], LIVE[row["live"]], fill(row["expected"]), fill(row["limit"]),
                 fill(row["source"]), found, getattr(obj, "status", None), result)


def _entered(name: str) -> Callable[[_Test], Cell]:
    """A fact of the result that was entered; nothing where none was."""
    def cell(test: _Test) -> Cell:
        value = getattr(test.result, name, None)
        return value if value is None or isinstance(value, Unknown) else str(value)
    return cell


def _verdict(test: _Test) -> Cell:
    """What is to be said of a result beside its limit: nothing where it is within."""
    result = getattr(test.result, "result", None)
    return against(test.test, str(test.expected or ""), str(test.limit or ""), result) or None if isinstance(result, str) else None


COLUMNS: tuple[tuple[Column, Callable[[_Test], Any]], ...] = (
    (ID, lambda t: t.object),
    (NAME, lambda t: t.name),
    (Column("test", across=True), lambda t: t.test),
    (Column("part is", heads=True), lambda t: t.live),
    (Column("expected"), lambda t: t.expected),
    (Column("limit"), lambda t: t.limit),
    (Column("result", room=12, each=True), _entered("result")),
    (Column("against the limit"), _verdict),
    (Column("by", room=10), _entered("by")),
    (Column("instrument", room=12), _entered("instrument")),
    (Column("date", room=10), _entered("date")),
    (Column("remark", room=16), _entered("remark")),
    (Column("basis", aside=True), lambda t: t.source),
    (Column("basis seen as"), lambda t: t.found),
    (STATUS, lambda t: t.status),
)
