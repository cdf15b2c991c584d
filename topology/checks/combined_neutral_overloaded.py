# SPDX-License-Identifier: MIT
"""A combined neutral, or a pole in it, that cannot carry what opposing units put into it."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical.given import known
from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import Cable, Circuit, DisconnectionDevice, Storage, Switching
from ._sources import behind, is_outermost, phases_of, poles_of, rating_of

__all__ = ["combined_neutral_overloaded"]


@rule(each=Circuit, danger=True, by_status=True)
def combined_neutral_overloaded(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Combined neutral of storage on several phases with a device or cable in it that cannot carry twice the current of one unit.

    Why: one unit may charge while another discharges; a third of a turn apart their currents then add in the neutral, up to twice that of
        one unit, and no phase shows it. Only a type that promises never to let its units oppose each other needs less.
    Bad: three units of 12 A behind one device of 20 A with a neutral pole
    Good: the same units behind a device of 25 A
    Source: sum of phasors: |1 − 1∠120° …| has the largest value 2 for three units of either sign
    """
    if not is_outermost(circuit, site) or not isinstance(circuit.circuits, tuple):
        return
    units = [s for s in behind(circuit) if isinstance(s, Storage) and s.id in site.graph]
    phases = {p for s in units for p in phases_of(s, site)}
    if len(phases) < 2 or all(site.type_of(s).never_opposed for s in units):
        return
    volts = known(site.site.supply).system.phase_voltage
    worst = 2 * max(site.type_of(s).power / volts for s in units)
    for item in circuit.in_line:
        rating = _carries(item, site)
        if rating is not None and rating < worst:
            yield Finding(item.mark, f"the neutral of '{item.id}' can carry {rating:g} A; opposing units behind it put {worst:.1f} A into it",
                          f"use {'a cable' if isinstance(item, Cable) else 'a device'} whose neutral carries {worst:.1f} A, or a neutral for each unit",
                          objects=(item.id, *(s.id for s in units)),
                          numbers={"neutral": Number(round(worst, 2), "A"), "allowed": Number(rating, "A")})


def _carries(item: object, site: Flows) -> float | None:
    """What the neutral of a device or cable can carry as the file says it [A]; None where it has none, or the file does not say."""
    if isinstance(item, Cable):
        said = [run.capacity for run in item.runs if run.capacity is not None and not isinstance(run.capacity, Unknown)]
        return min(said) if said else None
    if not isinstance(item, Switching) or not opened_by(poles_of(item, site), 3) & 8:
        return None
    return rating_of(item, site) if isinstance(item, DisconnectionDevice) else item.rating + 0.0  # an Unknown raises
