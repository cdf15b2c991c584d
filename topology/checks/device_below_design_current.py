# SPDX-License-Identifier: MIT
"""A device that trips in normal operation."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Electrical
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
        not. Several loads behind one device are taken to share what it lets through.
    Bad: breaker: 16 A C 2P 6 kA before inverters of 4.2 kVA on one phase (18.3 A)
    Good: breaker: 20 A C 2P 6 kA before the same inverters
    Source: IEC 60364-4-43 clause 433.1 (Ib not above In)
    """
    solved = on_site(site, device.id)
    if solved is None:
        return
    rated, node = float(known(device.rating)), solved.node(device.id)
    design, case = _through(solved, node)
    if design > rated * (1 + 1e-9):
        yield Finding(device.mark, f"{device.word} '{device.id}' of {rated:g} A carries {design:.1f} A ({case})", "take a device of a higher rating with "
                      "a cable for it, or divide the circuit", objects=(device.id,),
                      numbers={"Ib": Number(round(design, 2), "A"), "In": Number(rated, "A")})


def _through(solved: Electrical, node: int) -> tuple[float, str]:
    """The current that flows through a device whatever others do [A], and when."""
    found = [(0.0, "demand")]
    for name in ("demand", "charging", "export"):
        volts = solved.voltages[name]
        volts.told(node)
        if name == "export" or volts.case.behind[node] == 1:
            found.append((max(map(abs, volts.case.local[node])), name))
    return max(found, key=lambda pair: pair[0])
