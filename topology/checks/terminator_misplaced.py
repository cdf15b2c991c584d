# SPDX-License-Identifier: MIT
"""Terminators that are not at the two ends of a bus."""
from __future__ import annotations

from ..bus_signals import bus_reflections, reflections_said
from ..errors import CannotTell, Finding, Number
from ..flow import BusShape, Flows
from ..kinds import Said
from ..rule import rule
from ..site import Bus, Segment
from ._words import known

__all__ = ["terminator_misplaced"]


@rule(each=Bus)
def terminator_misplaced(bus: Bus, site: Flows) -> Finding | None:
    """Terminator missing at an end of a bus, or standing elsewhere.

    Why: a line that is not terminated at both ends reflects the signal; a terminator in between, or a third one, weakens it.
        Where the type of bus allows tees, exactly two of its ends carry one. Where the file gives the bit rate, it is said what reflections do.
    Bad: terminators: [BA1] on a bus from BA1 to BAT2
    Good: terminators: [BA1, BAT2]
    Source: Modbus over Serial Line guide V1.02, 3.4.2 and 3.4.5 (two, at the two ends of the trunk, none on a derivation)
    """
    shape = site.bus_shape(bus)
    ends = [d for d in _in_file_order(bus) if d in shape.ends]
    tree = shape.pieces == 1 and shape.segments == len(shape.devices) - 1 == len(bus.segments)
    placed = known(bus.terminators)
    if not tree or any(said.id not in site.objects for said in placed):
        return None  # the bus itself is wrong, or an id: said elsewhere
    ids = [said.id for said in placed]
    extra = [said for n, said in enumerate(placed) if said.id not in ends or said.id in ids[:n]]
    good = len(placed) - len(extra)
    missing = [end for end in ends if end not in ids] if good < 2 else []
    if (not extra and good == 2) or not (shape.is_chain or site.type_of(bus).tees):
        return None
    mark = extra[0].mark if extra else bus.marks.get("terminators", bus.mark)
    return Finding(mark, f"bus '{bus.id}': {_said(shape, extra, missing, len(placed))}{_at_its_rate(bus, site)}", _next(shape, ends),
                   objects=(bus.id, *missing, *(s.id for s in extra)),
                   numbers={"terminators": Number(len(placed), "1"), "wanted": Number(2, "1")})


def _said(shape: BusShape, extra: list[Said], missing: list[str], number: int) -> str:
    none = f"no terminator at the end {' nor at the end '.join(missing)}"
    words = [none if shape.is_chain else f"it has {number} at its ends where 2 belong"] if missing or not extra else []
    for said in extra:
        where = "a second one there" if said.id in shape.ends else "in the middle" if said.id in shape.devices else "not on this bus"
        words.append(f"a terminator at {said.id}, {where}")
    return "; ".join(words)


def _at_its_rate(bus: Bus, site: Flows) -> str:
    """What reflections do without terminators; nothing where that cannot be told."""
    try:
        found = bus_reflections(site, bus)
    except CannotTell:
        return ""
    return "" if found is None else f" (without terminators reflections {reflections_said(found)})"


def _next(shape: BusShape, ends: list[str]) -> str:
    return f"terminators: [{', '.join(ends)}]" if shape.is_chain else f"put a terminator at the two ends of the trunk, of {', '.join(ends)}"


def _in_file_order(bus: Bus) -> list[str]:
    """The devices of a bus, each once, as its segments name them."""
    segments = [s for s in bus.segments if isinstance(s, Segment)]
    return list(dict.fromkeys(said.id for s in segments for said in (s.from_, s.to) if isinstance(said, Said)))
