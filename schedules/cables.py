# SPDX-License-Identifier: MIT
"""Cable schedule: one row for each part of each power cable, the trunk cables of module-level inverters included."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from topology import conductors
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.graph import Link
from topology.site import Cable, CablePart, ModuleInverters

from .columns import BOARD, CIRCUIT, CORES, FROM, ID, LENGTH, STATUS, TO, Cell, Column, Table, build, dotted, joined
from .tender import SUPPLY, action, first_totals, provisional
from .walk import Found, find

__all__ = ["cables", "parts_of"]


@dataclass(frozen=True, eq=False)
class _Part:
    """A part of a cable with everything that the row says of the cable as a whole."""

    found: Found
    number: int
    part: CablePart | Unknown
    start: Cell
    end: Cell
    conductors: Cell
    total: Cell = None
    """length of all cables of this make [m], on the first row of that make"""
    order: Cell = None
    """the same with the allowance for ordering, where it is supplied new"""

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
    return build("cables", "Cable schedule", COLUMNS, rows, (_note(more),))


def _make(part: _Part) -> tuple[str, ...]:
    """What makes two cables the same article: text, so that nothing unknown is compared."""
    facts = (dotted(part.part, name) for name in ("area", "cores", "material", "insulation"))
    return (*(str(fact) for fact in facts), str(action(part.found.obj)))


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


def parts_of(cable: Cable) -> tuple[CablePart | Unknown, ...]:
    """The parts of a cable, at least one; one unknown where the file leaves the parts open."""
    return (cable.parts,) if isinstance(cable.parts, Unknown) else cable.runs


def _parts(flows: Flows) -> Iterator[_Part]:
    edges: dict[int, tuple[str, str, Link, str]] = {}
    for u, v, data in flows.graph.edges(data=True):
        link = data["obj"]
        if isinstance(link.run, Cable):
            edges[id(link.run)] = (u, v, link, data["layer"])
    for found in find(flows, Cable):
        start, end, carried = _ends(found, edges.get(id(found.obj)))
        for number, part in enumerate(parts_of(found.obj), 1):
            yield _Part(found, number, part, start, end, carried)


def _ends(found: Found, edge: tuple[str, str, Link, str] | None) -> tuple[Cell, Cell, Cell]:
    """Where a cable starts and ends and what it carries. A cable that leads to nothing readable has open ends."""
    cable = found.obj
    if edge is not None:
        return edge[0], edge[1], "L+ L-" if edge[3] == "dc" else "+".join(conductors.names(edge[2].conductors))
    carried = joined(cable.conductors or None, "+") if isinstance(cable.conductors, tuple) else cable.conductors
    equipment = found.at.chain.feeds if found.at else None
    if isinstance(equipment, ModuleInverters) and equipment.trunk is cable:
        return equipment.id, f"{equipment.number} {equipment.word}", carried
    open_end = Unknown(cable.mark, f"end of cable {cable.id}")
    return open_end, open_end, carried


def _cores(part: Any) -> Any:
    """Number of cores and the earth core, or what is unknown about them."""
    cores = dotted(part, "cores")
    return _Cores(*cores) if isinstance(cores, tuple) else cores


COLUMNS: tuple[tuple[Column, Callable[[_Part], Any]], ...] = (
    (ID, lambda p: p.found.obj.id),
    (Column("part"), lambda p: p.number),
    (FROM, lambda p: p.start),
    (TO, lambda p: p.end),
    (Column("conductors"), lambda p: p.conductors),
    (CORES, lambda p: dotted(_cores(p.part), "number")),
    (Column("size", "mm²"), lambda p: dotted(p.part, "area")),
    (Column("earth core", "mm²"), lambda p: dotted(_cores(p.part), "earth")),
    (Column("in parallel"), lambda p: dotted(p.part, "parallel")),
    (Column("material"), lambda p: dotted(p.part, "material")),
    (Column("insulation"), lambda p: dotted(p.part, "insulation")),
    (Column("installed"), lambda p: joined(dotted(p.part, "installed"))),
    (LENGTH, lambda p: dotted(p.part, "length")),
    (Column("total of this make", "m"), lambda p: p.total),
    (Column("to order", "m"), lambda p: p.order),
    (Column("tender"), lambda p: action(p.found.obj)),
    (Column("provisional"), lambda p: provisional(p.part, p.found.obj)),
    (STATUS, lambda p: p.found.obj.status),
    (BOARD, lambda p: p.found.board),
    (CIRCUIT, lambda p: p.found.circuit),
)
