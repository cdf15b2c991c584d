# SPDX-License-Identifier: MIT
"""A source behind a residual current device that loads share."""
from __future__ import annotations

from ..conductors import bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Load, Rcbo, Rcd
from ..soil import brings_neutral_only
from ._sources import AcSource, ensure_phases, spare
from ._words import listed

__all__ = ["source_behind_shared_rcd"]


@rule(each=Rcd | Rcbo, danger=True, by_status=True)
def source_behind_shared_rcd(device: Rcd | Rcbo, site: Flows) -> Finding | None:
    """Source that stands behind a residual current device together with loads.

    Why: after the device has tripped the source goes on feeding the fault for a while, its own leakage trips the loads, and direct current
        from it can blind the device. A time-delayed device before a whole site on an electrode of its own (TT) is left alone.
    Bad: an inverter on a circuit of an RCD group
    Good: the inverter on a circuit of its own, with the residual current device that its maker asks for, if any
    Source: IEC 60364-7-712 and AS/NZS 4777.1, from memory
    """
    if device.id not in site.graph or site.root is None or brings_neutral_only(site) and device.type_ in ("S", "A-S"):
        return None
    under = dict.fromkeys(n for p in phase_names(site.phases_at(device.id)) for n in site.net(bits([p])).under(device.id, site.root))
    sources = [n for n in under if isinstance(site.obj(n), AcSource)]
    loads = [n for n in under if isinstance(site.obj(n), Load) and not spare(site.obj(n))]
    if not sources or not loads:
        return None
    ensure_phases(device.id, site)
    return Finding(device.mark, f"{listed(sources)} stands behind '{device.id}' together with {listed(loads)}",
                   "feed the source from before this device", objects=(device.id, *sources, *loads))
