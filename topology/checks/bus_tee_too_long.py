# SPDX-License-Identifier: MIT
"""A tee of a bus that is longer than its type allows."""
from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..bus_signals import velocity_of
from ..errors import Finding, Number
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..signals import longest_tee_m
from ..site import Bus, EquipmentType, Segment

__all__ = ["bus_tee_too_long"]


@rule(each=Bus)
def bus_tee_too_long(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Tee of a bus that is longer than its type allows, than its share where one tap has several, or than the edges of its drivers allow.

    Why: a tee reflects the signal; a short one does little harm, a long one, or several at one place, garble the line. The trunk is
        the line between the two terminators. The rise time of the drivers, where the type says it, only warns: the notes that say how long a
        tee may be differ by a factor of two, and the shorter one is taken.
    Bad: a tee of 25 m where the type says max_tee: 20 m; four tees of 12 m at one tap where it says tee_budget: 40 m
    Good: tees as short as the type asks, or the bus led from device to device
    Source: Modbus over Serial Line guide V1.02, 3.4.3 (a derivation at most 20 m; n on one tap at most 40 m / n each);
        rise time: published application notes on RS-485 lines (there and back in a tenth of it)
    """
    type_ = site.type_of(bus)
    if not type_.tees or (type_.max_tee is None and type_.tee_budget is None and type_.rise_time is None):
        return
    tees = _tees(bus)
    yield from _by_type(bus, type_, tees)
    if type_.rise_time is not None:
        yield from _by_edges(bus, longest_tee_m(type_.rise_time, velocity_of(site, bus)), tees)


def _tees(bus: Bus) -> dict[str, list[Segment]]:
    """The tees of a bus by the place on its trunk."""
    trunk = _trunk(bus)
    tees: dict[str, list[Segment]] = {}
    for segment in bus.segments:
        ends = [segment.from_.id, segment.to.id]
        at = [end for end in ends if end in trunk]
        if len(at) == 1:
            tees.setdefault(at[0], []).append(segment)
    return tees


def _by_edges(bus: Bus, most: float, tees: Mapping[str, list[Segment]]) -> Iterator[Finding]:
    for tap, segments in tees.items():
        for segment in segments:
            if segment.length > most:
                yield Finding(segment.mark, f"tee '{segment.id}' is {segment.length:g} m long; the rise time of the drivers allows {most:.2f} m",
                              "bring the bus itself to the device, or take drivers with slower edges", objects=(bus.id, segment.id, tap), severity="warning",
                              numbers={"length": Number(segment.length, "m"), "allowed": Number(round(most, 3), "m")})


def _by_type(bus: Bus, type_: EquipmentType, tees: Mapping[str, list[Segment]]) -> Iterator[Finding]:
    for tap, segments in tees.items():
        limits = [type_.max_tee or float("inf"), type_.tee_budget / len(segments) if type_.tee_budget else float("inf")]
        for segment in segments:
            if segment.length > min(limits):
                shared = f", shared by {len(segments)} tees at '{tap}'" if limits[1] < limits[0] else ""
                yield Finding(segment.mark, f"tee '{segment.id}' is {segment.length:g} m long; its type of bus allows {min(limits):g} m{shared}",
                              "bring the bus itself to the device", objects=(bus.id, segment.id, tap),
                              numbers={"length": Number(segment.length, "m"), "allowed": Number(min(limits), "m")})


def _trunk(bus: Bus) -> set[str]:
    """The devices between the two terminators; empty where the bus has not got two."""
    near: dict[str, list[str]] = {}
    for segment in bus.segments:
        near.setdefault(segment.from_.id, []).append(segment.to.id)
        near.setdefault(segment.to.id, []).append(segment.from_.id)
    ends = [said.id for said in bus.terminators if isinstance(said, Said) and said.id in near]
    if len(ends) != 2:
        return set()
    came: dict[str, str | None] = {ends[0]: None}
    todo = [ends[0]]
    while todo:
        here = todo.pop()
        new = [other for other in near[here] if other not in came]
        came |= dict.fromkeys(new, here)
        todo += new
    trunk: set[str] = set()
    at: str | None = ends[1] if ends[1] in came else None
    while at is not None:
        trunk.add(at)
        at = came[at]
    return trunk
