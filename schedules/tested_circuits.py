# SPDX-License-Identifier: MIT
"""Boards and circuits as the test record asks for them, with what the electrical computation expects of each."""
from __future__ import annotations

from collections.abc import Iterator

from topology.electrical import solve
from topology.electrical.conductors_of import impedance_of
from topology.errors import CannotTell, Unknown
from topology.fault import COLD_DEGC
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Board, Breaker, Cable, Circuit
from topology.soil import soil_part, touch_voltage

from .sourced import profiles_of
from .tested_on import On, computed
from .walk import chains, members

__all__ = ["at_boards", "boards", "ring_finals", "with_breaker", "with_cable", "with_capacity"]

COLD_SHARE = {"uk": 0.8}
"""By profile, the share of the largest loop impedance that a cold circuit may read.

Source: rule of thumb of the guidance to BS 7671 for conductors at ambient temperature, from memory.
"""


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
    """Circuits with a cable of their own, with R1 + R2; of a ring final a quarter of what its whole length has: the value at each outlet."""
    for circuit in _circuits(flows):
        if any(isinstance(item, Cable) for item in members(circuit)):
            yield On(circuit.id, {"r1r2": computed("{:.3g} ohm at 20 °C", _both_ways, flows, circuit)})


def ring_finals(flows: Flows) -> Iterator[On]:
    """Ring finals, with what each conductor reads from end to end and what an outlet reads with the ends cross-connected."""
    for circuit in _circuits(flows):
        if circuit.ring is True:
            words = "r1 and rn {:.3g} ohm, r2 {:.3g} ohm from end to end at 20 °C; {:.3g} ohm at each outlet, ends cross-connected"
            yield On(circuit.id, {"ring": computed(words, _round, flows, circuit)})


def _round(flows: Flows, circuit: Circuit) -> tuple[float, float, float]:
    phase, protective = _resistances(flows, circuit)
    return phase * 4, protective * 4, phase + protective


def _both_ways(flows: Flows, circuit: Circuit) -> float:
    """Resistance of phase and protective conductor of the circuit's own cables in line, R1 + R2, at 20 °C [ohm]."""
    return sum(_resistances(flows, circuit))


def _resistances(flows: Flows, circuit: Circuit) -> tuple[float, float]:
    """Resistance of phase and of protective conductor along the circuit's own cables in line at 20 °C [ohm]; of a ring final a quarter of the whole."""
    solved, phase, protective = solve(flows), 0.0, 0.0
    for cable in (item for item in circuit.in_line if isinstance(item, Cable)):
        z = impedance_of(solved.given, cable, solved.link(solved.cable_node(cable)), COLD_DEGC)
        if z.protective is None:
            raise CannotTell(Unknown(cable.mark, f"protective conductor of {cable.id}"))
        phase, protective = phase + z.phase.real, protective + z.protective.real
    return phase, protective


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


def with_breaker(flows: Flows) -> Iterator[On]:
    """Circuits with a circuit-breaker, with the loop impedance that is expected and the largest one."""
    for circuit, breaker in _breakers(flows):
        words, source = "TBC", "curve or rating is not known"
        if isinstance(breaker.curve, str) and isinstance(breaker.rating, float):
            words, source = _most(flows, circuit), solve(flows).given.figure("trip-basis").reference
        if any(soil_part(item.id, flows) is not None for item in members(circuit) if item.id in flows.graph):
            words, source = "by the electrode and the residual current device", touch_voltage(flows).reference
        loop = computed("{:.3g} ohm computed, conductors hot", _loop, flows, circuit)
        yield On(circuit.id, {"zs": words, "zs_source": source, "loop": loop})


def _most(flows: Flows, circuit: Circuit) -> str:
    """The largest loop impedance in words; where a profile says so, the share of it that a cold circuit may read."""
    share = COLD_SHARE.get(next(iter(profiles_of(flows)), ""))
    if share is None:
        return computed("≤ {:.3g} ohm", _largest_loop, flows, circuit)
    return computed("≤ {:.3g} ohm, ≤ {:.3g} ohm measured cold ({:g} of it)", _largest_cold, flows, circuit, share)


def with_capacity(flows: Flows) -> Iterator[On]:
    """Circuits with a circuit-breaker, with the fault current that is expected and its breaking capacity."""
    for circuit, breaker in _breakers(flows):
        known = isinstance(breaker.breaking, float)
        fault = computed("{:.2g} kA at most, computed", _fault, flows, circuit)
        yield On(circuit.id, {"breaking": show_quantity(breaker.breaking, "A") if known else "TBC", "fault": fault})
