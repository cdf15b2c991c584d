# SPDX-License-Identifier: MIT
"""Cable schedule: one row for each part of each power cable, the trunk cables of module-level inverters included."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Link
from topology.site import Cable, CablePart, ModuleInverters

from .columns import BOARD, CIRCUIT, CORES, FROM, ID, LENGTH, STATUS, TO, Cell, Column, Table, build, dotted, joined
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


@dataclass(frozen=True)
class _Cores:
    number: int
    earth: float | None


def cables(flows: Flows) -> Table:
    """The cable schedule. Lengths [m] are of one part; size and earth core [mm²] of one of the cables in parallel."""
    return build("cables", "Cable schedule", COLUMNS, _parts(flows))


def parts_of(cable: Cable) -> tuple[CablePart | Unknown, ...]:
    """The parts of a cable, at least one; one unknown where the file leaves the parts open."""
    return (cable.parts,) if isinstance(cable.parts, Unknown) else cable.runs


def _parts(flows: Flows) -> Iterator[_Part]:
    edges: dict[int, tuple[str, str, Link]] = {}
    for u, v, link in flows.graph.edges(data="obj"):
        if isinstance(link.run, Cable):
            edges[id(link.run)] = (u, v, link)
    for found in find(flows, Cable):
        start, end, carried = _ends(found, edges.get(id(found.obj)))
        for number, part in enumerate(parts_of(found.obj), 1):
            yield _Part(found, number, part, start, end, carried)


def _ends(found: Found, edge: tuple[str, str, Link] | None) -> tuple[Cell, Cell, Cell]:
    """Where a cable starts and ends and what it carries. A cable that leads to nothing readable has open ends."""
    cable = found.obj
    if edge is not None:
        return edge[0], edge[1], "+".join(conductors.names(edge[2].conductors))
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
    (STATUS, lambda p: p.found.obj.status),
    (BOARD, lambda p: p.found.board),
    (CIRCUIT, lambda p: p.found.circuit),
)
