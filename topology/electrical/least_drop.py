# SPDX-License-Identifier: MIT
"""The least that a voltage can drop on several phases, whatever cables and loads that are not known turn out to be."""
from __future__ import annotations

from typing import Any

from ..demand import nominal_current
from ..errors import CannotTell
from .bounds import LOWEST, MostDrop
from .conductors_of import CableZ
from .operating import Case

__all__ = ["LeastDrop"]

HIGHEST = 1.03
"""Loads of constant power stand at no more than this share of the nominal voltage, where the loads of other phases shift the neutral"""
TURNED = 0.75
"""Voltages turn: what stands across takes b² / 2 U0 off at the most, b below M, the most that the drop can be; half as much again for the currents"""
Parts = list[list[float]]


class LeastDrop:
    """Bounds of the drop at the nodes of a site.

    certain  : the loads that are known; worst: the same and all that the open ones can draw; both in the way of operating "demand"
    low, high: impedance of the cable into each node at the least and at the most, which is Unknown where nothing bounds it

    Law: what a cable takes off phase p is Re(z (I + I N) / û), û the direction of its voltage. Loads of the phase that are known add to it; an open
    one may rest; those of other phases relieve the neutral, and do so with all that they can draw.
    """

    def __init__(self, certain: Case, worst: Case, most: MostDrop, low: dict[int, Any], high: dict[int, Any], source: tuple[complex, complex, complex]) -> None:
        self.tree, self.most, self.low, self.high, self.worst = most.tree, most, low, high, worst
        self.u0 = max(map(abs, source))
        self._along = [u / abs(u) if u else 0j for u in source]
        known = {draw.node for draw in certain.asked}
        self._adds: list[Parts] = [_none() for _ in self.tree.ids]
        self._takes: list[Parts] = [_none() for _ in self.tree.ids]
        for draw in worst.asked:
            current = nominal_current(draw, source)
            for p, u in enumerate(self._along):
                for place, value in enumerate(_projected(current, draw.between, p, u)):
                    adds = value / HIGHEST if value > 0 and draw.node in known else 0.0
                    self._adds[draw.node][p][place] += adds
                    self._takes[draw.node][p][place] += min(0.0, value) / LOWEST
        self._gather()

    def _gather(self) -> None:
        """Sums what is behind each node; what adds is cut to what a device lets through when everything else behind it draws its most."""
        for node in range(len(self.tree.ids) - 1, 0, -1):
            above, device = self.tree.parent[node], self.tree.obj(node)
            limited = getattr(device, "limits_current", False) and isinstance(device.rating, float)
            share = self._share(node, device.rating) if limited else 1.0
            for p in range(3):
                self._adds[above][p] = [a + b * share for a, b in zip(self._adds[above][p], self._adds[node][p], strict=True)]
                self._takes[above][p] = [a + b for a, b in zip(self._takes[above][p], self._takes[node][p], strict=True)]

    def _share(self, node: int, limit: float | None) -> float:
        most = max(self.most.asked_for(node))
        return limit / most if limit is not None and self.worst.behind[node] > 1 and most > limit else 1.0

    def volts(self, node: int) -> float:
        """The least that the drop at a node can be, in the phase that drops most [V]; below 0 where nothing holds it up. Raises CannotTell."""
        turned = TURNED * self.most.volts(node) ** 2 / self.u0
        way = [n for n in self.tree.up(node, itself=True) if n in self.low]
        return max((sum(self._taken(n, phase) for n in way) - turned for phase in self.tree.phases(node)), default=0.0)

    def _taken(self, node: int, phase: int) -> float:
        """The least that the cable into a node takes off a phase [V]."""
        low, high = self.low[node], self.high[node]
        share = self._share(node, self.most.limits[node])
        flows = [share * a + b for a, b in zip(self._adds[node][phase], self._takes[node][phase], strict=True)]
        least = _across(low, flows)
        if not isinstance(high, CableZ):
            if least < 0 or min(flows[0], flows[0] + flows[2]) < 0:
                raise CannotTell(high)
            return least
        return min(least, _across(high, flows))


def _none() -> Parts:
    return [[0.0] * 4 for _ in range(3)]


def _projected(current: complex, between: tuple[int, int], phase: int, along: complex) -> tuple[float, float, float, float]:
    """What a draw adds to a phase in the direction of its voltage and across it, in the phase conductor and then in the neutral [A]."""
    turned = current * along.conjugate()
    line = 1 if between[0] == phase else -1 if between[1] == phase else 0
    back = 1 if between[1] == 3 else 0
    return line * turned.real, -line * turned.imag, back * turned.real, -back * turned.imag


def _across(z: CableZ, flows: list[float]) -> float:
    return z.phase.real * flows[0] + z.phase.imag * flows[1] + z.neutral.real * flows[2] + z.neutral.imag * flows[3]
