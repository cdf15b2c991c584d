# SPDX-License-Identifier: MIT
"""Voltages of a site: the four-wire sweep over its tree, and beside it the linear sum of rated currents."""
from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from functools import cached_property

from ..dataclass import dataclass
from ..drop import Change, segment_change
from ..errors import CannotTell, Unknown
from ..site import Cable, ModuleInverters
from ..sweep import Draw, NoSolution, Segment, Solution, sweep
from .conductors_of import CableZ, impedance_of, impedance_range, part_z, parts_of
from .given import Given, known
from .operating import Case, currents
from .tree import Tree
from .trunks import trunk_rise

__all__ = ["Voltages", "bounded", "impedances"]


@dataclass(frozen=True, slots=True)
class _Contracted:
    """The tree without devices that have no impedance. at: node of the sweep for each node; open: cables whose impedance is not known."""

    at: list[int]
    segments: list[Segment | None]
    open: dict[int, Unknown]


class Voltages:
    """Voltages in one way of operating. Numbers are volts phase to neutral against the nominal one: a rise is above 0, a drop below.

    Currents are those at nominal voltage for the linear method; the sweep holds the power constant. Conductors have the highest
    temperature that their insulation allows in use. Steady state, no harmonics.
    """

    def __init__(self, given: Given, tree: Tree, case: Case, impedances: dict[int, CableZ | Unknown], relieved: Collection[int] = ()) -> None:
        self.given, self.tree, self.case, self._z, self._relieved = given, tree, case, impedances, relieved

    @property
    def impedances(self) -> dict[int, CableZ | Unknown]:
        """Impedance of the cable into each node that has one [ohm]."""
        return self._z

    @cached_property
    def currents(self) -> list[list[complex]]:
        """Currents into each node in L1, L2, L3, N at nominal voltage [A]."""
        return currents(self.given, self.tree, self.case)

    def flowing(self, node: int) -> list[complex]:
        """The most that flows into a node in L1, L2, L3 and N in this way of operating, whatever else runs [A]."""
        more = self.case.more[node]
        return [current * more for current in self.currents[node]]

    def told(self, node: int) -> None:
        """Raises CannotTell where the currents into a node are not known."""
        if node in self.case.missing:
            raise CannotTell(self.case.missing[node])

    @cached_property
    def _net(self) -> _Contracted:
        at: list[int] = [0]
        made: list[Segment | None] = [None]
        open_: dict[int, Unknown] = {}
        for node in range(1, len(self.tree.ids)):
            parent = at[self.tree.parent[node]]
            z = self._z.get(node)
            if z is None:
                at.append(parent)
                continue
            known_z = z if isinstance(z, CableZ) else CableZ(0j, 0j, None)
            if isinstance(z, Unknown):
                open_[node] = z
            made.append(Segment(parent, known_z.phase, known_z.neutral))
            at.append(len(made) - 1)
        return _Contracted(at, made, open_)

    @cached_property
    def solution(self) -> Solution:
        """The solved network. Raises CannotTell where the cables cannot carry what is asked of them."""
        net = self._net
        draws = [Draw(net.at[d.node], d.between, d.s_va, d.constant, d.nominal_v) for d in self.case.draws]
        try:
            return sweep(net.segments, draws, self.given.source)
        except NoSolution:
            what = "voltages (the cables cannot carry what is asked of them)"
            raise CannotTell(Unknown(self.given.supply.mark, what)) from None

    def changes(self, node: int) -> dict[int, float]:
        """Change of each phase that arrives at a node, by the sweep [V]. Raises CannotTell where a cable or a load is open."""
        if self.case.missing:
            raise CannotTell(self.case.missing.get(node, next(iter(self.case.missing.values()))))
        for above in self.tree.up(node, itself=True):
            if above in self._net.open:
                raise CannotTell(self._net.open[above])
        u, lost = self.solution.u[self._net.at[node]], self._lost_more[node]
        return {phase: abs(u[phase] - u[3] - lost[phase]) - self.given.u0 for phase in self.tree.phases(node) if abs(self.given.source[phase])}

    def swept(self, node: int) -> tuple[float, float, float]:
        """Voltages phase to neutral by the sweep alone, with all loads at once as far as the devices let them [V]."""
        return self.solution.to_neutral(self._net.at[node])

    @cached_property
    def _lost_more(self) -> list[tuple[complex, ...]]:
        """For each node what each phase loses on the way there beyond the sweep, when the loads behind run and others rest [V].

        The sweep has all loads at once, scaled down to what the devices let through; each cable can carry more of it alone (see Case.more).
        """
        lost: list[tuple[complex, ...]] = [(0j, 0j, 0j)] * len(self.tree.ids)
        if any(more > 1 + 1e-9 for more in self.case.more):
            for _ in range(2):  # a load of constant power draws more at the lower voltage
                lost = self._losing(lost)
        return lost

    def _losing(self, before: list[tuple[complex, ...]]) -> list[tuple[complex, ...]]:
        """One round of `_lost_more`. before: the round before."""
        lost: list[tuple[complex, ...]] = [(0j, 0j, 0j)]
        for node in range(1, len(self.tree.ids)):
            here, z = lost[self.tree.parent[node]], self._z.get(node)
            if isinstance(z, CableZ) and self.case.more[node] > 1 + 1e-9:
                u, i = (of[self._net.at[node]] for of in (self.solution.u, self.solution.i))
                full = {p: abs(u[p] - u[3]) for p in self.tree.phases(node) if abs(self.given.source[p])}
                fallen = max((volts / max(volts / 2, abs(u[p] - u[3] - before[node][p])) for p, volts in full.items()), default=1.0)
                extra, back = self.case.more[node] * fallen - 1, z.neutral * i[3]
                here = tuple(here[p] + extra * (z.phase * i[p] - back) for p in range(3))
            lost.append(here)
        return lost

    def amperes(self, node: int, phase: int) -> float:
        """What counts in the linear method for one phase of the cable into a node: the phase's current and the neutral's, added as
        they stand, which for a single-phase circuit is twice the length [A]. The neutral of a node that is `relieved` counts nothing."""
        neutral = 0.0 if node in self._relieved else abs(self.currents[node][3])
        return (abs(self.currents[node][phase]) + neutral) * self.case.more[node]

    @cached_property
    def _totals(self) -> tuple[list[tuple[float, float, float]], list[Unknown | None]]:
        """For each node the sum of the linear method for each phase [V], and what is open on the way to it."""
        sums = [(0.0, 0.0, 0.0)]
        open_: list[Unknown | None] = [None]
        for node in range(1, len(self.tree.ids)):
            above, z = self.tree.parent[node], self._z.get(node)
            before, missing = sums[above], open_[above]
            if isinstance(z, CableZ):
                missing = self.case.missing.get(node) if missing is None else missing
                a, b, c = (before[p] + self.amperes(node, p) * z.phase.real for p in range(3))
                before = a, b, c
            sums.append(before)
            open_.append(z if missing is None and isinstance(z, Unknown) else missing)
        return sums, open_

    def linear_total(self, node: int) -> float:
        """The largest sum of the linear method over the phases at a node, from the point of supply [V]."""
        sums, open_ = self._totals
        found = open_[node]
        if found is not None:
            raise CannotTell(found)
        return max((sums[node][phase] for phase in self.tree.phases(node)), default=0.0)

    @cached_property
    def _worst(self) -> tuple[list[float], dict[int, Unknown]]:
        """For each node the largest linear total of what draws or feeds behind it [V], and what is open of cables and trunks up to there."""
        worst = [0.0] * len(self.tree.ids)
        open_: dict[int, Unknown] = {}
        for node in sorted({draw.node for draw in self.case.draws}):
            here = max(self._totals[0][node][phase] for phase in self.tree.phases(node))
            try:
                self.linear_total(node)  # a cable on the way may be open
                worst[node] = here + self.beyond(node)
            except CannotTell as error:
                for above in self.tree.up(node, itself=True):
                    open_.setdefault(above, error.unknown)
        for node in range(len(worst) - 1, 0, -1):
            worst[self.tree.parent[node]] = max(worst[self.tree.parent[node]], worst[node])
        return worst, open_

    def beyond(self, node: int) -> float:
        """What the trunk of module-level inverters at a node adds to its rise [V]; 0 for anything else."""
        obj = self.tree.obj(node)
        generating = self.case.name in ("export", "limited")
        return trunk_rise(self.given, obj) if generating and isinstance(obj, ModuleInverters) else 0.0

    def worst_behind(self, node: int) -> float:
        """The largest linear total of anything that draws or feeds behind a node, the last inverter of a trunk included [V]."""
        self.told(node)
        worst, open_ = self._worst
        if node in open_:
            raise CannotTell(open_[node])
        return max(worst[node], self.linear_total(node))

    def linear_part(self, node: int, number: int) -> Change:
        """Change along one part of the cable into a node, for its most loaded phase [V]. number: from 0."""
        self.told(node)
        link = self.tree.links[node]
        assert link is not None and isinstance(link.run, Cable)
        part = parts_of(link.run)[number]
        amperes = max((self.amperes(node, p) for p in self.tree.phases(node)), default=0.0)
        z, length = part_z(self.given, part), known(part.length)
        return segment_change(amperes, z.real * 1000 / length, length * self.given.ring_share(link.run), single_phase=False)


def impedances(given: Given, tree: Tree) -> dict[int, CableZ | Unknown]:
    """Impedance of the cable into each node that has one, hot; Unknown where the file does not tell."""
    found: dict[int, CableZ | Unknown] = {}
    for node, link in enumerate(tree.links):
        if link is not None and isinstance(link.run, Cable):
            try:
                found[node] = impedance_of(given, link.run, link)
            except CannotTell as error:
                found[node] = error.unknown
    return found


def bounded(volts: Voltages) -> tuple[Voltages, Voltages]:
    """The same way of operating with the least and with the largest that its open cables can be; one that can be of any size stays open in the
    second, and what draws or feeds in places that are not known is left out of the first, with the neutral of several phases that it may relieve.
    """
    given, tree = volts.given, volts.tree
    least, most = dict(volts._z), dict(volts._z)
    for node, z in volts._z.items():
        link = tree.links[node]
        if isinstance(z, Unknown) and link is not None and isinstance(link.run, Cable):
            low, high = impedance_range(given, link.run)
            least[node] = CableZ(low, low, None)
            most[node] = z if high is None else CableZ(high, high, None)
    relieved = volts.case.missing if given.phases > 1 else ()
    return Voltages(given, tree, replace(volts.case, missing={}), least, relieved), Voltages(given, tree, volts.case, most)
