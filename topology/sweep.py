# SPDX-License-Identifier: MIT
"""Currents and voltages of a radial four-wire network with any unbalance: a backward/forward sweep in plain Python.

The network is a tree of nodes 0 … n-1 in which a node stands after the one that feeds it; node 0 is held at its voltages. Each
node has four places: the phases 0, 1, 2 and the neutral 3. Each segment has an impedance for each of its phase conductors and
one for its neutral; nothing couples them, and the neutral is joined to earth at node 0 alone. Steady state at one frequency, no
harmonics. Time grows in proportion to the number of nodes. Source: backward/forward sweep after Shirmohammadi and others, IEEE
Transactions on Power Systems, 1988; four wires after Ciric and others, 2003; both from memory.
"""
from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from .dataclass import dataclass
from .errors import SiteError

__all__ = ["TOLERANCE_V", "Draw", "NoSolution", "Segment", "Solution", "accumulate", "balanced", "sweep"]

TOLERANCE_V = 1e-7
"""The sweep ends when no voltage, the neutral's included, moves by more than this [V]."""
MOST_ROUNDS = 200


class NoSolution(SiteError):
    """The sweep does not settle: the load is more than the network can carry."""


@dataclass(frozen=True, slots=True)
class Segment:
    """What feeds a node. parent: the node before it; impedances [ohm] of each phase conductor and of the neutral."""

    parent: int
    z_phase: complex
    z_neutral: complex


@dataclass(frozen=True, slots=True)
class Draw:
    """What is drawn between two places of a node; a generator draws a negative power.

    between        : (0, 3) is L1 to neutral, (0, 1) is L1 to L2
    s_va           : complex power P + jQ at nominal_v
    constant       : "power", or "current" (as large as at nominal_v, at the same angle to the voltage)
    nominal_v      : rated voltage between the two places [V]; needed for constant current
    """

    node: int
    between: tuple[int, int]
    s_va: complex
    constant: str = "power"
    nominal_v: float = 230.0

    def current(self, u: complex) -> complex:
        """The current drawn at a voltage between the two places [A]."""
        if self.constant == "power":
            return (self.s_va / u).conjugate()
        return (self.s_va / self.nominal_v).conjugate() * (u / abs(u))


@dataclass(frozen=True, slots=True)
class Solution:
    """u[node]: voltages of the four places against earth at node 0 [V]; i[node]: currents into it in its segment's four conductors [A].

    The current of the neutral counts like the others: away from node 0. rounds: how many sweeps it took.
    """

    u: list[tuple[complex, complex, complex, complex]]
    i: list[tuple[complex, complex, complex, complex]]
    rounds: int

    def to_neutral(self, node: int) -> tuple[float, float, float]:
        """Voltages phase to neutral at a node [V]."""
        a, b, c, n = self.u[node]
        return abs(a - n), abs(b - n), abs(c - n)


def balanced(u0_v: float, phases: int = 3) -> tuple[complex, complex, complex]:
    """Voltages of a supply [V]: three phases 120° apart; two phases 180° apart; one phase (the others stand at zero)."""
    if phases == 3:
        return u0_v + 0j, cmath.rect(u0_v, -2 * math.pi / 3), cmath.rect(u0_v, 2 * math.pi / 3)
    return (u0_v + 0j, -u0_v + 0j, 0j) if phases == 2 else (u0_v + 0j, 0j, 0j)


def accumulate(parents: Sequence[int], draws: Sequence[tuple[int, tuple[int, int], complex]]) -> list[list[complex]]:
    """Currents of the segments from the currents that are drawn: the backward half of the sweep, by Kirchhoff's first law.

    parents : of each node; that of node 0 is not looked at
    draws   : (node, between, current [A])
    Returns for each node the currents into it in L1, L2, L3 and N; the node 0's are what the whole network draws.
    """
    flow = [[0j, 0j, 0j, 0j] for _ in parents]
    for node, (a, b), current in draws:
        flow[node][a] += current
        flow[node][b] -= current
    for node in range(len(parents) - 1, 0, -1):
        into, here = flow[parents[node]], flow[node]
        into[0] += here[0]
        into[1] += here[1]
        into[2] += here[2]
        into[3] += here[3]
    return flow


def sweep(segments: Sequence[Segment | None], draws: Sequence[Draw], source: tuple[complex, complex, complex]) -> Solution:
    """Voltages [V] and currents [A] of a radial network with any unbalance, its neutral included.

    segments : one for each node, in an order in which parents come first; that of node 0 is None
    draws    : loads and generators
    source   : voltages of node 0, phase to neutral [V], above 0 on every phase that is used
    Formula: I = (S/U)* summed from the ends to the source, then U = U_parent - Z I from the source to the ends, until nothing moves.
    Limits: steady state, one frequency, no harmonics, no coupling between conductors, neutral earthed at the source alone.
    Source: backward/forward sweep, Shirmohammadi and others, IEEE Transactions on Power Systems, 1988; four wires after Ciric and
    others, 2003; both from memory. Checked against four general solvers (tests/published/test_networks.py).
    Raises NoSolution where it does not settle, ValueError where a parent does not come before its node.
    """
    parents = [0 if s is None else s.parent for s in segments]
    if any(not 0 <= parent < node for node, parent in enumerate(parents) if node):
        raise ValueError("a node stands before the one that feeds it")
    lines = [(node, s.parent, s.z_phase, s.z_neutral) for node, s in enumerate(segments) if node and s is not None]
    start = (*source, 0j)
    u = [start] * len(segments)
    for rounds in range(1, MOST_ROUNDS + 1):
        flow = accumulate(parents, _currents(draws, u))
        moved = _forward(lines, flow, u)
        if not moved < math.inf:
            break
        if moved < TOLERANCE_V:
            return Solution(u, [(a, b, c, n) for a, b, c, n in flow], rounds)
    raise NoSolution("the network cannot carry this load: its voltages do not settle")


def _currents(draws: Sequence[Draw], u: Sequence[tuple[complex, ...]]) -> list[tuple[int, tuple[int, int], complex]]:
    try:
        return [(d.node, d.between, d.current(u[d.node][d.between[0]] - u[d.node][d.between[1]])) for d in draws]
    except ZeroDivisionError:
        raise NoSolution("a load stands on a conductor that has no voltage") from None


def _forward(lines: Sequence[tuple[int, int, complex, complex]], flow: Sequence[Sequence[complex]],
             u: list[tuple[complex, complex, complex, complex]]) -> float:
    """Voltages from the source to the ends, in place; returns by how much the one that moved most did."""
    most = 0.0
    for node, parent, z, zn in lines:
        a, b, c, n = u[parent]
        ia, ib, ic, i_n = flow[node]
        new = (a - z * ia, b - z * ib, c - z * ic, n - zn * i_n)
        old = u[node]
        moved = max(abs(new[0] - old[0]), abs(new[1] - old[1]), abs(new[2] - old[2]), abs(new[3] - old[3]))
        if not moved <= most:  # not a number counts as moving, so that a collapse is noticed
            most = moved
        u[node] = new
    return most
