# SPDX-License-Identifier: MIT
"""What conductors a supply, a circuit, a cable or a device with terminals carries on, as masks."""
from __future__ import annotations

from typing import Any

from . import conductors
from .cables import Cable
from .errors import Unknown
from .site import Circuit, Supply

__all__ = ["by_cable", "by_circuit", "by_source", "by_supply"]


def by_supply(supply: Supply) -> int:
    """Conductors at the point of supply."""
    if isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown):
        return conductors.PHASES | conductors.N | conductors.PE
    phases, rest = supply.system.code
    return conductors.bits([*("L1", "L2", "L3")[:phases], *rest.split("/")])


def by_circuit(circuit: Circuit, upstream: int) -> int:
    """What of the bar's conductors a circuit takes: the phases it says, and N and PE."""
    if isinstance(circuit.phase, tuple):
        return upstream & ~conductors.PHASES | conductors.bits(circuit.phase)
    return upstream


def by_cable(cable: Cable | None, upstream: int) -> int:
    """What of the upstream conductors a cable carries on, by its list of conductors or by its cores."""
    if cable is None:
        return upstream
    if isinstance(cable.conductors, tuple) and cable.conductors:
        return conductors.bits(cable.conductors)
    mask = upstream
    for run in cable.runs if isinstance(cable.parts, tuple) else ():
        cores = None if isinstance(run, Unknown) else run.cores
        if isinstance(cores, tuple):
            mask &= _core_mask(cores, mask)
    return mask


def _core_mask(cores: tuple[int, float | None], upstream: int) -> int:
    """Conductors that so many cores can be: phases first, then the neutral, then PE as a core of its own or as earth core."""
    number, earth = cores
    phases = len(conductors.phase_names(upstream))
    mask = upstream & conductors.PHASES
    if number > phases:
        mask |= conductors.NEUTRAL
    if earth is not None or number > phases + 1:
        mask |= conductors.PE
    return mask


def by_source(source: Any, upstream: int) -> int:
    """What a source takes up of the conductors at its terminal: the phases it names, and the rest; L1, N and PE where nothing arrives."""
    arriving = upstream or conductors.L1 | conductors.N | conductors.PE
    if isinstance(source.phase, tuple):
        return arriving & ~conductors.PHASES | conductors.bits(source.phase)
    return arriving
