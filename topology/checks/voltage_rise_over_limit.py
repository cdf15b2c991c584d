# SPDX-License-Identifier: MIT
"""An inverter whose voltage rises more than the profile allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Electrical
from ..electrical.trunks import trunk_rise
from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Equipment, HybridInverter, ModuleInverters
from ._electrical import on_site, weight

__all__ = ["voltage_rise_over_limit"]


@rule(each=(Equipment, HybridInverter))
def voltage_rise_over_limit(source: Equipment, site: Flows) -> Iterator[Finding]:
    """Inverter or storage unit at which the voltage rises to the limit of the profile or above it when everything generates.

    Why: the inverter meets the upper voltage of its protection on sunny days and disconnects; appliances on site age. The rise is the sum
        of rated current × resistance × length from the point of supply to the terminals, along a trunk to its last inverter. Nameplate
        ratings count; a limit that software holds does not. Where a cable on the way is not known, the worst that it can be may pass and the
        best may fail: then that is said.
    Bad: 4 mm² over 60 m to inverters of 5 kVA on one phase
    Good: 16 mm² over the same way
    Source: limit and its source as the profile says (voltage-rise-total); method: AS/NZS 4777.1 as inspectors apply it
    """
    solved = on_site(site, source.id)
    if solved is None:
        return
    try:
        limit = solved.given.figure("voltage-rise-total")
    except CannotTell:
        return  # the profile knows no limit
    node = solved.node(source.id)
    if limit.value is None:
        return
    volts, unless = _rise(solved, source, float(limit.value))
    share = solved.share(volts)
    if share >= limit.value:
        ways = [link.run.id for n in solved.tree.up(node, itself=True) if (link := solved.tree.links[n]) is not None and link.run is not None]
        yield Finding(source.mark, f"the voltage at '{source.id}' rises by {volts:.2f} V, {share:.2f} %, by the linear method{unless}; "
                      f"the limit is {limit.value:g} % of {solved.given.u0:g} V", "take larger cables on the way, or shorten it; the cable schedule "
                      "has the rise along each", objects=(source.id, *ways), severity=weight(source.status, limit.found != "memory"),
                      numbers={"rise": Number(round(share, 3), "%"), "limit": Number(limit.value, "%")}, source=limit.source)


def _rise(solved: Electrical, source: Equipment, limit: float) -> tuple[float, str]:
    """The linear rise at a source [V]; where cables are open a bound that decides, with what to add to the message.

    limit : [%]. Raises CannotTell where what is not known decides it.
    """
    node = solved.node(source.id)
    try:
        return solved.linear_rise(node) + _trunk(solved, source), ""
    except CannotTell as error:
        least, most = solved.linear_rise_range(node)
        try:
            trunk = _trunk(solved, source)
        except CannotTell:
            trunk, most = 0.0, None
        if most is not None and solved.share(most + trunk) < limit:
            return most + trunk, ""
        if solved.share(least + trunk) < limit:
            raise
        return least + trunk, f", at the least ({error.unknown.what} is not known)"


def _trunk(solved: Electrical, source: Equipment) -> float:
    return trunk_rise(solved.given, source) if isinstance(source, ModuleInverters) else 0.0
