# SPDX-License-Identifier: MIT
"""The current in each section of a busbar that several sources feed."""
from __future__ import annotations

import math
from collections.abc import Sequence

from .dataclass import dataclass

__all__ = ["Section", "Tap", "busbar_sections", "sum_of_sources"]


@dataclass(frozen=True, slots=True)
class Tap:
    """A connection to a busbar. gives: the most that can come from it [A]; takes: the most that can go into it [A]."""

    id: str
    gives: float
    takes: float


@dataclass(frozen=True, slots=True)
class Section:
    """The piece of a bar between two neighbouring taps and the largest current in it [A]."""

    left: str
    right: str
    ampere: float
    working: str


def busbar_sections(taps: Sequence[Tap]) -> list[Section]:
    """The sections of a bar whose taps stand in this order, each with its largest current [A].

    Formula: for each gap, over both directions, the smaller of what can come from one side and what can go to the other.
    Source: Kirchhoff's first law. Empty for fewer than two taps.
    """
    return [_section(taps, n) for n in range(1, len(taps))]


def _section(taps: Sequence[Tap], cut: int) -> Section:
    left, right = taps[:cut], taps[cut:]
    ways = [(math.fsum(t.gives for t in a), math.fsum(t.takes for t in b)) for a, b in ((left, right), (right, left))]
    gives, takes = max(ways, key=min)
    return Section(left[-1].id, right[0].id, min(gives, takes), f"min({gives:.1f} A given, {takes:.1f} A taken)")


def sum_of_sources(taps: Sequence[Tap]) -> float:
    """The most that a section can carry where the order of the taps is not known [A]: the sum of what all sources give, or of what
    all can take where that is less."""
    return min(math.fsum(t.gives for t in taps), math.fsum(t.takes for t in taps))
