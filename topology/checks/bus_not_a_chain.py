# SPDX-License-Identifier: MIT
"""A bus with a tee, a ring or several pieces."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number, Related
from ..flow import BusShape, Flows
from ..rule import rule
from ..site import Bus
from ._words import listed

__all__ = ["bus_not_a_chain"]


@rule(each=Bus)
def bus_not_a_chain(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Bus that is not one chain from its first device to its last.

    Why: tees and rings reflect signals, so that the bus works today and fails tomorrow; a piece apart is not heard at all. Tees are
        passed where the type of bus says tees: yes.
    Bad: segments BA1–BAT1, BA1–BAT2 and BA1–BAT3
    Good: segments BA1–BAT1, BAT1–BAT2 and BAT2–BAT3
    Source: Modbus over Serial Line guide V1.02, 3.4.2 (one trunk, devices on it one after another); graph theory: connected,
        edges = nodes − 1, no node with more than two segments
    """
    shape = site.bus_shape(bus)
    if shape.segments < len(bus.segments):
        return  # a segment that could not be read is a fault of reading
    devices = len(shape.devices)
    tees = [d for d in shape.devices if shape.degree[d] > 2]
    tees = [] if tees and site.type_of(bus).tees else tees
    ring = shape.segments > devices - shape.pieces
    apart = shape.pieces > 1
    faults = [*([f"is in {shape.pieces} pieces ({_pieces(bus)})"] if apart else []),
              *(["closes to a ring"] if ring else []), *([f"branches at {listed(tees)}"] if tees else [])]
    if faults:
        numbers = {"devices": devices, "segments": shape.segments, "pieces": shape.pieces}
        yield Finding(bus.mark, f"bus '{bus.id}' {' and '.join(faults)}", _next(shape, tees, ring), objects=(bus.id, *tees),
                      numbers={name: Number(value, "1") for name, value in numbers.items()},
                      related=tuple(Related(s.mark, f"a segment at {d}") for d in tees for s in bus.segments if d in (s.from_.id, s.to.id)))


def _pieces(bus: Bus) -> str:
    """The first device of each piece, in the order of the file."""
    group: dict[str, set[str]] = {}
    devices: dict[str, None] = {}
    for segment in bus.segments:
        a, b = segment.from_.id, segment.to.id
        devices |= {a: None, b: None}
        joined = group.get(a, {a}) | group.get(b, {b})
        group.update(dict.fromkeys(joined, joined))
    firsts: dict[int, str] = {}
    for device in devices:
        firsts.setdefault(id(group[device]), device)
    return "one with " + ", one with ".join(firsts.values())


def _next(shape: BusShape, tees: list[str], ring: bool) -> str:
    if shape.pieces > 1:
        return "add the segment that joins the pieces, or make a bus of each"
    if ring:
        return "take one segment away, so that the bus has two ends"
    return f"wire from device to device: not more than two segments at {tees[0]} (it has {shape.degree[tees[0]]})"
