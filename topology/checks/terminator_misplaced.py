# SPDX-License-Identifier: MIT
"""Terminators that are not at the two ends of a bus."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Bus

__all__ = ["terminator_misplaced"]


@rule(each=Bus)
def terminator_misplaced(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Terminator missing at an end of a bus, or standing elsewhere.

    Why: a line that is not terminated at both ends, or is loaded in between, reflects or weakens the signal.
    Bad: terminators: [BA1] on a bus from BA1 to BAT2
    Good: terminators: [BA1, BAT2]
    Source: Modbus over Serial Line guide V1.02 (termination at both ends of the line, nowhere else)
    """
    shape = site.bus_shape(bus)
    if not shape.is_chain:
        return
    placed = [said.id for said in bus.terminators]
    missing = [end for end in shape.ends if end not in placed]
    extra = [device for n, device in enumerate(placed) if device not in shape.ends or device in placed[:n]]
    if missing or extra:
        said = "; ".join([*(f"none at the end {d}" for d in missing), *(f"one too many at {d}" for d in extra)])
        yield Finding(bus.marks.get("terminators", bus.mark), f"terminators of bus '{bus.id}': {said}", f"terminators: [{', '.join(shape.ends)}]",
                      objects=(bus.id, *missing, *extra))
