# SPDX-License-Identifier: MIT
"""Room on a board: the modules that devices take, and the ways that nothing takes.

Widths are those of `topology/rail.py`.
"""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Way
from topology.rail import WIDTHS, room_of
from topology.site import Board, Switching

__all__ = ["modules_of", "spare_modules", "spare_ways"]


def modules_of(flows: Flows, devices: Iterable[Any], board: str) -> Any:
    """Modules that devices in line take on a board: `2`, `1 to 2`; what is unknown where poles are; None where none stands there."""
    least = most = 0
    for device in devices:
        if isinstance(device, Switching) and device.id in flows.graph and flows.home(device.id) == board:
            if isinstance(device.poles, Unknown):
                return Unknown(device.poles.mark, device.poles.what)
            least, most = least + WIDTHS[device.poles][0], most + WIDTHS[device.poles][1]
    return None if most == 0 else str(most) if least == most else f"{least} to {most}"


def spare_modules(flows: Flows, board: Board) -> Any:
    """Modules that are left on a board whose rows are given: `12`, `10 to 12`, `none`; unknown where a width is; None where rows are not given."""
    if board.modules is None or isinstance(board.modules, Unknown):
        return board.modules
    room = room_of(board, flows)
    if room.open:
        return Unknown(room.open[0].mark, room.open[0].what)
    left = sorted(max(0, board.modules - taken) for taken in (room.least, room.most))
    return "none" if left[1] == 0 else str(left[0]) if left[0] == left[1] else f"{left[0]} to {left[1]}"


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
