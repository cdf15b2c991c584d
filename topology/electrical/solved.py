# SPDX-License-Identifier: MIT
"""The whole computation of a site: design currents, capacities, voltages and sizes, cable by cable, each when it is asked for."""
from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import Any

from ..capacity import Capacity, smallest_size
from ..conductors import PEN
from ..dataclass import dataclass
from ..demand import neutral_worst, nominal_current
from ..drop import longest
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..graph import Link
from ..site import Cable, CablePart, Chain, ModuleInverters, Own, Storage
from ..sweep import Draw
from .bounds import MostDrop
from .conductors_of import CableZ, capacity_of, capacity_range, part_z
from .faults import Faults
from .given import Given, known
from .least_drop import LeastDrop
from .operating import CASES, Case, cases, limits_before, phases_of, rated_va
from .tree import Tree
from .trunks import trunk_current, trunk_part_rise
from .voltages import Voltages, bounded, impedances

__all__ = ["Design", "Electrical", "Size"]

NAMES = ("L1", "L2", "L3", "N")


@dataclass(frozen=True, slots=True)
class Design:
    """Design current Ib [A]. case: the way of operating that gives it; conductor: L1, L2, L3 or N; working: in words."""

    ampere: float
    case: str
    conductor: str
    working: str


@dataclass(frozen=True, slots=True)
class Size:
    """The smallest standard size that would pass [mm²], and what rules out the next smaller one."""

    area_mm2: float
    governed_by: str


class Electrical:
    """The computation of a site in normal operation. Every question raises CannotTell with what is missing where an input is open."""

    def __init__(self, flows: Flows, at_once: bool = False) -> None:
        self.flows = flows
        self.given = Given(flows, at_once)
        self.tree = Tree(flows)
        self.faults = Faults(self.given, self.tree)

    @cached_property
    def at_once(self) -> Electrical:
        """The same site with every open diversity at 100 % and every open load at what its device lets through: the most that can be drawn."""
        return Electrical(self.flows, at_once=True)

    @cached_property
    def cases(self) -> dict[str, Case]:
        """The ways of operating by name."""
        return cases(self.given, self.tree)

    @cached_property
    def below(self) -> list[list[int]]:
        """The nodes that each node feeds, in the order of the file."""
        found: list[list[int]] = [[] for _ in self.tree.ids]
        for node in range(1, len(found)):
            found[self.tree.parent[node]].append(node)
        return found

    @cached_property
    def _hot(self) -> dict[int, CableZ | Unknown]:
        return impedances(self.given, self.tree)

    @cached_property
    def voltages(self) -> dict[str, Voltages]:
        """Voltages and currents in each way of operating."""
        return {name: Voltages(self.given, self.tree, case, self._hot) for name, case in self.cases.items()}

    def node(self, name: str) -> int:
        """The node of an id. Raises CannotTell where the supply does not reach it over closed devices."""
        if name not in self.tree.index:
            mark = getattr(self.flows.objects.get(name), "mark", self.flows.site.mark)
            raise CannotTell(Unknown(mark, f"what feeds {name} in normal operation", given=False))
        return self.tree.index[name]

    def cable_node(self, cable: Cable) -> int:
        """The node that a cable leads to."""
        if cable.id not in self.tree.cables:
            raise CannotTell(Unknown(cable.mark, f"what feeds {cable.id} in normal operation", given=False))
        return self.tree.cables[cable.id]

    def link(self, node: int) -> Link:
        """The edge into a node."""
        link = self.tree.links[node]
        assert link is not None
        return link

    # ---- currents ----

    def design(self, node: int) -> Design:
        """The largest current into a node over all ways of operating and conductors [A]."""
        best = self._opposed(node)
        for name, volts in self.voltages.items():
            volts.told(node)
            for place, current in enumerate(self._local(volts.case, node)):
                if abs(current) > best.ampere + 1e-9:
                    best = Design(abs(current), name, NAMES[place], f"{abs(current):.1f} A in {NAMES[place]}: {CASES[name]}")
        return best

    def _local(self, case: Case, node: int) -> list[complex]:
        """Currents into a node in L1, L2, L3, N that may flow whatever the rest of the site draws [A].

        Of several loads no more counts than the nearest device before them lets through: others may rest when these run, so
        that devices further up limit nothing here.
        """
        phases = case.local[node]
        most, device = max(map(abs, phases)), self.faults.device(node)
        limit = device.rating if device is not None and isinstance(device.rating, float) else None
        if case.name in ("demand", "charging") and case.behind[node] > 1 and limit is not None and most > limit:
            phases = [current * limit / most for current in phases]
        return [*phases, -sum(phases)]

    def _opposed(self, node: int) -> Design:
        """The most that storage units behind a node can put into its neutral when some charge while others discharge [A]."""
        behind = self._storage_behind.get(node, [])
        if len(behind) < 2:
            return Design(0.0, "demand", "L1", "nothing flows")
        same_way = any(self.flows.type_of(self.tree.obj(d.node)).never_opposed is True for d in behind)
        worst = neutral_worst([self._unit(d) for d in behind], opposed=not same_way)
        return Design(worst, "storage units opposed", "N", f"{worst:.1f} A in N: of {len(behind)} storage units some charge, others discharge")

    @cached_property
    def _storage_behind(self) -> dict[int, list[Draw]]:
        """What storage units draw from phase to neutral, by every node that leads to them."""
        found: dict[int, list[Draw]] = {}
        for draw in self.cases["charging"].draws:
            if isinstance(self.tree.obj(draw.node), Storage) and draw.between[1] == 3:
                for node in self.tree.up(draw.node, itself=True):
                    found.setdefault(node, []).append(draw)
        return found

    def _unit(self, draw: Draw) -> complex:
        """Current of a storage unit at its rating, whatever limits it [A]."""
        full = rated_va(self.given, self.tree.obj(draw.node))
        return nominal_current(replace(draw, s_va=complex(full / len(phases_of(self.given, self.tree, draw.node)))), self.given.source)

    def rated(self, node: int) -> float | None:
        """Rating In of the nearest device before a node that limits current [A]; None without one."""
        device = self.faults.device(node)
        return None if device is None else float(known(device.rating))

    def capacity(self, node: int, part: CablePart) -> Capacity:
        """Iz of a part of the cable into a node."""
        return capacity_of(self.given, part, self.link(node))

    def capacity_range(self, node: int, part: CablePart) -> tuple[Capacity, Capacity, Unknown | None]:
        """The smallest and largest Iz that a part can have [A], and what of it is not known; see conductors_of.capacity_range."""
        return capacity_range(self.given, part, self.link(node))

    # ---- voltages ----

    def rise(self, node: int) -> float:
        """Largest rise at a node by the sweep with all generation and no load [V]; 0 where none of it is behind the node's way."""
        return max(0.0, *self.voltages["export"].changes(node).values(), 0.0)

    def drop(self, node: int) -> float:
        """Largest drop at a node by the sweep with all loads and no generation [V]."""
        return max(0.0, *(-change for change in self.voltages["demand"].changes(node).values()), 0.0)

    def linear_rise(self, node: int) -> float:
        """Rise from the point of supply by the linear method: rated currents × resistance × length, summed [V]."""
        return self.voltages["export"].linear_total(node)

    def linear_drop(self, node: int) -> float:
        """Drop from the point of supply by the linear method, with the currents of maximum demand [V]."""
        return self.voltages["demand"].linear_total(node)

    @cached_property
    def _bounds(self) -> dict[str, tuple[Voltages, Voltages]]:
        return {name: bounded(volts) for name, volts in self.voltages.items()}

    def linear_rise_range(self, node: int) -> tuple[float, float | None]:
        """The least and the most that the linear rise at a node can be [V], whatever is not known of cables on the way; None without an end.

        Law: it grows with the impedance of each cable, and with each source in its phase. Where a source behind the way is open too, it may
        relieve the neutral of several phases, which then counts nothing in the least.
        """
        least, most = self._bounds["export"]
        try:
            high: float | None = most.linear_total(node)
        except CannotTell:
            high = None
        return least.linear_total(node), high

    def drop_at_least(self, node: int) -> float:
        """What the swept drop at a node cannot be below [V], whatever is not known of cables and of other loads.

        Law: on one phase it grows with each impedance and each load; for several phases see least_drop.LeastDrop. Raises CannotTell.
        """
        if self.given.phases > 1:
            return max(0.0, self._least_drop.volts(node))
        return max(0.0, *(-change for change in self._bounds["demand"][0].changes(node).values()), 0.0)

    def drop_at_most(self, node: int) -> float:
        """What the swept drop at a node cannot be above [V], whatever loads and diversity turn out to be; see bounds.MostDrop for several phases.

        Raises CannotTell where a cable on the way is open.
        """
        return self.at_once._most_drop.volts(node) if self.given.phases > 1 else self.at_once.drop(node)

    @cached_property
    def _most_drop(self) -> MostDrop:
        return MostDrop(self.tree, self.cases["demand"], self._hot, self.given.source, limits_before(self.tree))

    @cached_property
    def _least_drop(self) -> LeastDrop:
        worst, (low, high) = self.at_once.cases["demand"], (volts.impedances for volts in self._bounds["demand"])
        most = MostDrop(self.tree, worst, low, self.given.source, limits_before(self.tree))
        return LeastDrop(self.cases["demand"], worst, most, low, high, self.given.source)

    def share(self, volts: float) -> float:
        """Volts as a share of the nominal voltage [%]."""
        return 100 * volts / self.given.u0

    # ---- sizes ----

    def smallest(self, node: int, part: CablePart) -> Size | None:
        """The smallest standard size for a part, its length and all other cables left as they are; None where none passes.

        Criteria: capacity not below device and design current; linear rise and drop within the limits of the profile; the least that a PEN
        conductor may have. Faults are not among them.
        """
        link = self.link(node)
        needed = max(self.rated(node) or 0.0, self.design(node).ampere)
        share = self._ring_share(link)
        if share < 1:
            needed = self._ring_told(node)
        here = part_z(self.given, part).real
        rise, drop = self._room("export", "voltage-rise-total", node), self._room("demand", "voltage-drop", node)

        def carries(area: float) -> bool:
            return capacity_of(self.given, replace(part, area=area, capacity=None), link).ampere >= needed

        def within(room: tuple[float, float] | None) -> Any:
            return lambda area: room is None or room[0] * share * (part_z(self.given, part, area).real - here) <= room[1] + 1e-9
        criteria = [("capacity", _told(carries)), ("voltage rise", _told(within(rise))), ("voltage drop", _told(within(drop)))]
        if link.conductors & PEN:
            least = self.given.number("pen-least-copper" if known(part.material) == "Cu" else "pen-least-aluminium")
            criteria.append(("the smallest PEN conductor", lambda area: area >= least))
        sizes = self.given.tables.sizes()
        found = smallest_size(sizes, criteria)
        if found is None:
            self._any_size(part, link, sizes)
        return None if found is None else Size(*found)

    def _any_size(self, part: CablePart, link: Link, sizes: tuple[float, ...]) -> None:
        """Raises CannotTell where the tables have no size at all for a part: then nothing was tried."""
        lacking: CannotTell | None = None
        for area in sizes:
            try:
                capacity_of(self.given, replace(part, area=area, capacity=None), link)
                return
            except CannotTell as error:
                lacking = error
        if lacking is not None:
            raise lacking

    def longest(self, node: int, part: CablePart) -> float | None:
        """The longest that a part can be at its size within the limits of rise and drop, by the linear method [m]; None without a limit."""
        length, r = known(part.length), part_z(self.given, part).real * self._ring_share(self.link(node))
        found = []
        for case, figure in (("export", "voltage-rise-total"), ("demand", "voltage-drop")):
            room = self._room(case, figure, node)
            if room is not None and room[0] > 0:
                found.append(longest(length, room[0] * r, 0.0, room[1] + room[0] * r))
        return min((value for value in found if value is not None), default=None)

    def ring_needs(self, node: int) -> float | None:
        """The capacity that the profile lets suffice for the cable of a ring behind the device before a node [A]; None where it has no such rule."""
        device, least = (self.flows.profiles.peek(name) for name in ("ring-final-device", "ring-final-capacity"))
        rated = self.rated(node)
        if device is None or least is None or device.value is None or least.value is None or rated is None or rated > float(device.value):
            return None
        return float(least.value)

    def _ring_told(self, node: int) -> float:
        least, link = self.ring_needs(node), self.link(node)
        if least is None:
            raise CannotTell(Unknown(getattr(link.run, "mark", self.flows.site.mark), "division of the current in the ring", given=False))
        return least

    def _ring_share(self, link: Link) -> float:
        return self.given.ring_share(link.run) if isinstance(link.run, Cable) else 1.0

    def _room(self, case: str, figure: str, node: int) -> tuple[float, float] | None:
        """The current that counts along a cable in the linear method [A], and what the limit leaves to the worst place behind it [V]."""
        try:
            limit = self.given.number(figure) / 100 * self.given.u0
        except CannotTell:
            return None  # the profile has no such limit
        volts = self.voltages[case]
        worst = volts.worst_behind(node)
        return max((volts.amperes(node, p) for p in self.tree.phases(node)), default=0.0), limit - worst

    # ---- trunks and circuits ----

    def trunk_rise(self, row: ModuleInverters, part: CablePart) -> float:
        """Rise along a part of the trunk of a row of module-level inverters, as the row of taps that it is [V]."""
        return trunk_part_rise(self.given, row, part)

    def trunk_current(self, row: ModuleInverters) -> float:
        """Current in the first piece of a trunk [A]."""
        return trunk_current(self.given, row)

    def part_capacity(self, row: ModuleInverters, part: CablePart) -> float:
        """Iz of a part of a trunk [A]."""
        return capacity_of(self.given, part, self.link(self.node(row.id))).ampere

    def start_of(self, chain: Chain) -> int:
        """The first node of a chain."""
        items = chain.in_line if isinstance(chain.in_line, tuple) else ()
        first = next((item.id for item in items if isinstance(item, Own) and item.id in self.tree.index), None)
        return self.node(first) if first is not None else self.end_of(chain)

    def end_of(self, chain: Chain) -> int:
        """The last node of a chain: its load, equipment, local bar, or the board or device it feeds."""
        end = chain.load if chain.load is not None else chain.feeds
        name = getattr(known(end), "id", None) if end is not None else f"{chain.id}.bar"
        if end is None and f"{chain.id}.bar" not in self.tree.index:
            name = next((i.id for i in reversed(chain.in_line if isinstance(chain.in_line, tuple) else ()) if getattr(i, "id", "") in self.tree.index), None)
        return self.node(name or chain.id)


def _told(test: Any) -> Any:
    """A criterion that a size fails for which the tables have no row."""
    def told(area: float) -> bool:
        try:
            return bool(test(area))
        except CannotTell as error:
            if "not in the tables" in error.unknown.what:
                return False
            raise
    return told

