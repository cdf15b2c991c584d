# SPDX-License-Identifier: MIT
"""A device with marked line and load sides, and a source on its load side."""
from __future__ import annotations

from ..conductors import PHASES, bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Switching
from ._words import listed

__all__ = ["marked_device_fed_from_behind"]


@rule(each=Switching, danger=True, by_status=True, limits=("reverse-flow-needs-unmarked",))
def marked_device_fed_from_behind(device: Switching, site: Flows) -> Finding | None:
    """Device that is marked line and load, with a source behind it that feeds back through it.

    Why: its electronics or its arc chute is made for current from one side; fed from the other it may burn out or fail to break a fault.
    Bad: rcbo: {rating: 32 A B 1P+N 30 mA type A 6 kA, sides_marked: yes} before a storage unit
    Good: a device without marked sides there, or one whose maker allows both directions in writing
    Source: as the profile says (reverse-flow-needs-unmarked); BS 7671:2018 A3:2024, 530.3.201
    """
    entry = site.profiles.find("reverse-flow-needs-unmarked")
    if entry is None or entry.value is not True or device.sides_marked is False or device.id not in site.graph:
        return None
    behind = {s: None for p in phase_names(site.phases_at(device.id) & PHASES) for s in site.either_side(device.id, bits([p]))[1] if s != device.id}
    if not behind or not device.sides_marked:  # an Unknown raises
        return None
    return Finding(device.mark, f"'{device.id}' is marked line and load, and {listed(list(behind))} feeds it from the load side",
                   "use a device without marked sides, or one whose maker allows both directions", objects=(device.id, *behind),
                   severity=entry.severity, source=entry.reference)
