# SPDX-License-Identifier: MIT
"""Circuits that share a neutral and stand on one phase."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import phase_names
from ..errors import Finding
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Circuit

__all__ = ["shared_neutral_adds_up"]


@rule(each=Circuit, danger=True)
def shared_neutral_adds_up(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Circuit that shares its neutral with one on the same phase.

    Why: on different phases the currents of the two largely cancel in the neutral; on one phase they add, and no breaker sees the sum.
        So it gets when two circuits of different phases move to the board behind a single-phase inverter.
    Bad: {way: 1, phase: L1, …} and {way: 2, phase: L1, shares_neutral_with: BB.1, …} on the backed-up board BB
    Good: a neutral for each circuit that is backed up
    Source: Kirchhoff's current law; IEC 60364-5-52, 521.8 (one neutral for one circuit), from memory
    """
    for said in circuit.shares_neutral_with:
        other = site.objects.get(said.id) if isinstance(said, Said) else None
        if not isinstance(other, Circuit):
            continue
        mine, theirs = _phases(circuit, site), _phases(other, site)
        if mine & theirs:
            yield _finding(circuit, other, said, " ".join(phase_names(mine & theirs)))


def _phases(circuit: Circuit, site: Flows) -> int:
    ends = [site.phases_at(n) for n in _nodes(circuit, site)]
    return ends[0] if ends else 0


def _nodes(circuit: Circuit, site: Flows) -> list[str]:
    """The first device of a circuit that stands in the graph."""
    items = [i for i in circuit.in_line if not isinstance(i, Said)] if isinstance(circuit.in_line, tuple) else []
    return [i.id for i in [*items, circuit.load, circuit.feeds] if i is not None and getattr(i, "id", None) in site.graph]


def _finding(circuit: Circuit, other: Circuit, said: Said, phases: str) -> Finding:
    return Finding(said.mark, f"'{circuit.id}' shares its neutral with '{other.id}', and both are on {phases}", "give each a neutral of its own", objects=(circuit.id, other.id))
