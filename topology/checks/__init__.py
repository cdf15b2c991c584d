# SPDX-License-Identifier: MIT
"""The checks by name, one file each."""
from __future__ import annotations

from .bus_not_a_chain import bus_not_a_chain
from .generation_sensor_sees_other import generation_sensor_sees_other
from .grid_sensor_misses import grid_sensor_misses
from .not_fed import not_fed
from .shield_bond_wrong import shield_bond_wrong
from .terminator_misplaced import terminator_misplaced
from .unlimited_board import unlimited_board
from .way_used_twice import way_used_twice

__all__ = [
    "bus_not_a_chain",
    "generation_sensor_sees_other",
    "grid_sensor_misses",
    "not_fed",
    "shield_bond_wrong",
    "terminator_misplaced",
    "unlimited_board",
    "way_used_twice",
]
