# SPDX-License-Identifier: MIT
"""Boards and circuits as the test record asks for them, with what the electrical computation expects of each."""
from __future__ import annotations

from collections.abc import Iterator

from topology.electrical import solve
from topology.electrical.conductors_of import impedance_of
from topology.errors import CannotTell, Unknown
from topology.fault import COLD_DEGC
from topology.flow import Flows
from topology.graph import Link
from topology.kinds import Said
from topology.quantity import show_quantity
from topology.site import Board, Breaker, Cable, Chain, Circuit, Terminal
from topology.soil import soil_part, touch_voltage

from .sourced import facts_of, profiles_of
from .tested_on import On, computed
from .walk import chains, members

__all__ = ["at_boards", "boards", "ring_finals", "with_cable", "with_capacity", "with_loop"]


def boards(flows: Flows) -> Iterator[On]:
    """Every board."""
    yield from (On(o.id) for o in flows.objects.values() if isinstance(o, Board))


def at_boards(flows: Flows) -> Iterator[On]:
    """Boards that the supply reaches, with loop impedance and fault current there."""
    for board in boards(flows):
        if board.id in solve(flows).tree.index:
            yield On(board.id, {"loop": computed("{:.3g} ohm computed, conductors hot", _loop_at, flows, board.id),
                                "fault": computed("{:.2g} kA at most, computed", _fault_at, flows, board.id)})


def _loop_at(flows: Flows, name: str) -> float:
    solved = solve(flows)
    return solved.faults.loop(solved.node(name))


def _fault_at(flows: Flows, name: str) -> float:
    solved = solve(flows)
    return solved.faults.largest(solved.node(name)).ampere / 1000


def _circuits(flows: Flows) -> Iterator[Circuit]:
    yield from (placed.chain for placed in chains(flows) if isinstance(placed.chain, Circuit))


def with_cable(flows: Flows) -> Iterator[On]:
    """Circuits and terminals of devices with a cable of their own, with R1 + R2.

    Of a ring final it is a quarter of what its whole length has: the value at each outlet.
    """
    before: dict[str, list[Chain]] = {}
    for placed in chains(flows):
        chain = placed.chain
        if isinstance(chain, Circuit | Terminal):
            line = before[chain.id] = [*before.get(placed.group, ()), chain]
            if _wired(chain):
                words = "{:.3g} ohm at 20 °C" + (" from the board" if any(_wired(outer) for outer in line[:-1]) else "")
                yield On(chain.id, {"r1r2": computed(words, _both_ways, flows, line)})


def _wired(chain: Chain) -> bool:
    return any(isinstance(item, Cable) for item in members(chain))


def ring_finals(flows: Flows) -> Iterator[On]:
    """Ring finals, with what each conductor reads from end to end and what an outlet reads with the ends cross-connected."""
    for circuit in _circuits(flows):
        if circuit.ring is True:
            words = "r1 and rn {:.3g} ohm, r2 {:.3g} ohm from end to end at 20 °C; {:.3g} ohm at each outlet, ends cross-connected"
            yield On(circuit.id, {"ring": computed(words, _round, flows, circuit)})


def _round(flows: Flows, circuit: Circuit) -> tuple[float, float, float]:
    phase, protective = _resistances(flows, circuit)
    return phase * 4, protective * 4, phase + protective


def _both_ways(flows: Flows, line: list[Chain]) -> float:
    """R1 + R2, of phase and protective conductor, of a circuit's cables and those of the circuits whose local bars feed it, at 20 °C [ohm]."""
    return sum(sum(_resistances(flows, chain)) for chain in line)


def _resistances(flows: Flows, circuit: Chain) -> tuple[float, float]:
    """Resistance of phase and of protective conductor along the circuit's own cables in line at 20 °C [ohm]; of a ring final a quarter of the whole."""
    solved, phase, protective = solve(flows), 0.0, 0.0
    for cable in (item for item in circuit.in_line if isinstance(item, Cable)):
        z = impedance_of(solved.given, cable, _link(flows, cable), COLD_DEGC)
        if z.protective is None:
            raise CannotTell(Unknown(cable.mark, f"protective conductor of {cable.id}"))
        phase, protective = phase + z.phase.real, protective + z.protective.real
    return phase, protective


def _link(flows: Flows, cable: Cable) -> Link:
    """The edge that a cable is; one that is dead in normal operation, a generator's, is in the graph and not in the computation."""
    solved = solve(flows)
    if cable.id in solved.tree.cables:
        return solved.link(solved.cable_node(cable))
    link = next((data["obj"] for _, _, data in flows.graph.edges(data=True) if data["obj"].run is cable and data["layer"] == "power"), None)
    return link if link is not None else solved.link(solved.cable_node(cable))


def _loop(flows: Flows, circuit: Circuit) -> float:
    """Earth-fault loop impedance at the end of the circuit, conductors hot [ohm]; of a ring final half-way."""
    solved = solve(flows)
    return solved.faults.loop(solved.end_of(circuit))


def _largest_loop(flows: Flows, circuit: Circuit) -> float:
    """Largest earth-fault loop impedance for the device that clears a fault at the end of the circuit [ohm]."""
    solved = solve(flows)
    ohm = solved.faults.deciding_loop(solved.end_of(circuit))
    if ohm is None:
        raise CannotTell(Unknown(circuit.mark, f"time-current curve before {circuit.id}"))
    return ohm


def _largest_cold(flows: Flows, circuit: Circuit, share: float) -> tuple[float, float, float]:
    ohm = _largest_loop(flows, circuit)
    return ohm, ohm * share, share


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


def with_loop(flows: Flows) -> Iterator[On]:
    """Circuits with a cable, with the loop impedance that is expected and the largest one for their own device or that of their group."""
    for circuit in filter(_wired, _circuits(flows)):
        breaker = next((item for item in members(circuit) if isinstance(item, Breaker)), None)
        words, source = "TBC", "curve or rating is not known"
        if breaker is None or isinstance(breaker.curve, str) and isinstance(breaker.rating, float):
            words, source = _most(flows, circuit), solve(flows).given.figure("trip-basis").reference
        if any(soil_part(item.id, flows) is not None for item in members(circuit) if item.id in flows.graph):
            words, source = "by the electrode and the residual current device", touch_voltage(flows).reference
        loop = computed("{:.3g} ohm computed, conductors hot", _loop, flows, circuit)
        yield On(circuit.id, {"zs": words, "zs_source": source, "loop": loop})


def _most(flows: Flows, circuit: Circuit) -> str:
    """The largest loop impedance in words; where a profile says so, the share of it that a cold circuit may read."""
    named = next(iter(profiles_of(flows)), "")
    share = next((float(row["share"]) for row in facts_of("coldloops") if row["profile"] == named), None)
    if _by_curve(flows, circuit):
        return computed("by the device's curve, for it feeds a board; at once up to {:.3g} ohm", _largest_loop, flows, circuit)
    if share is None:
        return computed("≤ {:.3g} ohm", _largest_loop, flows, circuit)
    return computed("≤ {:.3g} ohm, ≤ {:.3g} ohm measured cold ({:g} of it)", _largest_cold, flows, circuit, share)


def _by_curve(flows: Flows, circuit: Circuit) -> bool:
    """Whether the device of a circuit to a board does not trip at once by what is expected: it may take longer, as its curve says."""
    if not isinstance(circuit.feeds, Said) or not isinstance(flows.objects.get(circuit.feeds.id), Board):
        return False
    try:
        return _loop(flows, circuit) > _largest_loop(flows, circuit)
    except CannotTell:
        return False


def with_capacity(flows: Flows) -> Iterator[On]:
    """Circuits with a circuit-breaker, with the fault current that is expected and its breaking capacity."""
    for circuit, breaker in _breakers(flows):
        known = isinstance(breaker.breaking, float)
        fault = computed("{:.2g} kA at most, computed", _fault, flows, circuit)
        yield On(circuit.id, {"breaking": show_quantity(breaker.breaking, "A") if known else "TBC", "fault": fault})
