# SPDX-License-Identifier: MIT
"""Inspection and test record: each test with what is expected and the limit, and room for the result, or the result of the site file."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import field
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.electrical import solve
from topology.electrical.conductors_of import impedance_of
from topology.errors import CannotTell, Unknown
from topology.fault import COLD_DEGC
from topology.flow import Flows
from topology.kinds import Said
from topology.profiles import load_profile
from topology.quantity import QuantityError, parse_quantity, show_quantity
from topology.records import TestResult
from topology.site import (Array, Battery, Board, Breaker, Bus, Cable, Circuit, CurrentTransformer, Electrode, Generator, Inlet,
                           NeutralEarthLink, Storage)
from topology.soil import guarded, soil_part, touch_voltage

from .columns import ID, NAME, STATUS, Cell, Column, Table, build, dotted, given
from .computed import CANNOT_TELL
from .sourced import facts_of, profiles_of
from .walk import chains, kind_of, members

__all__ = ["outside", "tests"]

LIVE = {"yes": "live: licensed person only", "no": "dead"}
NUMBER = re.compile(r"([≤≥]) (\S+) (\S+)")


@dataclass(frozen=True)
class _On:
    """An object that tests are for. fills: what the words of its tests leave open."""

    id: str
    fills: Mapping[str, str] = field(default_factory=dict)


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
    objects = {on: list(find(flows)) for on, find in FOR.items()}
    made: list[_Test] = []
    for row in rows:
        for at in objects[row["on"]]:
            made.append(_made(flows, row, at, results.pop((at.id, row["test"]), None)))
    made.sort(key=lambda test: _thing(flows, test.object).mark)
    yield from made
    for (id_, test), result in results.items():  # entered, though nothing here asked for it
        yield _Test(id_, given(flows.objects.get(id_), "name", ""), test, "", None, None, "site file", "", None, result)


def _thing(flows: Flows, id_: str) -> Any:
    """An object, or what only the graph has."""
    return flows.objects[id_] if id_ in flows.objects else flows.obj(id_)


def _results(flows: Flows) -> dict[tuple[str, str], TestResult]:
    """The last result of each test of each object."""
    said = flows.site.tests if isinstance(flows.site.tests, tuple) else ()
    return {(r.of.id, r.test): r for r in said if isinstance(r, TestResult) and isinstance(r.of, Said) and isinstance(r.test, str)}


def _made(flows: Flows, row: dict[str, str], at: _On, result: TestResult | None) -> _Test:
    obj = _thing(flows, at.id)
    found = at.fills.get("found", row["found"]) if "{" in row["source"] else row["found"]

    def fill(words: str) -> str:
        return words.format(**at.fills) if "{" in words else words

    return _Test(at.id, given(obj, "name", ""), row["test"], LIVE[row["live"]], fill(row["expected"]), fill(row["limit"]),
                 fill(row["source"]), found, getattr(obj, "status", None), result)


def outside(limit: str, result: str) -> bool:
    """Whether a result is outside a limit of the form `≤ 1.92 ohm`; False where one of them is no such number."""
    bound = NUMBER.match(limit)
    if bound is None:
        return False
    try:
        unit = _unit_of(bound[3])
        value = parse_quantity(result.strip().lstrip("<>≤≥ "), unit)
        edge = parse_quantity(f"{bound[2]} {bound[3]}", unit)
    except QuantityError:
        return False
    return value > edge if bound[1] == "≤" else value < edge


def _unit_of(spelling: str) -> str:
    """The unit that the program counts in, by one of its spellings. Raises QuantityError for another word."""
    for unit in ("ohm", "V", "s", "A", "W", "VA", "%"):
        try:
            parse_quantity(f"1 {spelling}", unit)
        except QuantityError:
            continue
        return unit
    return "ohm"


# ---- what is tested --------------------------------------------------------------------------------------------------

def _boards(flows: Flows) -> Iterator[_On]:
    yield from (_On(o.id) for o in flows.objects.values() if isinstance(o, Board))


def _main_earth(flows: Flows) -> Iterator[_On]:
    yield from (_On(o.id) for o in flows.objects.values() if isinstance(o, NeutralEarthLink))


def _circuits(flows: Flows) -> Iterator[Circuit]:
    yield from (placed.chain for placed in chains(flows) if isinstance(placed.chain, Circuit))


def _with_cable(flows: Flows) -> Iterator[_On]:
    for circuit in _circuits(flows):
        if any(isinstance(item, Cable) for item in members(circuit)):
            yield _On(circuit.id, {"r1r2": _computed("{:.3g} ohm at 20 °C", _both_ways, flows, circuit)})


def _computed(words: str, question: Callable[[Flows, Circuit], float], flows: Flows, circuit: Circuit) -> str:
    """The answer of the electrical computation in words, or that it cannot tell."""
    try:
        return words.format(question(flows, circuit))
    except CannotTell:
        return CANNOT_TELL


def _both_ways(flows: Flows, circuit: Circuit) -> float:
    """Resistance of phase and protective conductor of the circuit's own cables in line, R1 + R2, at 20 °C [ohm].

    Of a ring final a quarter of what its whole length has: the value at its middle.
    """
    solved, ohm = solve(flows), 0.0
    for cable in (item for item in circuit.in_line if isinstance(item, Cable)):
        z = impedance_of(solved.given, cable, solved.link(solved.cable_node(cable)), COLD_DEGC)
        if z.protective is None:
            raise CannotTell(Unknown(cable.mark, f"protective conductor of {cable.id}"))
        ohm += (z.phase + z.protective).real
    return ohm


def _loop(flows: Flows, circuit: Circuit) -> float:
    """Earth-fault loop impedance at the end of the circuit, conductors hot [ohm]."""
    solved = solve(flows)
    return solved.faults.loop(solved.end_of(circuit))


def _largest_loop(flows: Flows, circuit: Circuit) -> float:
    """Largest earth-fault loop impedance at which the device before the end of the circuit trips at once [ohm]."""
    solved = solve(flows)
    end = solved.end_of(circuit)
    ohm = solved.faults.largest_loop(end)
    if ohm is None:
        raise CannotTell(Unknown(circuit.mark, f"time-current curve before {circuit.id}"))
    return ohm


def _fault(flows: Flows, circuit: Circuit) -> float:
    """Largest prospective fault current at the first device of the circuit [kA]."""
    solved = solve(flows)
    return solved.faults.largest(solved.start_of(circuit)).ampere / 1000


def _breakers(flows: Flows) -> Iterator[tuple[Circuit, Breaker]]:
    """Circuits with a cable and the circuit-breaker in line."""
    for circuit in _circuits(flows):
        items = list(members(circuit))
        breaker = next((item for item in items if isinstance(item, Breaker)), None)
        if breaker is not None and any(isinstance(item, Cable) for item in items):
            yield circuit, breaker


def _with_breaker(flows: Flows) -> Iterator[_On]:
    for circuit, breaker in _breakers(flows):
        words, source = "TBC", "curve or rating is not known"
        if isinstance(breaker.curve, str) and isinstance(breaker.rating, float):
            words = _computed("≤ {:.3g} ohm", _largest_loop, flows, circuit)
            source = solve(flows).given.figure("trip-basis").reference
        if any(soil_part(item.id, flows) is not None for item in members(circuit) if item.id in flows.graph):
            words, source = "by the electrode and the residual current device", touch_voltage(flows).reference
        loop = _computed("{:.3g} ohm computed, conductors hot", _loop, flows, circuit)
        yield _On(circuit.id, {"zs": words, "zs_source": source, "loop": loop})


def _with_capacity(flows: Flows) -> Iterator[_On]:
    for circuit, breaker in _breakers(flows):
        known = isinstance(breaker.breaking, float)
        fault = _computed("{:.2g} kA at most, computed", _fault, flows, circuit)
        yield _On(circuit.id, {"breaking": show_quantity(breaker.breaking, "A") if known else "TBC", "fault": fault})


def _residual(flows: Flows) -> Iterator[_On]:
    for obj in flows.objects.values():
        if hasattr(obj, "residual"):
            delayed = isinstance(obj.type_, str) and obj.type_ in ("S", "A-S")
            rated = "TBC" if isinstance(obj.residual, Unknown) else show_quantity(obj.residual, "A")
            yield _On(obj.id, {"residual": rated, "rcd": "≤ 500 ms, not under 130 ms" if delayed else "≤ 300 ms"})


def _electrodes(flows: Flows) -> Iterator[_On]:
    for node, obj in flows.graph.nodes(data="obj"):
        if isinstance(obj, Electrode):
            most = _most_to_earth(flows, node)
            fills = ("", "", "value by the system of earthing: ask local rules", "memory") if most is None else (
                "" if isinstance(obj.resistance, Unknown) else f"{show_quantity(obj.resistance, 'ohm')} as the file says", *most)
            yield _On(node, dict(zip(("ra", "ra_most", "ra_source", "found"), fills, strict=True)))


def _most_to_earth(flows: Flows, electrode: str) -> tuple[str, str, str] | None:
    """The largest resistance that an electrode may have where the earth-fault current returns through the soil, in words, its source and how that was
    found; None elsewhere. The coarsest residual current device decides.
    """
    part = soil_part(electrode, flows)
    residuals = [flows.objects[name].residual for name, behind in guarded(flows).items() if part is not None and soil_part(behind[0], flows) is part]
    if part is None or not residuals or any(isinstance(r, Unknown) for r in residuals):
        return None
    entry = touch_voltage(flows)
    return f"≤ {entry.si / max(residuals):.0f} ohm", entry.reference, entry.found


def _three_phases(flows: Flows) -> Iterator[_On]:
    for board in _boards(flows):
        if board.id in flows.graph and len(conductors.phase_names(flows.phases_at(board.id))) == 3:
            yield board


def _feeding(flows: Flows) -> Iterator[_On]:
    """Sources that run beside the supply, with the limit of the voltage rise of the first profile."""
    entry = flows.profiles.peek("voltage-rise-total") or load_profile("iec").limit("voltage-rise-total")
    words = "TBC" if entry.value is None else f"≤ {show_quantity(entry.value, entry.unit)}"
    fills = {"rise": words, "rise_source": entry.source, "found": entry.found}
    yield from (_On(node, fills) for node in flows.sources if not isinstance(flows.obj(node), Generator | Inlet))


def _of(cls: Any) -> Callable[[Flows], Iterator[_On]]:
    return lambda flows: (_On(o.id) for o in flows.objects.values() if isinstance(o, cls))


def _storage(flows: Flows) -> Iterator[_On]:
    for node in flows.sources:
        if isinstance(flows.obj(node), Storage) or isinstance(getattr(flows.obj(node), "battery", None), Battery):
            yield _On(node)


def _backup(flows: Flows) -> Iterator[_On]:
    yield from (_On(node) for node in flows.backs_up)


def _sensors(flows: Flows) -> Iterator[_On]:
    for sensor in flows.objects.values():
        if isinstance(sensor, CurrentTransformer):
            phase = " ".join(sensor.phase) if isinstance(sensor.phase, tuple) else "TBC"
            yield _On(sensor.id, {"phase": phase, "p1": f"P1 {sensor.P1}" if given(sensor, "P1") is not None else "P1 TBC"})


def _buses(flows: Flows) -> Iterator[_On]:
    for bus in flows.objects.values():
        if isinstance(bus, Bus):
            one = dotted(kind_of(flows, bus), "terminator")
            ends = [end for end in bus.terminators if isinstance(end, Said)] if isinstance(bus.terminators, tuple) else []
            known = isinstance(one, float) and ends
            words = f"{show_quantity(one / len(ends), 'ohm', 3)}, {len(ends)} terminators" if known else "TBC"
            yield _On(bus.id, {"bus": words, "bond": _bonds(bus)})


def _bonds(bus: Bus) -> str:
    bonds = [dotted(segment, "shield_bond") for segment in bus.segments] if isinstance(bus.segments, tuple) else []
    ends = [str(end) for bond in bonds for end in (bond if isinstance(bond, tuple) else ("TBC",))]
    return ", ".join(dict.fromkeys(ends)) or "TBC"


def _shielded(flows: Flows) -> Iterator[_On]:
    for at in _buses(flows):
        shield = dotted(kind_of(flows, flows.objects[at.id]), "shield")
        if isinstance(shield, Unknown) or shield:
            yield at


def _limited(flows: Flows) -> Iterator[_On]:
    export = dotted(flows.site.limits, "export")
    if isinstance(export, float) and flows.root:
        yield _On(flows.root, {"export": show_quantity(export, "W")})


FOR: dict[str, Callable[[Flows], Iterator[_On]]] = {
    "board": _boards, "main earth": _main_earth, "circuit with cable": _with_cable, "circuit with breaker": _with_breaker,
    "circuit with breaking capacity": _with_capacity, "residual": _residual, "electrode": _electrodes, "three phases": _three_phases,
    "source": _feeding, "array": _of(Array), "battery": _of(Battery), "storage": _storage, "backup": _backup, "sensor": _sensors,
    "bus": _buses, "shielded bus": _shielded, "site with limit": _limited}
"""What tests are for, by the words of `facts/tests.csv`."""


def _entered(name: str) -> Callable[[_Test], Cell]:
    """A fact of the result that was entered; nothing where none was."""
    def cell(test: _Test) -> Cell:
        value = getattr(test.result, name, None)
        return value if value is None or isinstance(value, Unknown) else str(value)
    return cell


def _verdict(test: _Test) -> Cell:
    result = getattr(test.result, "result", None)
    return "OUTSIDE" if isinstance(result, str) and isinstance(test.limit, str) and outside(test.limit, result) else None


COLUMNS: tuple[tuple[Column, Callable[[_Test], Any]], ...] = (
    (ID, lambda t: t.object),
    (NAME, lambda t: t.name),
    (Column("test"), lambda t: t.test),
    (Column("part is"), lambda t: t.live),
    (Column("expected"), lambda t: t.expected),
    (Column("limit"), lambda t: t.limit),
    (Column("result", room=12), _entered("result")),
    (Column("against the limit"), _verdict),
    (Column("by", room=10), _entered("by")),
    (Column("instrument", room=12), _entered("instrument")),
    (Column("date", room=10), _entered("date")),
    (Column("remark", room=16), _entered("remark")),
    (Column("basis", aside=True), lambda t: t.source),
    (Column("basis seen as"), lambda t: t.found),
    (STATUS, lambda t: t.status),
)
