# SPDX-License-Identifier: MIT
"""The bus diagram: devices of a true chain from left to right, folded into rows, each segment with its length.

A bus that is not a chain is drawn as it is: what does not follow the chain runs through channels below the rows.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence

from sld.layout.chain_plan import BOND, DROP, SIDE, Cell, Plan, Route, plan
from sld.layout.data import data_box
from sld.layout.emit import BASE, Sketch, cross, extent, port_y
from sld.layout.model import Chain, Drawn
from sld.layout.text import LETTERS, LINE
from sld.primitives import Pen, Placed, Point, Polyline, Port, Symbol, Text, Wire
from sld.symbols import symbol

__all__ = ["chain_layout", "chain_layouts"]

WIDTHS = (240.0, 180.0, 360.0, 540.0, 780.0, 1100.0)
APART = 12.0  # from one chain to the next [mm]


def chain_layout(chains: Sequence[Chain], width: float = WIDTHS[0]) -> Drawn:
    """All buses below each other, about as wide as asked for [mm], from (0, 0). Free of overlaps by construction."""
    sketch = Sketch()
    top = 0.0
    for chain in chains:
        if not chain.devices:
            continue
        seen = {placed.id for placed in sketch.symbols}
        made = plan(chain, width, top)
        names = {device.id: f"{chain.id}.{device.id}" if device.id in seen else device.id for device in chain.devices}
        if chain.name:
            data_box(sketch, chain.id, (min(cell.x for cell in made.cells if cell.row == 0), top), chain.name, chain.lines, "Data of a bus")
        emit_chain(sketch, made, names)
        top = extent(sketch)[1] + APART
    right, bottom = extent(sketch)
    return Drawn(tuple(sketch.symbols), tuple(sketch.wires), tuple(sketch.labels), (), tuple(sketch.marks), right, bottom,
                 frozenset(sketch.uses))


def chain_layouts(chains: Sequence[Chain]) -> tuple[Drawn, ...]:
    """The same buses in several widths, so that the sheet can choose."""
    return tuple(chain_layout(chains, width) for width in WIDTHS)


def emit_chain(sketch: Sketch, made: Plan, names: Mapping[str, str]) -> None:
    """All of one bus. names: ids of the symbols; a device that stands in two buses has two."""
    shape = box_symbol(made.width, made.height)
    for cell in made.cells:
        emit_device(sketch, made, cell, shape, names[cell.device.id])
    for route in made.routes:
        points = way(made, route)
        link = route.link
        ends = (names[link.start], names[link.end])
        sketch.wires.append(Wire(link.id, link.object, made.chain.kind, points, ends, made.chain.id, link.pen))
        if link.text:
            write_length(sketch, made, route, points)
        for at in (link.bond, link.also):
            if at:
                emit_bond(sketch, route, points, at)


def box_symbol(width: float, height: float) -> Symbol:
    """A device on the bus: a box with its text inside; wires may leave each of its sides."""
    outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    ports = {"left": Port((0.0, height / 2), "left"), "right": Port((width, height / 2), "right"),
             "bottom": Port((width / 2, height), "down")}
    return Symbol("bus-device", (Polyline(outline, Pen(), True),), ports, (0.0, 0.0, width, height), (2.5, 2.5), "Device on the bus",
                  "common practice, no source")


def emit_device(sketch: Sketch, made: Plan, cell: Cell, shape: Symbol, name: str) -> None:
    """The box, its text, and the terminators at its bottom."""
    device = cell.device
    sketch.symbols.append(Placed(name, device.object, shape, (cell.x, cell.y), device.title, device.pen))
    if device.pen.dash:  # the pen of what is removed
        cross(sketch, (cell.x, cell.y, cell.x + made.width, cell.y + made.height), device.pen)
    first = cell.y + (made.height - cell.text.height) / 2 + BASE
    for number, line in enumerate(cell.text.lines):
        text = Text((cell.x + made.width / 2, first + LINE * number), line, LETTERS, "middle", bold=number == 0)
        sketch.write(name, device.object, number, text, True)
    for number, (kind, owner) in enumerate(device.marks):
        x = made.drop_x(cell, f"mark {number}")
        hang(sketch, kind, f"{name}.{kind}{number + 1}", owner, name, ((x, cell.y + made.height),), device.pen, "bus")


def hang(sketch: Sketch, kind: str, name: str, owner: str, of: str, points: tuple[Point, ...], pen: Pen, wire: str) -> None:
    """A terminator or bond, a little below the last of the points that lead to it."""
    shape = symbol(kind)
    x, y = points[-1]
    at = (x, y + DROP - shape.bbox[1])
    sketch.symbols.append(Placed(name, owner, shape, at, "", pen))
    sketch.wires.append(Wire(f"{name}.wire", owner, wire, (*points, (x, at[1] + port_y(shape, "in"))), (of, name), None, pen))


def way(made: Plan, route: Route) -> tuple[Point, ...]:
    """The points of a link from its start to its end."""
    if route.way == "below":
        return below(made, route)
    if route.way == "down":
        return down(made, route)
    a, b = route.start, route.end
    middle = made.height / 2
    if route.way == "straight":
        right = a.x < b.x
        return ((a.x + (made.width if right else 0.0), a.y + middle), (b.x + (0.0 if right else made.width), b.y + middle))
    at_right = not min(a, b, key=lambda cell: cell.row).back
    x0 = a.x + (made.width if at_right else 0.0)
    x1 = x0 + (SIDE if at_right else -SIDE)
    return ((x0, a.y + middle), (x1, a.y + middle), (x1, b.y + middle), (x0, b.y + middle))


def down(made: Plan, route: Route) -> tuple[Point, ...]:
    """Straight from the bottom of the upper device to the top of the one below it."""
    first = route.start.row < route.end.row
    upper, lower = (route.start, route.end) if first else (route.end, route.start)
    x = made.drop_x(upper, f"{route.link.id} {'start' if first else 'end'}")
    points = ((x, upper.y + made.height), (x, lower.y))
    return points if first else points[::-1]


def below(made: Plan, route: Route) -> tuple[Point, ...]:
    """Down, along a channel, up again; by way of a lane at the left where both devices stand in different rows."""
    x0, x1 = made.drop_x(route.start, f"{route.link.id} start"), made.drop_x(route.end, f"{route.link.id} end")
    y0, y1 = route.start.y + made.height, route.end.y + made.height
    if route.start.row == route.end.row:
        return ((x0, y0), (x0, route.tracks[0]), (x1, route.tracks[0]), (x1, y1))
    first, last = route.tracks if route.start.row < route.end.row else route.tracks[::-1]
    return ((x0, y0), (x0, first), (route.lane, first), (route.lane, last), (x1, last), (x1, y1))


def write_length(sketch: Sketch, made: Plan, route: Route, points: tuple[Point, ...]) -> None:
    """The text of a link, where nothing else runs: in the gap between two boxes, outside a turn, or right of the lanes."""
    link, (x, y) = route.link, points[0]
    if route.way == "straight":
        text = Text(((x + points[1][0]) / 2, y - 1.5), link.text, LETTERS, "middle")
    elif route.way == "down":
        text = Text((x + 2.0, max(y, points[1][1]) - 2.0), link.text, LETTERS)
    elif route.way == "side":
        at_right, beside = points[1][0] > x, min(y, points[2][1]) + 4.5
        text = Text((points[1][0] + (2.0 if at_right else -2.0), beside), link.text, LETTERS, "start" if at_right else "end")
    elif route.start.row == route.end.row:
        left = min(route.start, route.end, key=lambda cell: cell.x)
        middle = (x + points[2][0]) / 2 if route.start is route.end else left.x + made.width + made.gap / 2
        text = Text((middle, route.tracks[0] - 1.5), link.text, LETTERS, "middle")
    else:
        text = Text((made.room + 1.0, route.tracks[0] - 1.5), link.text, LETTERS)
    sketch.write(link.id, link.object, 0, text)


def emit_bond(sketch: Sketch, route: Route, points: tuple[Point, ...], at: str) -> None:
    """The bond of a shield, from its segment close to the device at which it is made."""
    link = route.link
    name = f"{link.id}.bond" if at == link.bond else f"{link.id}.bond2"
    (x, y), (u, v) = points[:2] if at == link.start else points[:-3:-1]
    if v == y:
        start: tuple[Point, ...] = ((x + (BOND if u > x else -BOND), y),)
    elif v < y:  # a wire that comes from above: left of it, where its text is not
        shape = symbol("shield-bond")
        top = y - 1.5 - DROP - (shape.bbox[3] - shape.bbox[1])
        start = ((x, top), (x - BOND, top))
    else:
        start = ((x, y + 1.5), (x + BOND, y + 1.5))
    hang(sketch, "shield-bond", name, link.object, link.id, start, Pen(link.pen.width), "earth")  # the bus is dashed, its bond is not
