# SPDX-License-Identifier: MIT
"""A combined neutral, or a pole in it, that cannot carry what opposing units put into it."""
from __future__ import annotations

from collections.abc import Iterator

from ..demand import neutral_worst
from ..electrical import solve
from ..electrical.given import known
from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import Cable, Circuit, DisconnectionDevice, Storage, Switching
from ._sources import behind, is_outermost, phases_of, poles_of, rating_of

__all__ = ["combined_neutral_overloaded"]

PLACE = {"L1": 0, "L2": 1, "L3": 2}


@rule(each=Circuit, danger=True, by_status=True)
def combined_neutral_overloaded(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Combined neutral of storage on several phases with a device or cable in it that cannot carry what opposing units put into it.

    Why: one unit may charge while another discharges; a third of a turn apart their currents then add in the neutral, of three units up to twice
        that of one, of more units more, and no phase shows it. Only a type that promises never to let its units oppose each other needs less.
    Bad: three units of 12 A behind one device of 20 A with a neutral pole
    Good: the same units behind a device of 25 A
    Source: sum of phasors: |1 − 1∠120° …| has the largest value 2 for three units of either sign, √3 for two a third of a turn apart
    """
    if not is_outermost(circuit, site) or not isinstance(circuit.circuits, tuple):
        return
    units = [s for s in behind(circuit) if isinstance(s, Storage) and s.id in site.graph]
    phases = {p for s in units for p in phases_of(s, site)}
    if len(phases) < 2 or all(site.type_of(s).never_opposed for s in units):
        return
    worst = neutral_worst(_currents(units, site))
    for item in circuit.in_line:
        rating = _carries(item, site)
        if rating is not None and rating < worst:
            yield Finding(item.mark, f"the neutral of '{item.id}' can carry {rating:g} A; opposing units behind it put {worst:.1f} A into it",
                          f"use {'a cable' if isinstance(item, Cable) else 'a device'} whose neutral carries {worst:.1f} A, or a neutral for each unit",
                          objects=(item.id, *(s.id for s in units)),
                          numbers={"neutral": Number(round(worst, 2), "A"), "allowed": Number(rating, "A")})


def _currents(units: list[Storage], site: Flows) -> list[complex]:
    """The currents that units put into a neutral, as phasors, those on the same phases added [A]."""
    volts, found = solve(site).given.source, dict[tuple[str, ...], complex]()
    for unit in units:
        phases = phases_of(unit, site)
        each = known(site.type_of(unit).power) / len(phases)
        found[phases] = found.get(phases, 0j) + sum((each / volts[PLACE[p]]).conjugate() for p in phases)
    return list(found.values())


def _carries(item: object, site: Flows) -> float | None:
    """What the neutral of a device or cable can carry as the file says it [A]; None where it has none, or the file does not say."""
    if isinstance(item, Cable):
        said = [run.capacity for run in item.runs if run.capacity is not None and not isinstance(run.capacity, Unknown)]
        return min(said) if said else None
    if not isinstance(item, Switching) or not opened_by(poles_of(item, site), 3) & 8:
        return None
    return rating_of(item, site) if isinstance(item, DisconnectionDevice) else item.rating + 0.0  # an Unknown raises
