# SPDX-License-Identifier: MIT
"""The most that a voltage can drop on several phases whichever of the loads run: there more load may relieve the neutral, so that all at once is no bound."""
from __future__ import annotations

import cmath
import math
from typing import Any

from ..demand import nominal_current
from ..errors import CannotTell
from .conductors_of import CableZ
from .operating import Case

__all__ = ["MostDrop"]

DIRECTIONS = tuple(cmath.rect(1, math.radians(10 * n)) for n in range(36))
LOWEST = 0.9
"""Loads of constant power draw by this share of the nominal voltage; one that stands lower fails its own limit."""


class MostDrop:
    """Bounds of the drop at the nodes of a site whose open loads draw all that their devices let through.

    Law: |ΔU| ≤ Σ |Z| (|I| + |I N|) along the way; a phase carries at most all of its loads, or what its device lets through; the neutral at most
    the worst choice of loads that run, which no direction of the plane sees larger than the sum of what each adds there.
    """

    def __init__(self, tree: Any, case: Case, impedances: dict[int, Any], source: tuple[complex, complex, complex], limits: list[float | None]) -> None:
        self.tree, self.case, self.z, self.limits = tree, case, impedances, limits
        self._phases = [[0.0, 0.0, 0.0] for _ in tree.ids]
        self._neutral = [[0.0] * len(DIRECTIONS) for _ in tree.ids]
        for draw in case.asked:
            current = nominal_current(draw, source) / LOWEST
            for place in draw.between:
                if place < 3:
                    self._phases[draw.node][place] += abs(current)
            if draw.between[1] == 3:
                self._neutral[draw.node] = [h + max(0.0, (current * d.conjugate()).real) for h, d in zip(self._neutral[draw.node], DIRECTIONS, strict=True)]
        for node in range(len(tree.ids) - 1, 0, -1):
            above = tree.parent[node]
            self._phases[above] = [a + b for a, b in zip(self._phases[above], self._phases[node], strict=True)]
            self._neutral[above] = [a + b for a, b in zip(self._neutral[above], self._neutral[node], strict=True)]

    def volts(self, node: int) -> float:
        """The most that the drop at a node can be [V]. Raises CannotTell where a cable on the way or the place of a load is open."""
        lost = [0.0, 0.0, 0.0]
        for above in self.tree.up(node, itself=True):
            z = self.z.get(above)
            if above in self.case.missing:
                raise CannotTell(self.case.missing[above])
            if z is not None and not isinstance(z, CableZ):
                raise CannotTell(z)
            if z is not None:
                back = abs(z.neutral) * max(self._neutral[above]) / math.cos(math.radians(5))  # between two of the directions
                lost = [volts + abs(z.phase) * self._phase(above, p) + back for p, volts in enumerate(lost)]
        return max((lost[phase] for phase in self.tree.phases(node)), default=0.0)

    def asked_for(self, node: int) -> list[float]:
        """What all that is behind a node asks for in L1, L2, L3 at the lowest voltage, added as it stands [A]."""
        return self._phases[node]

    def _phase(self, node: int, phase: int) -> float:
        limit = self.limits[node] if self.case.behind[node] > 1 else None
        return self._phases[node][phase] if limit is None else min(limit / LOWEST, self._phases[node][phase])
