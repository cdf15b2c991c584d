# SPDX-License-Identifier: MIT
"""What calls for a label, by the words of `facts/labels.csv`."""
from __future__ import annotations

from collections.abc import Callable, Iterator

from . import label_boards as boards
from . import label_sources as sources
from .label_site import LabelSite, Place

__all__ = ["TRIGGERS"]

TRIGGERS: dict[str, Callable[[LabelSite], Iterator[Place]]] = {
    "grid main switch": boards.grid_switch_sign, "source main switch": boards.source_main, "generator switch": boards.generator_switch,
    "board of a source": boards.boards_of_sources, "board reached by several sources": boards.other_boards,
    "board with backup on site": boards.boards_with_backup, "backup switch": boards.backup_switch, "backed-up circuit": boards.backed_up,
    "whole site backed up": boards.whole_site, "controlled load": boards.controlled_loads,
    "isolator at a source": boards.local_isolators, "isolation point of a source": boards.isolation_points, "origin with a source": boards.origin,
    "origin": boards.at_origin, "meter panel": boards.meter_panel,
    "residual current device": boards.residual, "earth connection": boards.earth, "power-sharing device": boards.power_sharing,
    "board of two colours": boards.two_colours, "source of several switches": boards.several_switches, "vehicle supply": boards.vehicle_supplies,
    "site in Victoria": boards.victoria,
    "source": sources.sources, "array with isolator": sources.arrays_with_isolator, "several direct-current isolators": sources.several_isolators,
    "array isolator": sources.array_isolators, "battery isolator": sources.battery_isolators, "array": sources.arrays, "storage": sources.storage, "storage unit": sources.storage_units,
    "source elsewhere": sources.elsewhere, "array without isolator": sources.disconnection_points, "direct-current source": sources.direct_current_sources,
    "direct-current battery": sources.direct_current_batteries, "array connectors": sources.array_connectors,
    "direct-current box": sources.direct_current_boxes, "direct-current run": sources.direct_current_runs, "long direct-current run": sources.long_runs}
"""Where each kind of label belongs."""
