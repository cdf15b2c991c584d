# SPDX-License-Identifier: MIT
"""A bus with a tee, a ring or several pieces."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Bus

__all__ = ["bus_not_a_chain"]


@rule(each=Bus)
def bus_not_a_chain(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Bus that is not one chain from its first device to its last.

    Why: tees and rings reflect signals; a piece apart is not heard at all.
    Bad: segments BA1–BAT1, BA1–BAT2 and BA1–BAT3
    Good: segments BA1–BAT1, BAT1–BAT2 and BAT2–BAT3
    Source: graph theory: connected, edges = nodes − 1, no node with more than two segments
    """
    shape = site.bus_shape(bus)
    kind = site.types.get(bus.type_.id)
    if shape.is_chain or not shape.segments or kind is None or (kind.tees and shape.pieces == 1):
        return
    tees = [device for device, degree in shape.degree.items() if degree > 2]
    how = f"is in {shape.pieces} pieces" if shape.pieces > 1 else f"branches at {', '.join(tees)}" if tees else "is a ring"
    yield Finding(bus.mark, f"bus '{bus.id}' {how}", "wire it from device to device, two segments at most on each", objects=(bus.id, *tees))
