# SPDX-License-Identifier: MIT
"""An array whose frame is bonded nowhere, or to another board than its inverter's."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Unknown
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Board, EarthBar, HybridInverter, Inverter

__all__ = ["array_not_bonded"]


@rule(each=Inverter | HybridInverter, danger=True, limits=("array-frame-bonded",))
def array_not_bonded(inverter: Inverter | HybridInverter, site: Flows) -> Iterator[Finding]:
    """Array of an inverter whose frame is not said to be bonded, or is bonded to another board than the one that feeds the inverter.

    Why: a damaged cable puts the voltage of the whole string on a frame that people touch. Module-level inverters
        have no string and are not asked.
    Bad: arrays: [{id: PV1, power: 4.6 kW}]
    Good: arrays: [{id: PV1, power: 4.6 kW, frame_bonded_to: MSB}]
    Source: the profiles that the site names (array-frame-bonded)
    """
    entry = site.profiles.find("array-frame-bonded")
    if entry is None or entry.value is not True or inverter.status == "removed":
        return
    for array in inverter.arrays if isinstance(inverter.arrays, tuple) else ():
        where, ids = array.frame_bonded_to, (array.id, inverter.id)
        fault = "is not said to be bonded" if where is None else _elsewhere(where, inverter, site)
        if fault:
            yield Finding(array.mark, f"the frame of '{array.id}' {fault}", "bond it to the earth bar of the board that feeds the inverter, and say "
                          "frame_bonded_to:", objects=ids, severity=entry.severity, source=entry.reference)


def _elsewhere(where: Said | Unknown, inverter: Inverter | HybridInverter, site: Flows) -> str:
    """What is wrong with the place that a frame is bonded to; empty where nothing is. Raises CannotTell where the place is TBC."""
    if isinstance(where, Unknown):
        raise CannotTell(where)
    bar = site.objects.get(where.id)
    board = bar.place.id if isinstance(bar, EarthBar) and isinstance(bar.place, Said) else where.id
    feeding = next((n for n in reversed(site.upstream_to_bar(_start(inverter))) if isinstance(site.obj(n), Board)), None)
    if feeding is None or not isinstance(site.objects.get(board), Board) or board == feeding:
        return ""
    return f"is bonded at '{board}'; '{inverter.id}' is fed from '{feeding}'"


def _start(inverter: Inverter | HybridInverter) -> str:
    return f"{inverter.id}.grid" if isinstance(inverter, HybridInverter) else inverter.id
