# SPDX-License-Identifier: MIT
"""A disconnection device that leaves a conductor closed that the source's type says it must open."""
from __future__ import annotations

from collections.abc import Iterator

from .. import conductors
from ..errors import Finding
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import DisconnectionDevice
from ._sources import AcSource, devices_to, ensure_phases, phases_of, poles_of

__all__ = ["disconnection_leaves_conductor"]


@rule(each=AcSource, danger=True)
def disconnection_leaves_conductor(source: AcSource, site: Flows) -> Iterator[Finding]:  # type: ignore[valid-type]
    """Disconnection device that does not open every conductor that the type of the source behind it says it must.

    Why: a source that stays joined to one conductor of the dead supply can lift it, or its neutral, to a dangerous voltage.
    Bad: a device of 1P before storage whose type says opens: L N
    Good: a device of 1P+N
    Source: the document of the type
    """
    phases = phases_of(source, site)
    nodes = {n: None for phase in phases for n in devices_to(source, phase, site) if isinstance(site.obj(n), DisconnectionDevice)}
    if not nodes:
        return
    wanted = site.type_of(source).opens
    if wanted is None:
        return
    for node in nodes:
        device = site.obj(node)
        arriving = conductors.phase_names(site.phases_at(node))
        opened = opened_by(poles_of(device, site), len(arriving))
        left = [p for n, p in enumerate(arriving) if p in phases and n >= opened & ~conductors.N]
        left += ["N"] if "N" in wanted and not opened & conductors.N else []
        if left:
            ensure_phases(node, site)
            yield Finding(device.mark, f"'{device.id}' ({poles_of(device, site)}) leaves {' '.join(left)} of '{source.id}' closed",
                          "use a device with a pole for each of them", objects=(device.id, source.id))
        else:
            return  # one that opens all is enough
