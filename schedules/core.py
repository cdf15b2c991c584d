# SPDX-License-Identifier: MIT
"""One core at one end, as the termination schedule lists it; its colour by the profile, its place along a run of several pieces."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from topology.dataclass import dataclass
from topology.flow import Flows

from .columns import Cell, dotted
from .sourced import facts_of, profiles_of

__all__ = ["UNSAID", "Core", "colour_of", "colour_sources", "ends_of_pieces", "former_colours", "new_or_found", "size_of"]

UNSAID = "as the maker says"


@dataclass(frozen=True, eq=False)
class Core:
    """One core at one end. run: id of the cable, segment or lead; part: which piece of it; bus: the circuit or bus that it belongs to."""

    run: str
    part: int
    end: str
    device: Cell
    terminal: Cell
    conductor: str
    colour: str
    ferrule: str
    size: Cell
    board: str
    bus: str
    status: Cell


def profile_of(flows: Flows) -> str:
    """The first profile of the site; iec where it names none."""
    return next(iter(profiles_of(flows)), "iec")


def colour_of(profile: str, conductor: str, phases: int) -> str:
    """Colour of a conductor in a cable with so many phases; TBC where the facts have none for the profile."""
    name = "L" if conductor in ("L1", "L2", "L3") and phases == 1 else conductor
    row = next((row for row in facts_of("colours") if row["profile"] == profile and row["conductor"] == name), None)
    return row["colour"] if row else "TBC"


def colour_sources(flows: Flows) -> Iterator[str]:
    """Where the colours come from, each source once."""
    rows = [row for row in facts_of("colours") if row["profile"] == profile_of(flows)]
    for source in dict.fromkeys((row["source"], row["found"]) for row in rows):
        of = ", ".join(row["conductor"] for row in rows if (row["source"], row["found"]) == source)
        yield f"Colours of {of}: {source[0]} ({source[1]})."


def former_colours(flows: Flows) -> Iterator[str]:
    """What colours existing wiring may have, by the profile."""
    for row in facts_of("former"):
        if row["profile"] == profile_of(flows):
            yield f"Wiring {row['what']} may have {row['colours']} ({row['source']}; {row['found']})."


def new_or_found(flows: Flows, status: Any, conductor: str, phases: int = 1) -> str:
    """The colour of a conductor of new work; of what was there before, altered, moved or taken away too, that it is as found."""
    new = isinstance(status, str) and status == "new"
    return colour_of(profile_of(flows), conductor, phases) if new else "as found"


def size_of(part: Any, conductor: str) -> Cell:
    """Cross-section of a core [mm²]: the earth core where the cable has one of its own."""
    cores = dotted(part, "cores")
    return cores[1] if conductor == "PE" and isinstance(cores, tuple) and cores[1] is not None else dotted(part, "area")


def ends_of_pieces(pieces: Sequence[Any]) -> Iterator[tuple[int, Any, str, int]]:
    """Number of a piece, the piece, which of its ends, and the joint there: 0 at the two ends of the whole run."""
    for number, piece in enumerate(pieces, 1):
        yield number, piece, "from", number - 1
        yield number, piece, "to", 0 if number == len(pieces) else number
