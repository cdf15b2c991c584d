# SPDX-License-Identifier: MIT
"""A device that trips in normal operation."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Electrical
from ..electrical.derating import Lasting, lasting_rating
from ..electrical.given import known
from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Breaker, Fuse, FuseSwitch
from ._electrical import on_site

__all__ = ["device_below_design_current"]


@rule(each=(Breaker, Fuse, FuseSwitch))
def device_below_design_current(device: Breaker | Fuse | FuseSwitch, site: Flows) -> Iterator[Finding]:
    """Circuit-breaker or fuse whose rating is below the current that one load, or everything that generates behind it, puts through it.

    Why: it trips or ages on sunny days, and the circuit is then dead when it is needed. Nameplate ratings count; a limit that software holds does
        not. Several loads behind one device are taken to share what it lets through. Sun and storage flow for hours: where the type of the
        device (make:) says what it carries beside others (side_by_side) and in its enclosure (in_enclosure), that counts then.
    Bad: breaker: 16 A C 2P 6 kA before inverters of 4.2 kVA on one phase (18.3 A)
    Good: breaker: 20 A C 2P 6 kA before the same inverters
    Source: IEC 60364-4-43 clause 433.1 (Ib not above In)
    """
    solved = on_site(site, device.id)
    if solved is None:
        return
    rated, node = float(known(device.rating)), solved.node(device.id)
    for design, case in _through(solved, node):
        lasting = lasting_rating(solved, device) if design and case != "demand" else Lasting(rated, "")
        if design <= lasting.ampere * (1 + 1e-9):
            continue
        how = "" if lasting.ampere == rated else f", for hours {lasting.working},"
        yield Finding(device.mark, f"{device.word} '{device.id}' of {rated:g} A{how} carries {design:.1f} A ({case})", f"take a device that carries {design:.1f} A "
                      "with a cable for it, or divide the circuit", objects=(device.id,),
                      numbers={"Ib": Number(round(design, 2), "A"), "In": Number(rated, "A"), "for hours": Number(round(lasting.ampere, 2), "A")})
        return


def _through(solved: Electrical, node: int) -> list[tuple[float, str]]:
    """The currents that flow through a device whatever others do [A], and when; the largest first."""
    found = []
    for name in ("demand", "charging", "export"):
        volts = solved.voltages[name]
        volts.told(node)
        ampere = max(map(abs, volts.case.local[node]))
        if name == "export" or volts.case.behind[node] == 1 and not any(ampere == other for other, _ in found):  # what loads draw is no charging
            found.append((ampere, name))
    return sorted(found, key=lambda pair: -pair[0])
