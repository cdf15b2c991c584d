# SPDX-License-Identifier: MIT
"""Board layout: each board's devices on rows of 18 mm modules in the order of the ways, spare ways, and an enclosure that holds them.

Widths are assumed: one module a pole (common practice, no source; one module is 18 mm after DIN 43880, from memory). A device with
1P+N takes one or two: as many as it has ways, else two. A width that cannot be told is drawn as TBC.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import inf
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Way
from topology.quantity import show_quantity
from topology.rail import WIDTHS
from topology.site import (Board, Changeover, Circuit, Controller, Coupler, CurrentTransformer, Filter, Fuse, Junction, Meter,
                           NeutralEarthLink, SurgeArrester, Switching, Terminal)

from sld.board_rows import Item, board_drawn, board_parts, rows_of
from sld.layout import Drawn
from sld.layout.text import LONGEST, NAME, shorten
from sld.paging import paged
from sld.primitives import Scene
from sld.sheet_info import sheet_info
from sld.single_line import pen_of
from sld.words import given, ratings

__all__ = ["board_layout", "items_of"]

NOTES = ("Arrangement proposed in the order of the ways; the numbers above the devices are their ways.",
         "Widths assumed (common practice): modules of 18 mm, one a pole; 1P+N as many as it has ways, else two. "
         "Check with the maker's data.",
         "Room for terminals, bars and wiring, and heat, are not looked at.")
LENGTHS = (22, 12)  # modules that fit beside each other on A4, lying and standing
ON_RAIL = (Switching, Fuse, SurgeArrester, Meter, Controller)
BESIDE = (CurrentTransformer, Filter, Junction, NeutralEarthLink)


def board_layout(flows: Flows) -> Scene | None:
    """The layout of every board of a site, in the order of the file; None for a site without boards."""
    boards = [board for board in flows.objects.values() if isinstance(board, Board) and board.id in flows.graph]
    if not boards:
        return None
    info = sheet_info(flows, "Board layout", power=False, control=False)
    places = _homes(flows)
    whole, *smaller = ([drawn for board in boards for drawn in _drawn(flows, board, places.get(board.id, []), most)]
                       for most in (0, *(LENGTHS if info.paper else ())))
    return paged("boards", replace(info, notes=(*info.notes, *NOTES)), whole, smaller=smaller)


def _homes(flows: Flows) -> dict[str, list[str]]:
    """What stands in each board, in the order of the graph."""
    found: dict[str, list[str]] = {}
    for node, home in flows.graph.nodes(data="home"):
        if home is not None:
            found.setdefault(home, []).append(node)
    return found


def _drawn(flows: Flows, board: Board, nodes: list[str], most: int) -> list[Drawn]:
    """A board whole; row by row, each of at most so many modules, where a number is given."""
    items = items_of(flows, board, nodes)
    rows, width = rows_of(items)
    beside = [node for node in nodes if isinstance(flows.obj(node), BESIDE)]
    below = (f"Not on the rail: {', '.join(beside)}",) if beside else ()
    name = f"{shorten(str(board.name), LONGEST, NAME, True)} ({board.id})" if given(board.name) else board.id
    facts = _facts(board, items, len(rows), width)
    return board_parts(board.id, name, facts, rows, most, below) if most else [board_drawn(board.id, name, facts, rows, width, below)]


def _facts(board: Board, items: list[Item], rows: int, width: int) -> tuple[str, ...]:
    """Below the name: the rating, the ways, and the enclosure that holds all."""
    busbar = "TBC" if isinstance(board.busbar, Unknown) else show_quantity(board.busbar, "A")
    spare = [item.ways for item in items if item.kind == "board-spare"]
    ways = f"{board.ways} ways, {len(spare)} of them spare"
    if isinstance(board.ways, Unknown):
        ways = "ways TBC, so that spare ways cannot be told"
    open_ = sum(not item.known for item in items)
    size = f"{rows} {'row' if rows == 1 else 'rows'} of {width} modules ({width} × 18 mm)"
    taken = sum(item.modules for item in items)
    at_least = f"at least {taken} modules and {open_} of unknown width" if open_ else f"{taken} modules"
    said = f" (its rows hold {'TBC' if isinstance(board.modules, Unknown) else board.modules})" if board.modules is not None else ""
    return (f"Busbar {busbar}; {ways}", f"{at_least}{said}: enclosure of {'at least ' if open_ else ''}{size}")


# ---- what stands on the rail -----------------------------------------------------------------------------------------

def items_of(flows: Flows, board: Board, nodes: Iterable[str]) -> list[Item]:
    """Devices in the order in which they are set: what feeds the board, circuits and spare ways by way, then all that has no way."""
    circuits = {circuit.id: circuit for circuit in _circuits(board) if circuit.id in flows.objects}
    ranked: list[tuple[float, int, Item]] = []
    met: set[str] = set()
    for number, node in enumerate(nodes):
        obj = flows.obj(node)
        circuit = flows.circuit_of.get(node)
        own = circuit if circuit is not None and circuit.id in circuits else None
        if isinstance(obj, Terminal):
            ranked += [(inf, number, item) for item in _ported(flows, obj) if item.id not in met]
            met |= {obj.id.partition(".")[0]}
        elif isinstance(obj, ON_RAIL):
            first = own is not None and own.id not in met
            met |= {own.id} if own else set()
            way = own.way if own and isinstance(own.way, Way) else None
            name = str(own.name) if own is not None and given(own.name) else ""
            name = "Main switch" if obj.id == getattr(board.main_switch, "id", None) else name
            ranked.append((_rank(obj, own, way), number, _item(flows, obj, name, way if first else None)))
    ranked += [(way.first, -1, item) for way, item in _without_device(circuits.values(), met)]
    spare = _spare(board, circuits.values())
    ranked += [(n, -1, Item(f"{board.id}.way{n}", board.id, ("spare",), "board-spare", ways=str(n))) for n in spare]
    found = [item for _, _, item in sorted(ranked, key=lambda entry: entry[:2])]
    return found or [Item(f"{board.id}.tbc", board.id, ("contents TBC",), known=False)]


def _circuits(board: Board) -> Iterator[Circuit]:
    """The circuits of a board with those of its local bars."""
    stack = [c for c in board.circuits if isinstance(c, Circuit)] if isinstance(board.circuits, tuple) else []
    while stack:
        circuit = stack.pop(0)
        yield circuit
        stack[:0] = [c for c in circuit.circuits if isinstance(c, Circuit)] if isinstance(circuit.circuits, tuple) else []


def _rank(obj: Any, circuit: Circuit | None, way: Way | None) -> float:
    if way is not None:
        return way.first
    return inf if circuit is not None or isinstance(obj, Controller) else 0.0


def _ported(flows: Flows, terminal: Terminal) -> Iterator[Item]:
    """A changeover or bus coupler that stands in the board."""
    device = flows.objects.get(terminal.id.partition(".")[0])
    if isinstance(device, Changeover | Coupler):
        name = str(device.name) if given(device.name) else device.word
        yield Item(device.id, device.id, (f"{device.id} {name}", "width TBC"), pen=pen_of(device), known=False, title=name)


def _item(flows: Flows, obj: Any, name: str, way: Way | None) -> Item:
    """A device with its text. name: where it has none of its own; way: what it stands on, where it is the first of its circuit."""
    modules = _modules(flows, obj, way)
    name = str(obj.name) if given(obj.name) else name
    own = [obj.id] if "." not in obj.id else []
    facts = str(obj.kind) if isinstance(obj, Controller) else ratings(obj) or obj.word
    lines = (" ".join([*own, name]).strip() or obj.word, facts)
    kind = "board-device" if modules else "board-unknown"
    return Item(obj.id, obj.id, lines, kind, modules or 1, bool(modules), str(way) if way else "", pen_of(obj), " ".join(lines))


def _modules(flows: Flows, obj: Any, way: Way | None) -> int:
    """Modules that a device takes; 0 where that cannot be told. A fuse takes one for each phase that arrives."""
    if isinstance(obj, Fuse):
        return len(conductors.phase_names(flows.phases_at(obj.id)))
    poles = getattr(obj, "poles", None)
    if not isinstance(poles, str):
        return 0
    least, most = WIDTHS[poles]
    return most if way is None else min(max(way.last - way.first + 1, least), most)


def _without_device(circuits: Iterable[Circuit], met: set[str]) -> Iterator[tuple[Way, Item]]:
    """Circuits with a way, but without a device on this board that is known."""
    for circuit in circuits:
        if circuit.id not in met and isinstance(circuit.way, Way):
            name = str(circuit.name) if given(circuit.name) else circuit.id
            wide = circuit.way.last - circuit.way.first + 1
            lines = (name, "device TBC")
            yield circuit.way, Item(circuit.id, circuit.id, lines, "board-unknown", wide, False, str(circuit.way), pen_of(circuit), name)


def _spare(board: Board, circuits: Iterable[Circuit]) -> list[int]:
    """The ways that no circuit takes; none where the number of ways is not known."""
    if isinstance(board.ways, Unknown):
        return []
    used = {n for circuit in circuits if isinstance(circuit.way, Way) for n in range(circuit.way.first, circuit.way.last + 1)}
    return [n for n in range(1, board.ways + 1) if n not in used]
