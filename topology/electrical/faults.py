# SPDX-License-Identifier: MIT
"""Prospective fault currents at the places of a site, and whether and how fast they are cleared."""
from __future__ import annotations

from functools import cached_property
from typing import Any

from ..conductors import PHASES, bits, phase_names
from ..disconnection import Clearing, clears, largest_loop, needed_time, residual_times, trip_current
from ..errors import CannotTell, Unknown
from ..fault import C_MAX, C_MIN, COLD_DEGC, Fault, earth_fault, of_inverter, three_phase
from ..fuses import curve_of, least_current, opens_within
from ..impedance import of_loop
from ..site import Board, Breaker, Cable, Equipment, Fuse, FuseSwitch, HybridInverter, Source
from ..tables import Row
from .conductors_of import CableZ, impedance_of, operating_degc, parts_of
from .given import FaultLevel, Given, known
from .operating import rated_va
from .tree import Tree
from .upstream import level_of

__all__ = ["Faults"]


class Faults:
    """Fault currents from what is declared or measured. Largest and smallest come from different inputs and are never one figure."""

    def __init__(self, given: Given, tree: Tree) -> None:
        self.given, self.tree = given, tree
        self._cables: dict[tuple[int, bool], CableZ] = {}
        self._levels: dict[bool, FaultLevel] = {}
        self._break_times: dict[bool, dict[float, float]] = {}

    # ---- currents ----

    def largest(self, node: int, phases: int | None = None, open_: list[Unknown] | None = None) -> Fault:
        """Largest prospective current at a node [A]: between three phases where three arrive, else from phase to neutral.

        phases : what a device there takes of them; None: all that arrive
        open_  : takes what is not known of cables on the way, which then count as nothing: the current can be no larger; None: that raises
        From the declared largest current; cables at 20 °C. What stands behind the declared place is taken as reactance, and
        its return path as nothing where the supply has three phases: both make the current larger. Without that of inverters.
        Source: IEC 60909-0. Raises CannotTell where no largest current is declared here or further up.
        """
        level = self.level(cold=True)
        way = self._way(level, node, cold=True, open_=open_)
        behind = of_loop(level.value, self.given.u0, r_over_x=0.0, c=C_MAX)
        line = behind + sum((z.phase for z in way), 0j)
        if (len(self.tree.phases(node)) if phases is None else phases) >= 3:
            return three_phase(self.given.u0, line, C_MAX)
        return earth_fault(self.given.u0, line, sum((z.neutral for z in way), 0j), C_MAX, "phase–neutral")

    def loop(self, node: int) -> float:
        """Earth-fault loop impedance Zs at a node [ohm].

        The declared or measured loop and the cables from there, hot, with their protective conductors; magnitudes are added,
        which is never too little. Source: IEC 60364-4-41 clause 411.4.4. Raises CannotTell where no loop is known here or further up.
        """
        level = self.level(cold=False)
        total = 0j
        for z in self._way(level, node, cold=False):
            assert z.protective is not None
            total += z.phase + z.protective
        return level.value + abs(total)

    def loop_at_least(self, node: int, open_: list[Unknown]) -> float:
        """What the loop impedance at a node cannot be below [ohm], whatever is open.

        Cables that are not known count as nothing. Where no loop is known, what stands behind the declared largest current is taken,
        its return path as nothing. The ratio of resistance to reactance is the one that makes the loop smallest. open_: takes what is not known.
        Law: the impedance of a way grows with each of its parts. Raises CannotTell where neither level is known.
        """
        try:
            behind = (level := self.level(cold=False)).value
        except CannotTell as error:
            open_.append(error.unknown)
            level = self.level(cold=True)
            behind = abs(of_loop(level.value, self.given.u0, c=1.0))
        way = sum((z.phase + (z.protective or 0j) for z in self._way(level, node, cold=False, open_=open_)), 0j)
        return min(abs(way + behind), abs(way + 1j * behind))  # whatever angle it has

    def largest_at_least(self, node: int) -> float:
        """What the largest current at a node cannot be below [A]: what the known loop lets flow there.

        Law: a shorter way back than the protective conductor, and cold conductors, only add to it. Raises CannotTell where no loop is known.
        """
        return self.given.u0 / self.loop(node)

    def smallest(self, node: int) -> Fault:
        """Smallest prospective earth-fault current at a node [A]: voltage factor 0.95, conductors hot. Source: IEC 60909-0."""
        return earth_fault(self.given.u0, complex(self.loop(node)), 0j, C_MIN)

    def of_inverters(self) -> float:
        """Current that all inverters on site can add to a fault [A]; stated beside the others, not counted in them."""
        total = 0.0
        for node in range(len(self.tree.ids)):
            obj = self.tree.obj(node)
            if isinstance(obj, Source) and isinstance(obj, Equipment | HybridInverter):
                total += of_inverter(rated_va(self.given, obj) / self.given.u0 / max(1, len(self.tree.phases(node))))
        return total

    def level(self, cold: bool) -> FaultLevel:
        """What faults start from: the largest current, or with cold false the loop; see upstream.level_of. Raises CannotTell."""
        if cold not in self._levels:
            self._levels[cold] = level_of(self.given, cold)
        return self._levels[cold]

    def _way(self, level: FaultLevel, node: int, cold: bool, open_: list[Unknown] | None = None) -> list[CableZ]:
        """Impedances of the cables from the place of a level to a node. open_: takes what is not known of one, which is then left out."""
        start = self.tree.index.get(level.node, -1)
        trail = self._trail(start, node)
        if trail is None:
            what = "largest fault current" if cold else "loop impedance"
            place = self.tree.ids[node]
            raise CannotTell(Unknown(known(self.given.supply.faults).mark, f"{what} at {place} or before it", given=False))
        for above in trail if self.tree.looped else ():
            if above in self.tree.looped:
                raise CannotTell(self.tree.looped[above])
        return [z for above in reversed(trail) if above in self._with_cable and (z := self._or_open(above, cold, open_)) is not None]

    def _or_open(self, node: int, cold: bool, open_: list[Unknown] | None) -> CableZ | None:
        try:
            return self._cable(node, cold)
        except CannotTell as error:
            if open_ is None:
                raise
            open_.append(error.unknown)
            return None

    def _trail(self, start: int, node: int) -> list[int] | None:
        """The nodes from a node up to a place before it, that one left out; None where the place is not before it."""
        trail = []
        while node > start >= 0:  # a feeder has the smaller number
            trail.append(node)
            node = self.tree.parent[node]
        return trail if node == start else None

    @cached_property
    def _with_cable(self) -> set[int]:
        return set(self.tree.cables.values())

    def _cable(self, node: int, cold: bool) -> CableZ:
        if (node, cold) not in self._cables:
            link = self.tree.links[node]
            assert link is not None and isinstance(link.run, Cable)
            degc = COLD_DEGC if cold else max(operating_degc(self.given, part) for part in parts_of(link.run))
            z = impedance_of(self.given, link.run, link, degc)
            if z.protective is None and not cold:
                raise CannotTell(Unknown(link.run.mark, f"protective conductor of {link.run.id}"))
            self._cables[node, cold] = z
        return self._cables[node, cold]

    def way(self, node: int, cold: bool) -> tuple[FaultLevel, list[tuple[str, CableZ]]]:
        """The declared or measured level that counts for a node, and the cables from its place with their impedances [ohm], by their ids.

        cold : for the largest current; else for the loop. Raises CannotTell where one of them is not known.
        """
        level = self.level(cold)
        found = self._way(level, node, cold)
        trail = self._trail(self.tree.index[level.node], node) or []
        names = [self.tree.links[n].run.id for n in reversed(trail) if n in self._with_cable]  # type: ignore[union-attr]
        return level, list(zip(names, found, strict=True))

    # ---- clearing ----

    def device(self, node: int) -> Any:
        """The device that clears an overcurrent at a node: the nearest before it; None without one."""
        return self._before[0][node]

    def residual(self, node: int) -> Any:
        """The nearest residual current device before a node; None without one."""
        return self._before[1][node]

    @cached_property
    def _before(self) -> tuple[list[Any], list[Any]]:
        """For each node the nearest device before it that limits current, and the nearest that trips on residual current."""
        limits: list[Any] = [None]
        residuals: list[Any] = [None]
        for node in range(1, len(self.tree.ids)):
            above = self.tree.parent[node]
            obj = self.tree.obj(above)
            limits.append(obj if getattr(obj, "limits_current", False) else limits[above])
            residuals.append(obj if hasattr(obj, "residual") else residuals[above])
        return limits, residuals

    def trip(self, node: int) -> float | None:
        """Current at which the device before a node opens in time [A]: a breaker at once, a fuse within the time that is asked there.

        None where its curve is not known or there is no device.
        """
        device = self.device(node)
        if isinstance(device, Fuse | FuseSwitch):
            point = least_current(self.fuse_curve(node), self._time_asked(node))
            return None if point is None else point.number("ampere")
        if not isinstance(device, Breaker):
            return None
        basis = "mean" if self.given.number("trip-basis") == 1 else "upper"
        return trip_current(self.given.tables, known(device.rating), known(device.curve), basis)

    def fuse_curve(self, node: int) -> tuple[Row, ...]:
        """The points of the curve of the fuse that is the device before a node; none for another device and for a fuse that no table has."""
        device = self.device(node)
        if not isinstance(device, Fuse | FuseSwitch) or isinstance(device.utilisation, Unknown) and not device.utilisation.given:
            return ()
        return curve_of(self.given.tables, known(device.utilisation), known(device.rating))

    def _time_asked(self, node: int) -> float:
        """Within which time a fault at a node is to be cleared [s]: longer where a board is fed from there; as in TN where that is open."""
        final = not self._feeds_board[node]
        try:
            return self.needed(final).number("seconds")
        except CannotTell:
            return needed_time(self.given.tables, "TN", "final" if final else "distribution", self.given.u0).number("seconds")

    @cached_property
    def _feeds_board(self) -> list[bool]:
        """For each node whether it is a board or leads to one."""
        found = [isinstance(obj, Board) for obj in self.tree.objects]
        for node in range(len(found) - 1, 0, -1):
            found[self.tree.parent[node]] |= found[node]
        return found

    def clearing(self, node: int) -> Clearing:
        """How an earth fault at a node is cleared, at the current U0 / Zs with the voltage factor by which the profile sets the largest loop.

        So a loop that is within its limit is never said to stay. Source: IEC 60364-4-41 clause 411.4.4.
        """
        return self._cleared(node, self.smallest(node).ampere * self.given.number("loop-voltage-factor") / C_MIN)

    def _times(self, residual: Any) -> dict[float, float]:
        """Break times of a residual current device [s]; those of a selective one where its type is not known, which are longer."""
        selective = isinstance(residual.type_, Unknown) or residual.type_.endswith("S")
        if selective not in self._break_times:
            self._break_times[selective] = residual_times(self.given.tables, selective)
        return self._break_times[selective]

    def _cleared(self, node: int, fault_a: float) -> Clearing:
        """How a fault current [A] at a node is cleared by the devices before it; by a fuse as fast as its curve says."""
        residual = self.residual(node)
        found = clears(fault_a, self.trip(node)) if residual is None else clears(fault_a, self.trip(node), known(residual.residual), self._times(residual))
        point = opens_within(self.fuse_curve(node), fault_a)
        if point is None or found.seconds is not None and found.by != "overcurrent device":
            return found
        seconds = point.number("seconds")
        return Clearing(seconds, "fuse", f"{fault_a:.0f} A ≥ {point.number('ampere'):.0f} A: within {seconds:g} s ({point.edition}; {point.found})")

    def on_backup(self, node: int) -> Clearing | None:
        """How an earth fault at a node is cleared while one inverter alone feeds it without the supply; None where nothing backs it up.

        Its electronics give little more than the rated current, so that a circuit-breaker rarely trips at once. Of several the one that gives least
        counts; of a generator the fault current is its maker's figure. Raises CannotTell where generators alone back it up.
        """
        behind = self._backing(self.tree.ids[node])
        inverters = [source for source in behind if isinstance(self.given.flows.obj(source), HybridInverter | Equipment)]
        others = [source for source in behind if source not in inverters]
        if not behind:
            return None
        if not inverters:
            raise CannotTell(Unknown(self.given.flows.obj(others[0]).mark, f"fault current of {others[0]}", given=False))
        found = self._cleared(node, min(self._gives(source) for source in inverters))
        open_ = f"; fault current of {', '.join(others)} not known" if others else ""
        relied = "" if found.seconds is not None else "; what is relied on is the shutdown of the inverter, as its document says"
        return Clearing(found.seconds, found.by, f"{found.working}{relied}{open_}")

    def _backing(self, name: str) -> list[str]:
        """The sources that can have a node under voltage without the supply."""
        flows, conductors = self.given.flows, [bits([phase]) for phase in phase_names(self.given.flows.phases_at(name) & PHASES)]
        if not flows.backs_up or name not in flows.graph:
            return []
        lost = [mode for mode in flows.modes if mode.backup and not mode.live]
        return [source for source in flows.backs_up if any(source in flows.reaching(name, c, mode) for mode in lost for c in conductors)]

    def _gives(self, source: str) -> float:
        """The fault current of an inverter that feeds alone, in a phase [A]."""
        obj = self.given.flows.obj(source)
        phases = len(phase_names(self.given.flows.phases_at(source) & PHASES))
        return of_inverter(rated_va(self.given, obj) / self.given.u0 / max(1, phases))

    def largest_loop(self, node: int) -> float | None:
        """Largest loop impedance at which the overcurrent device before a node trips at once [ohm]; None without a known band."""
        trip = self.trip(node)
        return None if trip is None else largest_loop(self.given.u0, trip, self.given.number("loop-voltage-factor"))

    def deciding_loop(self, node: int) -> float | None:
        """Largest loop impedance [ohm] for the device that clears an earth fault at a node: where the overcurrent device does not trip at once and
        the residual current device does, that one's; else the overcurrent device's, None without a known band.

        Formula: Zs = c U0 / (5 IΔn), the multiple with the shortest break time. Source: IEC 60364-4-41 clause 411.4.4 with its note on residual currents.
        """
        try:
            by_residual = self.clearing(node).by == "residual current device"
        except CannotTell:
            by_residual = False
        if not by_residual:
            return self.largest_loop(node)
        device = self.residual(node)
        return largest_loop(self.given.u0, max(self._times(device)) * known(device.residual), self.given.number("loop-voltage-factor"))

    def needed(self, final: bool) -> Row:
        """The row of the disconnection time that holds on this site. Raises CannotTell where it may be TN or TT."""
        code = known(known(self.given.supply.system).code)[1]
        linked = any(type(obj).__name__ == "NeutralEarthLink" for obj in (self.tree.obj(n) for n in range(len(self.tree.ids))))
        if "PEN" not in code and not linked:
            system = known(self.given.supply.system)
            raise CannotTell(Unknown(system.mark, "earthing of the supply (TN or TT)", given=False))
        return needed_time(self.given.tables, "TN", "final" if final else "distribution", self.given.u0)
