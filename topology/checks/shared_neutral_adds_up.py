# SPDX-License-Identifier: MIT
"""Circuits that share a neutral and are fed from one phase in backup."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Circuit, Generator, HybridInverter, Inlet

__all__ = ["shared_neutral_adds_up"]


@rule(each=Circuit, danger=True)
def shared_neutral_adds_up(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Circuit that shares its neutral with one on the same phase, or with one that a single-phase source feeds together with it in backup.

    Why: on different phases the currents of the two largely cancel in the neutral; on one phase they add, and no breaker sees the sum.
    Bad: two circuits of L1 and L2 with one neutral, both backed up by a single-phase inverter
    Good: a neutral for each circuit that is backed up
    Source: Kirchhoff's current law; IEC 60364-5-52, 521.8 (one neutral for one circuit), from memory
    """
    for said in circuit.shares_neutral_with:
        other = site.objects.get(said.id) if isinstance(said, Said) else None
        if not isinstance(other, Circuit):
            continue
        mine, theirs = _phases(circuit, site), _phases(other, site)
        if mine & theirs:
            yield _finding(circuit, other, said, f"both are on {' '.join(phase_names(mine & theirs))}", "give each a neutral of its own")
        elif (source := _one_phase_source(circuit, other, site)) is not None:
            yield _finding(circuit, other, said, f"'{source}' feeds both from one phase in backup", "give each a neutral of its own, or back up one of them")


def _phases(circuit: Circuit, site: Flows) -> int:
    ends = [site.phases_at(n) for n in _nodes(circuit, site)]
    return ends[0] if ends else 0


def _nodes(circuit: Circuit, site: Flows) -> list[str]:
    """The first device of a circuit that stands in the graph."""
    items = [i for i in circuit.in_line if not isinstance(i, Said)] if isinstance(circuit.in_line, tuple) else []
    return [i.id for i in [*items, circuit.load, circuit.feeds] if i is not None and getattr(i, "id", None) in site.graph]


def _one_phase_source(a: Circuit, b: Circuit, site: Flows) -> str | None:
    """A single-phase source that reaches the phases of both circuits in some backup mode."""
    for mode in (m for m in site.modes if m.backup):
        for source in (s for s in site.backs_up if isinstance(site.obj(s), HybridInverter | Generator | Inlet)):
            reached = [n for c in (a, b) for n in _nodes(c, site)[:1]
                       for p in phase_names(site.phases_at(n)) if source in site.reaching(n, bits([p]), mode)]
            phase = site.obj(source).phase
            if len(reached) > 1 and isinstance(phase, tuple) and len(phase) == 1:
                return source
    return None


def _finding(circuit: Circuit, other: Circuit, said: Said, why: str, step: str) -> Finding:
    return Finding(said.mark, f"'{circuit.id}' shares its neutral with '{other.id}', and {why}", step, objects=(circuit.id, other.id))
