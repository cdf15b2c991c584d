# SPDX-License-Identifier: MIT
"""More units on a circuit, or on one phase of it, than their type allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Circuit
from ._sources import AcSource, behind, is_outermost, phases_of, units

__all__ = ["too_many_units"]


@rule(each=Circuit)
def too_many_units(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Circuit with more units of a type than the type allows on a circuit, or on one of its phases.

    Why: the terminals, the trunk or the disconnection device of the circuit are made for so many units and no more.
    Bad: 20 module-level inverters on a circuit whose type says max_units_circuit: 14
    Good: two circuits of 10
    Source: the document of the type
    """
    if not is_outermost(circuit, site):
        return
    total: dict[str, int] = {}
    by_phase: dict[tuple[str, str], int] = {}
    members: dict[str, list[str]] = {}
    for source in (end for end in behind(circuit) if isinstance(end, AcSource) and end.id in site.graph):
        type_ = site.type_of(source)
        name = type_.id
        if type_.max_units_circuit is None and type_.max_units_phase is None:
            continue
        members.setdefault(name, []).append(source.id)
        total[name] = total.get(name, 0) + units(source)
        for phase in phases_of(source, site):
            by_phase[name, phase] = by_phase.get((name, phase), 0) + units(source)
    for name, ids in members.items():
        type_ = site.types[name]
        counts = [(total[name], type_.max_units_circuit, "")]
        counts += [(number, type_.max_units_phase, f" on {phase}") for (kind, phase), number in by_phase.items() if kind == name]
        for number, most, where in counts:
            if most is not None and number > most:
                yield Finding(circuit.mark, f"circuit '{circuit.id}' has {number} units of type {name}{where}; the type allows {most}",
                              "spread them over more circuits", objects=(circuit.id, *ids),
                              numbers={"units": Number(number, "1"), "allowed": Number(most, "1")})
