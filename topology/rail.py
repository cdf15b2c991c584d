# SPDX-License-Identifier: MIT
"""Room on the rail of a board, in modules of 18 mm.

Widths are common practice, from memory: one module a pole; a device with 1P+N takes one or two (a module is 18 mm after DIN 43880, from
memory). The device's own width prevails. Meters, controllers and terminals are not counted.
"""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from .conductors import phase_names
from .dataclass import dataclass
from .errors import Unknown
from .flow import Flows
from .site import Board, Fuse, Switching

__all__ = ["WIDTHS", "Room", "room_of", "width_of"]

WIDTHS = {"1P": (1, 1), "1P solid-N": (1, 2), "1P+N": (1, 2), "2P": (2, 2), "3P": (3, 3), "3P+N": (4, 4), "4P": (4, 4)}
"""Least and most modules of a device by its poles."""


@dataclass(frozen=True)
class Room:
    """What stands on a board's rail. least, most: modules of the devices whose width is known; open: what is not known of others."""

    least: int
    most: int
    open: tuple[Unknown, ...]


def width_of(device: Any, flows: Flows) -> tuple[int, int] | Unknown | None:
    """Least and most modules of a device; unknown where its poles are; None for what stands on no rail. A fuse takes one for each phase."""
    if isinstance(device, Fuse):
        phases = len(phase_names(flows.phases_at(device.id)))
        return phases, phases
    if not isinstance(device, Switching):
        return None
    return WIDTHS[device.poles] if isinstance(device.poles, str) else device.poles  # type: ignore[return-value]


def room_of(board: Board, flows: Flows) -> Room:
    """What stands on a board's rail; what is removed leaves room, and the distributor's devices have a place of their own."""
    mine = [device for device in _devices(board.id, flows) if not _says(device.status, "removed") and not _says(device.owner, "distributor")]
    widths = [width_of(device, flows) for device in mine]
    known = [width for width in widths if isinstance(width, tuple)]
    return Room(sum(least for least, _ in known), sum(most for _, most in known), tuple(w for w in widths if isinstance(w, Unknown)))


def _says(value: Any, word: str) -> bool:
    """Whether a value is this word; one that is not known is not."""
    return isinstance(value, str) and value == word


def _devices(board: str, flows: Flows) -> Iterable[Any]:
    """Devices by the board that they stand in; found once for all boards."""
    if "on rails" not in flows.memo:
        homes: dict[str, list[Any]] = {}
        for node, data in flows.graph.nodes(data=True):
            if isinstance(data["obj"], Fuse | Switching):
                homes.setdefault(data["home"], []).append(data["obj"])
        flows.memo["on rails"] = homes
    found: dict[str, list[Any]] = flows.memo["on rails"]
    return found.get(board, ())
