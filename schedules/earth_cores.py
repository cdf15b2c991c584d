# SPDX-License-Identifier: MIT
"""Earthing and bonding conductors at both ends: to electrodes, between earth bars, to what is bonded, to the frames of arrays."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.flow import Flows
from topology.kinds import Said
from topology.site import Array, Board, Bond, EarthBar, Electrode

from .columns import Cell
from .core import Core, new_or_found
from .landing import earth_bars

__all__ = ["earth_conductors"]


def earth_conductors(flows: Flows) -> Iterator[Core]:
    """Each earthing and bonding conductor of the file, at the bar and at its clamp."""
    for u, v, data in flows.graph.edges(data=True):
        obj = flows.obj(v)
        if data["layer"] == "earth" and isinstance(obj, Electrode | Bond):
            clamp = "electrode clamp" if isinstance(obj, Electrode) else f"clamp on {obj.part}"
            yield from _both(flows, v, (u, "earth"), (v, clamp), obj.conductor, flows.obj(u))
        elif data["obj"].id == f"{u}.joined" and isinstance(flows.obj(u), EarthBar):
            yield from _both(flows, u, (u, "earth"), (v, "earth"), flows.obj(u).conductor, flows.obj(u))
    yield from _frames(flows)


def _frames(flows: Flows) -> Iterator[Core]:
    """Frames of arrays; their conductor has no size in the file."""
    bars = earth_bars(flows)
    for array in flows.objects.values():
        said = array.frame_bonded_to if isinstance(array, Array) else None
        if said is not None:
            on = bars.get(said.id, said.id) if isinstance(said, Said) else said
            terminal = "earth bar" if isinstance(flows.objects.get(str(on)), Board) else "earth"
            yield from _both(flows, array.id, (on, terminal), (array.id, "frame"), None, array)


def _both(flows: Flows, run: str, start: tuple[Cell, str], end: tuple[Cell, str], size: Any, owner: Any) -> Iterator[Core]:
    status = getattr(owner, "status", None)
    colour = new_or_found(flows, status, "PE")
    for word, (at, terminal) in (("from", start), ("to", end)):
        yield Core(run, 1, word, at, terminal, "PE", colour, f"{run}:PE", size, "", "", status)
