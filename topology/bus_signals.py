# SPDX-License-Identifier: MIT
"""Signals on the buses of a site: how fast they go, and what reflections do at the rate of a bus."""
from __future__ import annotations

from .errors import CannotTell, Unknown
from .flow import Flows
from .signals import VELOCITY, Reflections, reflections
from .site import Bus, Segment

__all__ = ["bus_reflections", "reflections_said", "velocity_of"]


def velocity_of(flows: Flows, bus: Bus) -> float:
    """Speed of signals on a bus over that of light [-], the usual one where its type says none."""
    said = flows.type_of(bus).velocity
    return VELOCITY if said is None else said / 100


def bus_reflections(flows: Flows, bus: Bus) -> Reflections | None:
    """How long reflections last on a bus without terminators, all its cable taken as one line; None where the file gives no rate.

    Raises CannotTell where rate or a length is open.
    """
    if bus.rate is None:
        return None
    lengths = [s.length for s in bus.segments if isinstance(s, Segment)]
    open_ = next((length for length in lengths if isinstance(length, Unknown)), bus.rate)
    if isinstance(open_, Unknown):
        raise CannotTell(open_)
    return reflections(sum(lengths), bus.rate, velocity_of(flows, bus))


def reflections_said(found: Reflections) -> str:
    """What reflections do, in words with the working."""
    dead = "die out before a bit is read" if found.dead else "outlast half a bit, terminators are needed"
    return f"{dead}: {found.working}"
