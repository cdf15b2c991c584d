# SPDX-License-Identifier: MIT
"""Cable schedule: one row for each part of each power cable, the trunk cables of module-level inverters included."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import field, replace
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.electrical import Electrical, Size, solve
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.graph import Link
from topology.quantity import show_quantity
from topology.site import Cable, CablePart, ModuleInverters

from . import computed
from .columns import BOARD, CIRCUIT, CORES, FROM, ID, LENGTH, STATUS, TO, Cell, Column, Table, build, dotted, joined
from .landing import arriving, joint_of, left_neutral, past
from .tender import SUPPLY, action, first_totals, provisional
from .walk import Found, find

__all__ = ["cable_words", "cables", "parts_of"]


@dataclass(frozen=True, eq=False)
class _Part:
    """A part of a cable with everything that the row says of the cable as a whole."""

    found: Found
    number: int
    part: CablePart | Unknown
    start: Cell
    end: Cell
    conductors: Cell
    solved: Electrical
    direct: bool
    asked: computed.Asked = field(default_factory=computed.Asked)
    total: Cell = None
    """length of all cables of this make [m], on the first row of that make"""
    order: Cell = None
    """the same with the allowance for ordering, where it is supplied new"""

    @property
    def node(self) -> int:
        """The node of the computation that the cable leads to."""
        return self.solved.cable_node(self.found.obj)

    @property
    def known(self) -> CablePart:
        """The part. Raises CannotTell where the file leaves it open."""
        if isinstance(self.part, Unknown):
            raise CannotTell(self.part)
        return self.part

    @property
    def outside(self) -> str:
        """Why the computation says nothing of the cable: "" where it does."""
        if self.found.obj.id in self.solved.tree.cables or self.row is not None:
            return ""
        return "direct current is not computed" if self.direct else "not fed in normal operation"

    @property
    def row(self) -> ModuleInverters | None:
        """The row of module-level inverters whose trunk the cable is."""
        end = self.found.at.chain.feeds if self.found.at else None
        return end if isinstance(end, ModuleInverters) and end.trunk is self.found.obj else None

    @property
    def length(self) -> Cell:
        """Length of all its cables in parallel [m]."""
        try:
            return dotted(self.part, "length") * dotted(self.part, "parallel")
        except CannotTell as error:
            return error.unknown


@dataclass(frozen=True)
class _Cores:
    number: int
    earth: float | None


def cables(flows: Flows) -> Table:
    """The cable schedule. Lengths [m] are of one part; size and earth core [mm²] of one of the cables in parallel.

    The total is the length of all cables of one make, those in parallel each counted, on the first row of that make.
    """
    parts = list(_parts(flows))
    totals = first_totals(parts, _make, lambda part: part.length)
    more = _more(flows)
    rows = (replace(part, total=totals.get(place), order=_order(part, totals.get(place), more)) for place, part in enumerate(parts))
    return build("cables", "Cable schedule", COLUMNS, rows, (_note(more),), computed.notes(flows))


def _make(part: _Part) -> tuple[str, ...]:
    """What makes two cables the same article: text, so that nothing unknown is compared."""
    facts = (dotted(part.part, name) for name in ("area", "cores", "material", "insulation"))
    return (*(str(fact) for fact in facts), str(part.direct), str(action(part.found.obj)))


def _more(flows: Flows) -> Any:
    """What the site adds to lengths for ordering [%]; None where it says nothing."""
    more = dotted(flows.site.ordering, "allowance")
    return None if isinstance(more, Unknown) and not more.given else more


def _order(part: _Part, length: Any, more: Any) -> Cell:
    """The length to order of a make that is supplied new, with the allowance [m]."""
    if str(action(part.found.obj)) != SUPPLY:
        return None
    try:
        return length if length is None or more is None else length * (1 + more / 100)
    except CannotTell as error:
        return error.unknown


def _note(more: Any) -> str:
    if more is None:
        return "Lengths to order are the lengths of the file: no allowance is added (ordering: allowance)."
    return f"Lengths to order include an allowance of {Column('').show(more)} %."


def _tell(question: Callable[[_Part], Any]) -> Callable[[_Part], Cell]:
    """A cell from a question to the computation; nothing for a cable that it does not reach."""
    return lambda p: None if p.outside else p.asked.tell(lambda: question(p))


def _design(p: _Part) -> Any:
    return p.solved.trunk_current(p.row) if p.row else p.solved.design(p.node).ampere


def _design_by(p: _Part) -> Any:
    if p.row:
        return "export"
    design = p.solved.design(p.node)
    return f"{design.case} {design.conductor}" if design.ampere else None


def _rise_here(p: _Part) -> Any:
    if p.row:
        return p.solved.trunk_rise(p.row, p.known)
    return p.solved.voltages["export"].linear_part(p.node, p.number - 1).volts


def _rise_in_all(p: _Part) -> Any:
    s = p.solved
    if p.row:
        return s.share(s.linear_rise(s.node(p.row.id)) + s.trunk_rise(p.row, p.known))
    return s.share(s.linear_rise(p.node))


def _rise_swept(p: _Part) -> Any:
    s = p.solved
    return s.share(s.rise(s.node(p.row.id)) + s.trunk_rise(p.row, p.known)) if p.row else s.share(s.rise(p.node))


def _size(p: _Part) -> Size | None:
    return None if p.row else p.solved.smallest(p.node, p.known)


def _of_node(question: Callable[[Electrical, int], Any]) -> Callable[[_Part], Cell]:
    """A question about the far end of a cable; a trunk has none of its own in the computation."""
    return _tell(lambda p: None if p.row else question(p.solved, p.node))


def parts_of(cable: Cable) -> tuple[CablePart | Unknown, ...]:
    """The parts of a cable, at least one; one unknown where the file leaves the parts open."""
    return (cable.parts,) if isinstance(cable.parts, Unknown) else cable.runs


def cable_words(parts: Iterable[CablePart | Unknown]) -> str:
    """Each part as the trade writes it, 2x 6 mm² 2C+2.5E Cu XLPE; what is the same is said once."""
    return "; ".join(dict.fromkeys(_part_words(part) for part in parts))


def _part_words(part: CablePart | Unknown) -> str:
    if isinstance(part, Unknown):
        return "TBC"
    words = [f"{part.parallel}x"] if isinstance(part.parallel, Unknown) or part.parallel > 1 else []
    words.append("TBC" if isinstance(part.area, Unknown) else show_quantity(part.area, "mm2"))
    words.append("TBC" if isinstance(part.cores, Unknown) else f"{part.cores[0]}C" + (f"+{part.cores[1]:g}E" if part.cores[1] else ""))
    words += [str(fact) for fact in (part.material, part.insulation) if not isinstance(fact, Unknown) or fact.given]
    return " ".join(words)


def _parts(flows: Flows) -> Iterator[_Part]:
    edges: dict[int, tuple[str, str, Link, str]] = {}
    solved = solve(flows)
    direct: set[int] = set()
    for u, v, data in flows.graph.edges(data=True):
        link = data["obj"]
        if isinstance(link.run, Cable):
            edges[id(link.run)] = (u, v, link, data["layer"])
            if data["layer"] == "dc":
                direct.add(id(link.run))
    for found in find(flows, Cable):
        start, end, carried = _ends(flows, found, edges.get(id(found.obj)))
        for number, part in enumerate(parts_of(found.obj), 1):
            yield _Part(found, number, part, start, end, carried, solved, id(found.obj) in direct)


def _ends(flows: Flows, found: Found, edge: tuple[str, str, Link, str] | None) -> tuple[Cell, Cell, Cell]:
    """The devices that a cable is terminated at, past sensors and ferrites that it goes through, and what it carries.

    A cable that leads to nothing readable has open ends.
    """
    cable = found.obj
    if edge is not None:
        carried = "L+ L-" if edge[3] == "dc" else "+".join(conductors.names(edge[2].conductors))
        left = left_neutral(found.at.chain) if found.at else ""
        carried += f"; N left at {left}" if left else ""
        return joint_of(flows, past(flows, edge[0], "out")), past(flows, edge[1], "in"), carried
    carried = joined(cable.conductors or None, "+") if isinstance(cable.conductors, tuple) else cable.conductors
    equipment = found.at.chain.feeds if found.at else None
    if isinstance(equipment, ModuleInverters) and equipment.trunk is cable:
        return equipment.id, f"{equipment.number} {equipment.word}", carried or joined(arriving(flows, equipment.id) or None, "+")
    open_end = Unknown(cable.mark, f"end of cable {cable.id}")
    return open_end, open_end, carried


def _cores(part: Any) -> Any:
    """Number of cores and the earth core, or what is unknown about them."""
    cores = dotted(part, "cores")
    return _Cores(*cores) if isinstance(cores, tuple) else cores


COLUMNS: tuple[tuple[Column, Callable[[_Part], Any]], ...] = (
    (ID, lambda p: p.found.obj.id),
    (Column("part", key=True, usual="1"), lambda p: p.number),
    (FROM, lambda p: p.start),
    (TO, lambda p: p.end),
    (Column("conductors"), lambda p: p.conductors),
    (CORES, lambda p: dotted(_cores(p.part), "number")),
    (Column("size", "mm²", key=True), lambda p: dotted(p.part, "area")),
    (Column("earth core", "mm²"), lambda p: dotted(_cores(p.part), "earth")),
    (Column("in parallel", usual="1"), lambda p: dotted(p.part, "parallel")),
    (Column("material"), lambda p: dotted(p.part, "material")),
    (Column("insulation"), lambda p: dotted(p.part, "insulation")),
    (Column("installed"), lambda p: joined(dotted(p.part, "installed"))),
    (replace(LENGTH, key=True), lambda p: dotted(p.part, "length")),
    (Column("total of this make", "m"), lambda p: p.total),
    (Column("to order", "m"), lambda p: p.order),
    (Column("tender"), lambda p: action(p.found.obj)),
    (Column("provisional"), lambda p: provisional(p.part, p.found.obj)),
    (STATUS, lambda p: p.found.obj.status),
    (BOARD, lambda p: p.found.board),
    (CIRCUIT, lambda p: p.found.circuit),
    (computed.DESIGN, _tell(_design)),
    (computed.DESIGN_BY, _tell(_design_by)),
    (Column("device In", "A", part=computed.COMPUTED), _of_node(lambda s, n: s.rated(n))),
    (computed.CAPACITY, _tell(lambda p: p.solved.part_capacity(p.row, p.known) if p.row else p.solved.capacity(p.node, p.known).ampere)),
    (computed.CAPACITY_BY, _tell(lambda p: None if p.row else computed.working(p.solved.capacity(p.node, p.known)))),
    (computed.RISE_SEGMENT, _tell(_rise_here)),
    (computed.RISE_LINEAR, _tell(_rise_in_all)),
    (computed.RISE, _tell(_rise_swept)),
    (computed.DROP_SEGMENT, _tell(lambda p: None if p.row else p.solved.voltages["demand"].linear_part(p.node, p.number - 1).volts)),
    (computed.DROP_LINEAR, _of_node(lambda s, n: s.share(s.linear_drop(n)))),
    (computed.DROP, _of_node(lambda s, n: s.share(s.drop(n)))),
    (computed.SMALLEST, _tell(lambda p: dotted(_size(p), "area_mm2"))),
    (computed.GOVERNED, _tell(lambda p: dotted(_size(p), "governed_by"))),
    (computed.LONGEST, _tell(lambda p: None if p.row else p.solved.longest(p.node, p.known))),
    (computed.IK_MAX, _of_node(lambda s, n: s.faults.largest(n).ampere)),
    (computed.IK_MIN, _of_node(lambda s, n: s.faults.smallest(n).ampere)),
    (computed.ZS, _of_node(lambda s, n: s.faults.loop(n))),
    (computed.MISSING, lambda p: p.outside or "; ".join(p.asked.missing)),
)
