# SPDX-License-Identifier: MIT
"""The checks by name, one file each."""
from __future__ import annotations

from .bus_not_a_chain import bus_not_a_chain
from .generation_sensor_sees_other import generation_sensor_sees_other
from .grid_sensor_misses import grid_sensor_misses
from .shield_bond_wrong import shield_bond_wrong
from .terminator_misplaced import terminator_misplaced
from .unfed_board import unfed_board
from .way_used_twice import way_used_twice

__all__ = [
    "bus_not_a_chain",
    "generation_sensor_sees_other",
    "grid_sensor_misses",
    "shield_bond_wrong",
    "terminator_misplaced",
    "unfed_board",
    "way_used_twice",
]
