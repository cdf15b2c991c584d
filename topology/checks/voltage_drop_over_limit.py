# SPDX-License-Identifier: MIT
"""A load whose voltage falls further than the profile allows."""
from __future__ import annotations

from contextlib import suppress

from ..electrical import Electrical
from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Load
from ._electrical import CAUTION, on_site
from ._sources import spare

__all__ = ["voltage_drop_over_limit"]


@rule(each=Load, limits=("voltage-drop-lighting", "voltage-drop"))
def voltage_drop_over_limit(load: Load, site: Flows) -> Finding | None:
    """Load at which the voltage falls below what the profile allows when everything runs at maximum demand and nothing generates.

    Why: motors start badly, lamps dim and electronics give up; the drop of mains, submain and circuit adds up, the neutral's share included.
        What is known may be too much already (on one phase), or all loads at once little enough, whatever the rest turns out to be.
        It is not the voltage rise to an inverter, which has a limit and a current of its own.
    Bad: 1.5 mm² over 60 m to a heater of 3 kW, behind a submain that has used up 3 %
    Good: 6 mm² over the same way
    Source: limit and its source as the profile says (voltage-drop, for lamps voltage-drop-lighting where there is one); four-wire sweep
    """
    entry = (site.profiles.find("voltage-drop-lighting") if load.kind == "lighting" else None) or site.profiles.find("voltage-drop")
    if entry is None or entry.value is None or spare(load) or (solved := on_site(site, load.id)) is None:
        return None
    node = solved.node(load.id)
    volts, unless = _drop(solved, node, float(entry.value))
    share = solved.share(volts)
    if share <= float(entry.value) * (1 + 1e-9):
        return None
    circuit = site.circuit_of.get(load.id)
    if circuit is not None and circuit.ring is True:
        raise CannotTell(Unknown(circuit.mark, f"place of the loads along the ring of {circuit.id} (all at its middle they make {share:.2f} %)", given=False))
    ways = [link.run.id for n in solved.tree.up(node, itself=True) if (link := solved.tree.links[n]) is not None and link.run is not None]
    return Finding(load.mark, f"the voltage at '{load.id}' falls by {volts:.2f} V, {share:.2f} %, at maximum demand{unless}; the limit is {entry.value:g} % "
                   f"of {solved.given.u0:g} V", "take larger cables on the way, or shorten it; the cable schedule has the drop along each",
                   objects=(load.id, *ways), severity=entry.severity,
                   numbers={"drop": Number(round(share, 3), "%"), "limit": Number(float(entry.value), "%")}, source=f"{entry.reference} ({CAUTION})")


def _drop(solved: Electrical, node: int, limit: float) -> tuple[float, str]:
    """The drop at a node [V]; where cables or loads are open the least that it can be, if that decides, with what to add to the message.

    limit : [%]. Raises CannotTell where what is not known decides it.
    """
    try:
        return solved.drop(node), ""
    except CannotTell as error:
        with suppress(CannotTell):
            if solved.share(most := solved.drop_at_most(node)) <= limit:
                return most, ""
        least = solved.drop_at_least(node)
        if solved.share(least) <= limit:
            raise
        return least, f", at the least ({error.unknown.what} is not known)"
