# SPDX-License-Identifier: MIT
"""What the graph takes for granted where the site file is silent, in words for the report."""
from __future__ import annotations

from collections.abc import Iterator

from .conductors import phase_names
from .electrical.assumed import computed_assumptions
from .errors import Unknown
from .flow import Flows
from .site import Cable, Circuit, Supply
from .stated import stated_words

__all__ = ["assumptions"]


def assumptions(flows: Flows) -> tuple[str, ...]:
    """The assumptions that bear on this site, each as a sentence without its full stop."""
    return tuple(_assumed(flows))


def _assumed(flows: Flows) -> Iterator[str]:
    yield "the supply is live and every switch is closed"
    if flows.profiles.on is None:
        yield "the day on which work begins is not known, so the newest entries of the profiles apply"
    yield from (f"as the site file states for all that say nothing else, {words}" for words in stated_words(flows.site.unless_stated))
    supply = flows.site.supply
    if isinstance(supply, Supply) and (isinstance(supply.system, Unknown) or isinstance(supply.system.code, Unknown)):
        yield "the supply, whose system is not known, has three phases, N and PE"
    if any(isinstance(o, Cable) and _cores_unknown(o) for o in flows.objects.values()):
        yield "phases and neutral of a cable whose cores are not known are those upstream of it"
    circuits = [o for o in flows.objects.values() if isinstance(o, Circuit) and o.phase is None]
    if any(len(phase_names(_first_mask(c, flows))) > 1 for c in circuits):
        yield "a circuit that names no phase takes every phase of its bar"
    yield from computed_assumptions(flows)


def _cores_unknown(cable: Cable) -> bool:
    if isinstance(cable.conductors, tuple) and cable.conductors:
        return False
    return not isinstance(cable.parts, tuple) or any(isinstance(run, Unknown) or isinstance(run.cores, Unknown) for run in cable.runs)


def _first_mask(circuit: Circuit, flows: Flows) -> int:
    """The phases that arrive at the first device of a circuit."""
    first = circuit.in_line[0] if isinstance(circuit.in_line, tuple) and circuit.in_line else None
    return flows.phases_at(first.id) if first is not None and not isinstance(first, Unknown) and first.id in flows.graph else 0
