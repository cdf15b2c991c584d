# SPDX-License-Identifier: MIT
"""Places of a bus diagram: which device follows which, rows that turn back and forth, channels for what is no chain."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field

from topology.dataclass import dataclass

from sld.font import text_width
from sld.layout.data import data_size
from sld.layout.lanes import LANE, TRACK, nested
from sld.layout.model import Chain, ChainDevice, ChainLink
from sld.layout.text import LETTERS, Block, block
from sld.symbols import symbol

__all__ = ["BOND", "Cell", "DROP", "PAD", "Plan", "Route", "SIDE", "plan"]

INSIDE = 42.0  # width at which text in a box is broken [mm]
PAD = 2.5  # from a box to its text
SIDE = 14.0  # how far the wire between two rows stands out at their side
PITCH = 12.0  # from one wire to the next at the bottom of a box
DROP = 3.0  # from a box or wire down to a terminator or bond
BOND = 5.0  # from a box to the bond on its segment
TITLE = 5.0  # between the data of the bus and its devices


@dataclass(slots=True, eq=False)
class Cell:
    """A device in its place, with what leaves its bottom from left to right: marks first, then ends of links."""

    device: ChainDevice
    text: Block
    row: int = 0
    column: int = 0
    back: bool = False
    x: float = 0.0
    y: float = 0.0
    below: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Route:
    """A link and how it runs: between neighbours in a row, round the side to the next row, straight down to it, or below the rows."""

    link: ChainLink
    start: Cell
    end: Cell
    way: str
    lane: float = 0.0
    tracks: tuple[float, ...] = ()


@dataclass(slots=True)
class Plan:
    """A chain with all its places [mm]."""

    chain: Chain
    cells: list[Cell]
    routes: list[Route]
    width: float = 0.0
    height: float = 0.0
    gap: float = 0.0
    columns: int = 1
    room: float = 0.0

    def drop_x(self, cell: Cell, name: str) -> float:
        """Where a mark or link leaves the bottom of a box."""
        return cell.x + self.width * (cell.below.index(name) + 1) / (len(cell.below) + 1)


def plan(chain: Chain, limit: float, top: float) -> Plan:
    """All places, for a drawing about as wide as limit [mm]."""
    cells = [Cell(device, block(device.lines, INSIDE)) for device in order(chain)]
    places = {cell.device.id: cell for cell in cells}
    after = {cell.device.id: nxt.device.id for cell, nxt in zip(cells, cells[1:])}
    made = Plan(chain, cells, [])
    used: set[tuple[str, str]] = set()
    for link in chain.links:
        pair = (link.start, link.end) if after.get(link.start) == link.end else (link.end, link.start)
        follows = after.get(pair[0]) == pair[1] and pair not in used and pair[0] != pair[1]
        used |= {pair} if follows else set()
        made.routes.append(Route(link, places[link.start], places[link.end], "straight" if follows else "below"))
    hang(made)
    set_sizes(made, limit)
    set_rows(made, used)
    set_places(made, top)
    return made


def order(chain: Chain) -> list[ChainDevice]:
    """From an end along the segments as far as they lead, then on from what is left."""
    devices = {device.id: device for device in chain.devices}
    beside: dict[str, list[str]] = {name: [] for name in devices}
    for link in chain.links:
        if link.start != link.end:
            beside[link.start].append(link.end)
            beside[link.end].append(link.start)
    found: dict[str, ChainDevice] = {}
    for name in sorted(devices, key=lambda name: len(set(beside[name])) != 1):
        stack = [name]
        while stack:
            here = stack.pop()
            if here not in found:
                found[here] = devices[here]
                stack.extend(reversed(beside[here]))
    return list(found.values())


def hang(made: Plan) -> None:
    """What leaves the bottom of each box."""
    for cell in made.cells:
        cell.below += [f"mark {number}" for number in range(len(cell.device.marks))]
    for route in made.routes:
        if route.way == "below":
            route.start.below.append(f"{route.link.id} start")
            route.end.below.append(f"{route.link.id} end")


def set_sizes(made: Plan, limit: float) -> None:
    """One size of box for all; gaps as wide as the longest text between two boxes."""
    longest = max((text_width(link.text, LETTERS) for link in made.chain.links), default=0.0)
    loops = any(route.start is route.end for route in made.routes)
    pitch = longest + 8.0 if loops else PITCH
    most = max(len(cell.below) for cell in made.cells)
    texts = [max(cell.text.width, text_width(cell.text.lines[0], LETTERS, True) if cell.text.lines else 0.0) for cell in made.cells]
    made.width = max(30.0, max(texts) + 2 * PAD, pitch * (most + 1) if most > 1 else 0.0)
    made.height = max(14.0, *(cell.text.height + 2 * PAD for cell in made.cells))
    made.gap = max(longest + 6.0, 16.0)
    made.columns = max(1, int((limit + made.gap) / (made.width + made.gap)))


def set_rows(made: Plan, used: set[tuple[str, str]]) -> None:
    """Fold into rows that run to the right and back in turn; what is not joined to the last device begins a new row."""
    row = place = 0
    back = False
    for number, cell in enumerate(made.cells):
        joined = number > 0 and (made.cells[number - 1].device.id, cell.device.id) in used
        if number and (place == made.columns or not joined):
            row, place, back = row + 1, 0, joined and not back
            place = place if joined else branch(made, cell, row)
        cell.row, cell.back, cell.column = row, back, made.columns - 1 - place if back else place
        place += 1
    for route in made.routes:
        if route.way == "straight" and route.start.row != route.end.row:
            route.way = "side"


def branch(made: Plan, cell: Cell, row: int) -> int:
    """The column of a device that begins a row: below the one of the row before that it is joined to, where nothing else leaves that row."""
    placed = [other for other in made.cells[:made.cells.index(cell)] if other.row == row - 1]
    leaving = [route for route in made.routes if route.way == "below" and (route.start in placed or route.end in placed)]
    if len(leaving) != 1 or cell not in (leaving[0].start, leaving[0].end):
        return 0
    route = leaving[0]
    route.way = "down"
    cell.below = [name for name in cell.below if not name.startswith(f"{route.link.id} ")]
    return (route.end if route.start is cell else route.start).column


def set_places(made: Plan, top: float) -> None:
    """x and y of all boxes, lanes and tracks."""
    below = [route for route in made.routes if route.way == "below"]
    across = [route for route in below if route.start.row != route.end.row]
    side = max((text_width(route.link.text, LETTERS) + 4.0 for route in made.routes if route.way == "side"), default=-SIDE) + SIDE
    room = max((text_width(route.link.text, LETTERS) + 6.0 for route in across), default=0.0)
    for number, route in enumerate(across):
        route.lane = LANE * (len(across) - 1 - number)
    made.room = LANE * len(across)
    left = made.room + room + side
    for cell in made.cells:
        cell.x = left + cell.column * (made.width + made.gap)
    y = top + (data_size(made.chain.name, made.chain.lines)[1] + TITLE if made.chain.name else 0.0)
    for row in range(max(cell.row for cell in made.cells) + 1):
        for cell in made.cells:
            if cell.row == row:
                cell.y = y
        y = set_row_tracks(made, row, below, y + made.height + hanging_height(made, row)) + 8.0


def hanging_height(made: Plan, row: int) -> float:
    """How far terminators and bonds reach below the boxes of a row."""
    kinds = [kind for cell in made.cells if cell.row == row for kind, _ in cell.device.marks]
    deep = [DROP + symbol(kind).bbox[3] - symbol(kind).bbox[1] for kind in kinds]
    bonded = [route.way for route in made.routes if route.link.bond]
    if bonded:
        shape = symbol("shield-bond")
        start = 1.5 if {"below", "down"} & set(bonded) else -made.height / 2
        deep.append(start + DROP + shape.bbox[3] - shape.bbox[1])
    return max([0.0, *deep]) + 2.0


def set_row_tracks(made: Plan, row: int, below: list[Route], top: float) -> float:
    """Tracks in the channel below one row; where the channel ends."""
    found = list(spans(made, row, below))
    tracks = nested([span for _, span in found])
    for (route, _), track in zip(found, tracks):
        route.tracks += (top + TRACK * (track + 1),)
    return top + TRACK * (max(tracks, default=-1) + 1)


def spans(made: Plan, row: int, below: list[Route]) -> Iterator[tuple[Route, tuple[float, float]]]:
    """Which part of a channel each link takes."""
    for route in below:
        xs = [made.drop_x(cell, f"{route.link.id} {end}") for cell, end in ((route.start, "start"), (route.end, "end")) if cell.row == row]
        if len(xs) == 2:
            yield route, (min(xs), max(xs))
        elif xs:
            yield route, (route.lane, xs[0])
