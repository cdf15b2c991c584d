# SPDX-License-Identifier: MIT
"""Room on a board: the modules that devices take, and the ways that nothing takes.

Widths in modules of 18 mm (DIN 43880) are common practice, from memory: one a pole; a device with 1P+N takes one or two.
"""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Way
from topology.site import Board, Switching

__all__ = ["modules_of", "spare_ways"]

WIDTHS = {"1P": (1, 1), "1P solid-N": (1, 2), "1P+N": (1, 2), "2P": (2, 2), "3P": (3, 3), "3P+N": (4, 4), "4P": (4, 4)}
"""Least and most modules of a device by its poles."""


def modules_of(flows: Flows, devices: Iterable[Any], board: str) -> Any:
    """Modules that devices in line take on a board: `2`, `1 to 2`; what is unknown where poles are; None where none stands there."""
    least = most = 0
    for device in devices:
        if isinstance(device, Switching) and device.id in flows.graph and flows.home(device.id) == board:
            if isinstance(device.poles, Unknown):
                return Unknown(device.poles.mark, device.poles.what)
            least, most = least + WIDTHS[device.poles][0], most + WIDTHS[device.poles][1]
    return None if most == 0 else str(most) if least == most else f"{least} to {most}"


def spare_ways(board: Board, ways: Iterable[Any]) -> list[Way]:
    """The ways of a board that no circuit takes, in runs. Empty where the number of ways or a circuit's way is not known."""
    taken = list(ways)
    if isinstance(board.ways, Unknown) or any(isinstance(way, Unknown) for way in taken):
        return []
    used = {n for way in taken if isinstance(way, Way) for n in range(way.first, way.last + 1)}
    runs: list[Way] = []
    for n in sorted(set(range(1, board.ways + 1)) - used):
        if runs and runs[-1].last == n - 1:
            runs[-1] = Way(runs[-1].first, n)
        else:
            runs.append(Way(n, n))
    return runs
