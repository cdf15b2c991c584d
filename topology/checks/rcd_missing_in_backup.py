# SPDX-License-Identifier: MIT
"""A backed-up final circuit without residual current device."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..conductors import PHASES, bits, phase_names
from ..errors import Finding, Unknown
from ..flow import Flows
from ..modes import Mode
from ..profiles import LimitEntry
from ..rule import rule
from ..site import HybridInverter, Load, Rcbo, Rcd, Storage
from ._sources import ensure_devices, spare

__all__ = ["rcd_missing_in_backup"]


@rule(each=Load, danger=True, limits=("rcd-on-altered-circuit", "rcd-residual", "rcd-sockets-up-to"))
def rcd_missing_in_backup(load: Load, site: Flows) -> Finding | None:
    """Final circuit fed without the supply by an inverter, with no residual current device between the two that is as sensitive as the profile asks.

    Why: an inverter cannot give the current that trips a circuit-breaker at once, so that without the supply a fault to earth may stay on.
        A circuit that is moved to the backed-up part changes its source of supply, and is judged as an altered one.
    Bad: in_line: [breaker: 16 A C 1P 6 kA] on the board behind the backup terminal
    Good: in_line: [rcbo: 16 A C 1P+N 30 mA type A 6 kA]
    Source: Energy Safe Victoria, sheet EIS-008 on multiple mode inverters and residual current devices, 2025 (AS/NZS 3000:2018, 2.6.3.2.5)
    """
    entry = _entry(load, site)
    if entry is None or spare(load) or load.id not in site.graph:
        return None
    for mode in (m for m in site.modes if m.backup):
        bare = next(_bare(load, mode, site), None)
        if bare is not None:
            ensure_devices(load.id, site)
            return Finding(load.mark, f"without the supply '{bare}' feeds '{load.id}' with no residual current device between them",
                           "put an rcbo or rcd into the circuit, of a type that the inverter's maker allows", objects=(load.id, bare),
                           severity=entry.severity, source=entry.reference)
    return None


def _entry(load: Load, site: Flows) -> LimitEntry | None:
    """The entry by which a load needs the device: any circuit that gets another source, else sockets only."""
    altered = site.profiles.find("rcd-on-altered-circuit")
    if altered is not None and altered.value is True:
        return altered
    return site.profiles.find("rcd-sockets-up-to") if load.kind == "sockets" else None


def _bare(load: Load, mode: Mode, site: Flows) -> Iterator[str]:
    """Inverters that reach a load in a mode past every residual current device of at most what the profile asks for."""
    entry = site.profiles.find("rcd-residual")
    most = entry.si if entry is not None and entry.value is not None else None
    for phase in phase_names(site.phases_at(load.id) & PHASES):
        conductor = bits([phase])
        for source in site.backs_up:
            if isinstance(site.obj(source), HybridInverter | Storage) and site.uses(source, conductor) and site.uses(load.id, conductor):
                way = site.net(conductor, mode).path(source, load.id)
                if way and not any(_guards(site.obj(node), most) for node in way):
                    yield source


def _guards(device: Any, most: float | None) -> bool:
    """Whether a device trips on a residual current of at most so much [A]; one that is not known may."""
    if not isinstance(device, Rcd | Rcbo):
        return False
    return most is None or isinstance(device.residual, Unknown) or device.residual <= most * (1 + 1e-9)
