# SPDX-License-Identifier: MIT
"""Operating modes: the few ways in which the switches of a whole site stand."""
from __future__ import annotations

from dataclasses import dataclass

__all__ = ["GRID", "Mode"]


@dataclass(frozen=True, slots=True)
class Mode:
    """A mode. opened: ids of devices that stand open; live: the supply feeds the site."""

    name: str
    opened: frozenset[str] = frozenset()
    live: bool = True


GRID = Mode("grid")
"""Normal operation: the supply is live and every switch is closed."""
