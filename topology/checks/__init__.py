# SPDX-License-Identifier: MIT
"""The checks by name, one file each."""
from __future__ import annotations

from .bus_not_a_chain import bus_not_a_chain
from .terminator_misplaced import terminator_misplaced
from .unfed_board import unfed_board

__all__ = ["bus_not_a_chain", "terminator_misplaced", "unfed_board"]
