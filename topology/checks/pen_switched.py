# SPDX-License-Identifier: MIT
"""A device that opens a PEN."""
from __future__ import annotations

from ..conductors import PEN, phase_names
from ..errors import Finding
from ..flow import Flows
from ..modes import opened_by
from ..rule import rule
from ..site import Switching
from ._sources import ensure_devices, poles_of

__all__ = ["pen_switched"]


@rule(each=Switching, danger=True, limits=("pen-switching-forbidden",))
def pen_switched(device: Switching, site: Flows) -> Finding | None:
    """Switching device with a pole in the PEN.

    Why: with the PEN open, everything that is earthed through it takes the voltage of the phase that some load leaves closed.
    Bad: switch: 63 A 2P between the meter and the N–E link of a PEN supply
    Good: switch: 63 A 1P there, or the 2P switch behind the link
    Source: IEC 60364-4-46, 461.2 (a PEN is not switched), from memory; the profile says how grave it is
    """
    if device.id not in site.graph:
        return None
    arriving = [link.conductors for _, link in site.feeders(device.id)]
    mask = 0
    for one in arriving:
        mask |= one
    if not mask & PEN:
        return None
    phases = len(phase_names(mask))
    if not opened_by(poles_of(device, site), phases) & 8:
        return None
    ensure_devices(device.id, site)  # one that could not be read may be the N–E link
    return Finding(device.mark, f"'{device.id}' ({poles_of(device, site)}) opens the PEN",
                   "leave the PEN closed: use a device without a pole for it, or put the 'ne_link:' before it where N and PE part there",
                   severity=_severity(site), objects=(device.id,))


def _severity(site: Flows) -> str:
    """How grave it is under the site's profile: a note where it does not forbid it, an error where it is not known too."""
    entry = site.profiles.peek("pen-switching-forbidden")
    return "note" if entry is not None and entry.value is False else "error"
