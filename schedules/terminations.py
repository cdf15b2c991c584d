# SPDX-License-Identifier: MIT
"""Termination schedule, core by core: at each end of each cable, lead and bus segment the terminal, the colour and the ferrule."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from topology import conductors
from topology.flow import Flows
from topology.site import Cable, ModuleInverters

from .cables import parts_of
from .columns import BOARD, CIRCUIT_OR_BUS, ID, STATUS, Cell, Column, Table, build, dotted
from .core import UNSAID, Core, colour_sources, ends_of_pieces, former_colours, new_or_found, size_of
from .earth_cores import earth_conductors
from .landing import arriving, earth_bars, lands, left_neutral
from .leads import device_leads, segment_cores, sensor_leads
from .walk import Found, find

__all__ = ["terminations"]

Landing = Callable[[str, str], tuple[Cell, Cell]]
"""Device and terminal by end (from, to) and conductor."""


def terminations(flows: Flows) -> Table:
    """The termination schedule. Colours of new work are those of the site's first profile; what exists is checked on site."""
    notes = ("Terminal numbers follow the usual marks of switchgear (odd towards the supply, even away from it; IEC 60947-1, from memory). "
             "The marks on the equipment prevail.",
             "Colours are proposals for new work. Existing conductors may have other colours: identify each by test.", *former_colours(flows))
    lines = [*_power(flows), *earth_conductors(flows), *sensor_leads(flows), *device_leads(flows), *segment_cores(flows)]
    return build("terminations", "Termination schedule", COLUMNS, lines, (*notes, *colour_sources(flows)))


def _power(flows: Flows) -> Iterator[Core]:
    bars = earth_bars(flows)
    edges = {id(data["obj"].run): (u, v, data) for u, v, data in flows.graph.edges(data=True) if isinstance(data["obj"].run, Cable)}
    for found in find(flows, Cable):
        edge = edges.get(id(found.obj))
        if edge is not None:
            yield from _cable(flows, bars, found, edge)
        elif found.at is not None and isinstance(found.at.chain.feeds, ModuleInverters) and found.at.chain.feeds.trunk is found.obj:
            yield from _trunk(flows, found, found.at.chain.feeds)


def _cable(flows: Flows, bars: dict[str, str], found: Found, edge: tuple[str, str, dict[str, Any]]) -> Iterator[Core]:
    """The cores of a cable between two nodes. bars: earth bars by the board whose protective conductors they hold."""
    u, v, data = edge
    carried = data["obj"].conductors
    left = left_neutral(found.at.chain) if found.at else ""
    names = ("L+", "L-") if data["layer"] == "dc" else conductors.names(carried | conductors.N if left else carried)

    def landing(end: str, name: str) -> tuple[Cell, Cell]:
        if name == "N" and left and end == "from":
            return left, "neutral bar, left there"
        at, terminal = lands(flows, u if end == "from" else v, "out" if end == "from" else "in", name, carried)
        return bars.get(str(at), at) if str(terminal) == "earth bar" else at, terminal

    yield from _cores(flows, found, names, landing)


def _trunk(flows: Flows, found: Found, row: ModuleInverters) -> Iterator[Core]:
    """The trunk of a row of module-level inverters, from where its circuit arrives to its sealed end; then the taps, which are plugs."""
    if row.id not in flows.graph:
        return
    said = found.obj.conductors
    names = said if isinstance(said, tuple) and said else arriving(flows, row.id)
    yield from _cores(flows, found, names, lambda end, name: (row.id, f"start of trunk, {name}" if end == "from" else f"end of trunk, {name}: sealed"))
    if isinstance(row.number, int):
        yield Core(found.obj.id, 1, "taps", row.id, f"plugs of {row.number} inverters", "+".join(names), UNSAID, "", None, found.board,
                   found.circuit, found.obj.status)


def _cores(flows: Flows, found: Found, names: Sequence[str], landing: Landing) -> Iterator[Core]:
    """Each core of each piece of a cable at both ends; pieces are joined core to core."""
    cable = found.obj
    phases = sum(name in ("L1", "L2", "L3") for name in names)
    colours = {name: new_or_found(flows, cable.status, name, phases) for name in names}
    for number, part, end, joint in ends_of_pieces(parts_of(cable)):
        for strand in _strands(part):
            for name in names:
                at, terminal = (cable.id, f"joint {joint}, {name}") if joint else landing(end, name)
                yield Core(cable.id, number, end, at, terminal, name, colours[name], f"{cable.id}{strand}:{name}", size_of(part, name), found.board,
                           found.circuit, cable.status)


def _strands(part: Any) -> list[str]:
    """What tells cables in parallel apart on a ferrule: nothing for a single one, else -1, -2 …"""
    parallel = dotted(part, "parallel")
    return [f"-{n}" for n in range(1, parallel + 1)] if isinstance(parallel, int) and parallel > 1 else [""]


COLUMNS: tuple[tuple[Column, Callable[[Core], Any]], ...] = (
    (ID, lambda c: c.run),
    (Column("part", usual="1"), lambda c: c.part),
    (Column("end", end=True), lambda c: c.end),
    (Column("at", each=True), lambda c: c.device),
    (Column("terminal", each=True), lambda c: c.terminal),
    (Column("conductor"), lambda c: c.conductor),
    (Column("colour", aside=True, brief=20), lambda c: c.colour),
    (Column("ferrule", usual="{id}:{conductor}"), lambda c: c.ferrule),
    (Column("size", "mm²"), lambda c: c.size),
    (BOARD, lambda c: c.board),
    (CIRCUIT_OR_BUS, lambda c: c.bus),
    (STATUS, lambda c: c.status),
    (Column("done, initials", room=8, each=True), lambda c: None),
)
