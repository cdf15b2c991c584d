# SPDX-License-Identifier: MIT
"""From places to primitives: symbols, wires, text and enclosures, moved so that all coordinates are positive."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field, replace

from topology.dataclass import dataclass

from sld.font import text_box, text_width
from sld.layout.areas import together
from sld.layout.columns import STUB_WIDE
from sld.layout.lanes import ARROW, Link
from sld.layout.model import Drawn, Feed
from sld.layout.move import moved_mark
from sld.layout.nodes import BAR, BRANCH, FLAG, TEXT_GAP, WIRE_GAP, Group, Lane, Node, Satellite
from sld.layout.side import Side
from sld.layout.text import LETTERS, LINE, NAME, NAME_LINE, Block
from sld.primitives import Area, Box, Circle, Label, Pen, Placed, Point, Polyline, Port, Primitive, Symbol, Text, Wire
from sld.symbols import AROUND, symbol

__all__ = ["BASE", "Sketch", "around", "bar_symbol", "cross", "emit", "extent", "port_y"]

BASE = 3.05  # from the top of a line of text to its base line, for a line of LINE [mm]
STROKE = 1.25  # half the height and width of the stroke across a wire [mm]


@dataclass(slots=True)
class Sketch:
    """Primitives as they are collected."""

    symbols: list[Placed] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    marks: list[Primitive] = field(default_factory=list)
    uses: set[str] = field(default_factory=set)
    pairs: list[tuple[str, str]] = field(default_factory=list)

    def write(self, of: str, owner: str, number: int, text: Text, inside: bool = False) -> None:
        """Add a line of text that belongs to a symbol or wire."""
        self.labels.append(Label(f"{of}.text{number}", owner, of, text, text_box(text), inside))


def emit(nodes: Sequence[Node], xs: Sequence[float], found: Iterable[Link]) -> Drawn:
    """All primitives of a tree and its nets, with the size of the whole."""
    sketch = Sketch()
    for node, x in zip(nodes, xs):
        emit_node(sketch, node, x)
        if node.strip.wire and node.parent:
            emit_feed(sketch, node, node.strip.wire, x)
        if node.side:
            emit_side(sketch, node, node.side, x)
        for number, hanging in enumerate(node.satellites, 1):
            emit_satellite(sketch, node, hanging, x, f"{node.strip.id}.{hanging.symbol.kind}{number}")
        if node.is_head and node.group:
            emit_area(sketch, node.group, x)
    for link in found:
        emit_link(sketch, link, xs)
    sketch.areas, sketch.labels = together(sketch.areas, sketch.symbols, sketch.wires, sketch.labels)
    width, height = extent(sketch)
    return Drawn(tuple(sketch.symbols), tuple(sketch.wires), tuple(sketch.labels), tuple(sketch.areas), tuple(sketch.marks), width, height,
                 frozenset(sketch.uses), tuple(sketch.pairs))


def extent(sketch: Sketch) -> Point:
    """Lower right corner of everything."""
    boxes = [*(s.bbox for s in sketch.symbols), *(t.bbox for t in sketch.labels), *(a.bbox for a in sketch.areas)]
    points = [p for wire in sketch.wires for p in wire.points] + [box[2:] for box in boxes]
    return max(p[0] for p in points), max(p[1] for p in points)


def bar_symbol(left: float, right: float) -> Symbol:
    """A busbar about the axis at which it is fed."""
    outline = ((left, 0.0), (right, 0.0), (right, BAR), (left, BAR))
    ports = {"in": Port((0.0, 0.0), "up"), "out": Port((0.0, BAR), "down")}
    return Symbol("busbar", (Polyline(outline, Pen(), True, "pen"),), ports, (left, 0.0, right, BAR), (0.0, -TEXT_GAP), "Busbar",
                  "common practice, no source")


def stretched(node: Node) -> Symbol:
    """The symbol of what is as wide as its children."""
    taps = [kid.x for kid in node.kids]
    if node.inner:
        names = [(kid.x, kid.strip.wire.port if kid.strip.wire else "") for kid in node.kids]
        return device_symbol(node.inner, node.bar, node.high, names, node.strip.wire.into if node.strip.wire else "")
    return branch_symbol(taps) if node.strip.kind == "branch" else bar_symbol(*node.bar)


def branch_symbol(taps: Sequence[float]) -> Symbol:
    """Where a line divides: a line across, with a dot at each place where another one leaves or arrives but at its corners."""
    left, right, middle = min([0.0, *taps]), max([0.0, *taps]), BRANCH / 2
    strokes: list[Primitive] = [Polyline(((left, middle), (right, middle))), Polyline(((0.0, 0.0), (0.0, middle)))]
    strokes += [Polyline(((x, middle), (x, BRANCH))) for x in taps]
    strokes += [Circle((x, middle), BRANCH / 2, fill="pen") for x in dict.fromkeys((0.0, *taps)) if left < x < right]
    ports = {"in": Port((0.0, 0.0), "up"), "out": Port((0.0, BRANCH), "down")}
    return Symbol("branch", tuple(strokes), ports, (left, 0.0, right, BRANCH), (0.0, 0.0), "Branch of a line", "after IEC 60617, from memory")


def device_symbol(inner: Symbol, bar: Point, high: float, terminals: Sequence[tuple[float, str]], into: str = "") -> Symbol:
    """A device with several terminals: a box as wide as what hangs on it, with its usual symbol inside and the terminals' names.

    into : name of the terminal at which it is fed; left out where there is no room for it beside the symbol
    """
    outline = Polyline(((bar[0], 0.0), (bar[1], 0.0), (bar[1], high), (bar[0], high)), closed=True)
    names = tuple(Text((x, high - 0.9), name, LETTERS, "middle") for x, name in terminals)
    if into and text_width(into, LETTERS) + 2 * TEXT_GAP <= bar[1] - inner.bbox[2]:
        names = (*names, Text((inner.bbox[2] + TEXT_GAP, LETTERS + 0.9), into, LETTERS))
    marks = tuple(moved_mark(mark, 0.0, -inner.bbox[1]) for mark in inner.strokes)
    ports = {name: Port((bar[0], port.at[1] - inner.bbox[1]), "left") for name, port in inner.ports.items() if port.direction == "left"}
    ports |= {"in": Port((0.0, 0.0), "up"), "out": Port((0.0, high), "down")}
    return Symbol(inner.kind, (outline, *marks, *names), ports, (bar[0], 0.0, bar[1], high), (0.0, 0.0), inner.legend, inner.source)


def emit_node(sketch: Sketch, node: Node, x: float) -> None:
    """The symbol with its text: above a busbar, at the right of everything else."""
    strip = node.strip
    shape = node.symbol or stretched(node)
    if strip.wire:
        shape = around(sketch, shape, (x, node.y), strip.pen, strip.wire.pen)
    sketch.symbols.append(Placed(strip.id, strip.object, shape, (x, node.y), strip.title, strip.pen))
    if strip.pair:
        sketch.pairs.append((strip.id, strip.pair))
    x0, y0, x1, y1 = node.box
    at, anchor, before = (x + x1 + TEXT_GAP, (y0 + y1 - node.label.height) / 2), "start", 0.0
    if node.under:
        at, anchor, before = (x, y1 + TEXT_GAP / 2), "middle", 0.5
    if node.outer:
        at, anchor, before = (x + x0 - TEXT_GAP, at[1]), "end", 1.0
    if node.symbol is None:
        at = (x + WIRE_GAP, node.y - TEXT_GAP / 2 - node.label.height)
    stack_labels(sketch, strip.id, strip.object, node.label, at, anchor)
    if strip.crossed:
        cross(sketch, (x + x0, y0, x + x1, y1), strip.pen)
    if strip.revised:
        flag(sketch, (at[0] + node.label.width * (1.0 - before) - FLAG, at[1]), strip.revised)


def around(sketch: Sketch, shape: Symbol, at: Point, own: Pen, pen: Pen) -> Symbol:
    """A conductor keeps its own pen where something is fitted round it: it is drawn with that, and left out of the symbol."""
    if shape.kind not in AROUND or own == pen:
        return shape
    ends = shape.ports["in"].at, shape.ports["out"].at
    sketch.marks.append(Polyline(tuple((at[0] + x, at[1] + y) for x, y in ends), pen))
    return replace(shape, strokes=tuple(mark for mark in shape.strokes if not (isinstance(mark, Polyline) and mark.points == ends)))


def stack_labels(sketch: Sketch, of: str, owner: str, lines: Block, at: Point, anchor: str = "start") -> None:
    """Write lines one below the other, the first one's top left corner (or the middle of its top) at a point."""
    for number, line in enumerate(lines.lines):
        sketch.write(of, owner, number, Text((at[0], at[1] + LINE * number + BASE), line, LETTERS, anchor))


def emit_feed(sketch: Sketch, node: Node, feed: Feed, x: float) -> None:
    """The wire from the parent straight down, its text, and the stroke that tells its conductors."""
    above = node.parent
    assert above is not None
    top = above.y + (port_y(above.symbol, "out") if above.symbol else above.high)
    bottom = node.y + (port_y(node.symbol, "in") if node.symbol else 0.0)
    sketch.wires.append(Wire(feed.id, feed.object, feed.kind, ((x, top), (x, bottom)), (above.strip.id, node.strip.id), feed.net, feed.pen))
    stack_labels(sketch, feed.id, feed.object, node.cable, (x + WIRE_GAP, node.text_y))
    conductor_stroke(sketch, feed, (x, node.text_y + LINE / 2), len(node.cable.lines))
    if feed.crossed:
        for y in clear_of_text(top, bottom, node):
            cross(sketch, (x - STROKE, y - STROKE, x + STROKE, y + STROKE), feed.pen)
    if feed.revised:
        flag(sketch, (x + WIRE_GAP + node.cable.width - FLAG, node.text_y), feed.revised)


def clear_of_text(top: float, bottom: float, node: Node) -> tuple[float, ...]:
    """Heights on a wire at which crosses stand: in the middle of what is free above its text and below it, at the thirds where neither is."""
    ends = (top, node.text_y, node.text_y + node.cable.height, bottom) if node.cable.height else (top, bottom)
    free = [(a, b) for a, b in zip(ends[::2], ends[1::2]) if b - a >= 4 * STROKE]
    found = tuple((a + b) / 2 for a, b in free)
    return found if node.cable.height and found else (top + (bottom - top) / 3, bottom - (bottom - top) / 3)


def conductor_stroke(sketch: Sketch, feed: Feed, at: Point, written: int) -> None:
    """The stroke across a line at a point, with the number of its conductors at the left. written: lines of text that the line has."""
    if not feed.conductors:
        return
    x, y = at
    sketch.uses.add("conductors")
    sketch.marks.append(Polyline(((x - STROKE, y + STROKE), (x + STROKE, y - STROKE)), Pen(0.25, (), feed.pen.colour)))
    if feed.number:
        sketch.write(feed.id, feed.object, written, Text((x - STROKE - 0.6, y + LETTERS / 2), str(feed.number), LETTERS, "end"))


def emit_side(sketch: Sketch, node: Node, side: Side, x: float) -> None:
    """The second line of a device, down and then to the right into its port."""
    for one in side.nodes:
        emit_node(sketch, one, x + side.x)
        if one.strip.wire and one.parent:
            emit_feed(sketch, one, one.strip.wire, x + side.x)
    last, y = side.nodes[-1], node.y + side.port
    assert last.symbol is not None
    top = (x + side.x, last.y + port_y(last.symbol, "out"))
    points = (top, (x + side.x, y), (x + leaving_x(node, node.strip.side_port), y))
    wire = side.wire
    sketch.wires.append(Wire(wire.id, wire.object, wire.kind, points, (last.strip.id, node.strip.id), wire.net, wire.pen))
    written = y - TEXT_GAP - side.text.height
    stack_labels(sketch, wire.id, wire.object, side.text, (x + side.x + WIRE_GAP, written))
    conductor_stroke(sketch, wire, (x + side.x, written + LINE / 2), len(side.text.lines))


def leaving_x(node: Node, name: str) -> float:
    """Where a lane meets its symbol: at a port that looks to the left, else at the left edge, level with the port."""
    port = node.symbol.ports.get(name) if node.symbol else None
    return port.at[0] if port and port.direction == "left" else node.box[0]


def cross(sketch: Sketch, box: Box, pen: Pen) -> None:
    """Two strokes over what is removed."""
    x0, y0, x1, y1 = box
    sketch.uses.add("crossed")
    sketch.marks += [Polyline(((x0, y0), (x1, y1)), Pen(0.25, (), pen.colour)), Polyline(((x0, y1), (x1, y0)), Pen(0.25, (), pen.colour))]


def flag(sketch: Sketch, at: Point, letter: str) -> None:
    """The triangle of a revision, its upper left corner at a point."""
    x, y = at[0] + 0.3, at[1] + 0.3
    sketch.uses.add("revised")
    sketch.marks += [Polyline(((x, y + 6.0), (x + 6.6, y + 6.0), (x + 3.3, y)), Pen(0.25), True),
                     Text((x + 3.3, y + 5.2), letter, LETTERS, "middle")]


def port_y(shape: Symbol, name: str) -> float:
    port = shape.ports.get(name)
    return port.at[1] if port else shape.bbox[1 if name == "in" else 3]


def emit_satellite(sketch: Sketch, node: Node, hanging: Satellite, x: float, name: str) -> None:
    """A terminator or bond with the short wire to its device."""
    at = (x + hanging.x, node.y + hanging.y)
    slot = node.y + hanging.slot
    sketch.symbols.append(Placed(name, hanging.object, hanging.symbol, at, "", node.strip.pen))
    points = ((x + node.box[0], slot), (at[0], slot), (at[0], at[1] + port_y(hanging.symbol, "in")))
    sketch.wires.append(Wire(f"{name}.wire", hanging.object, "bus", points, (node.strip.id, name), None, node.strip.pen))


def emit_area(sketch: Sketch, group: Group, x: float) -> None:
    """The dash-dot rectangle, and the name beside the wire that feeds it, where no other text or wire can be nearer."""
    enclosure, head = group.enclosure, group.head.strip
    of = head.wire.id if head.wire and group.head.parent else head.id
    left, right = group.sides
    same = sum(area.object == enclosure.object for area in sketch.areas)
    name = f"{enclosure.id}{enclosure.part}.area" if not same else f"{enclosure.id}{enclosure.part}.area{same + 1}"
    sketch.areas.append(Area(name, enclosure.object, (x + left, group.top, x + right, group.bottom)))
    for number, line in enumerate(group.name.lines):
        text = Text((x + WIRE_GAP, group.top + TEXT_GAP + NAME_LINE * number + NAME + 0.7), line, NAME, bold=True)
        sketch.labels.append(Label(f"{name}.text{number}", enclosure.object, of, text, text_box(text)))


def emit_link(sketch: Sketch, link: Link, xs: Sequence[float]) -> None:
    """A segment: out of one port, down its lane, along its track, up the other lane and into the other port."""
    points: list[Point] = []
    for lane in link.lanes:
        way = descent(lane, xs[lane.node.order], link.y)
        points.extend(way if lane is link.lanes[0] else reversed(way))
    segment, net = link.segment, link.net
    if len(link.lanes) == 1:
        emit_stub(sketch, link, tuple(points))
        return
    sketch.wires.append(Wire(segment.id, segment.object, net.kind, tuple(points), (segment.start, segment.end), net.id, net.pen))
    if link.text:
        x = link.left.node.lanes[-1].x + WIRE_GAP
        sketch.write(segment.id, segment.object, 0, Text((x, link.y - 1.5), link.text, LETTERS))


def descent(lane: Lane, x: float, track: float) -> list[Point]:
    """From a device at x to a track: out of its side and down; of a bar straight down, as that reaches over its lanes."""
    node = lane.node
    if node.strip.kind == "busbar":
        return [(lane.x, node.y + BAR), (lane.x, track)]
    y = node.y + lane.y
    return [(x + (node.box[2] if node.outer else leaving_x(node, lane.port)), y), (lane.x, y), (lane.x, track)]


def emit_stub(sketch: Sketch, link: Link, points: tuple[Point, ...]) -> None:
    """A segment that is continued elsewhere: it ends at a small reference, with its text upright below that."""
    segment, net = link.segment, link.net
    name, (x, y) = f"{segment.id}.to", points[-1]
    sketch.wires.append(Wire(segment.id, segment.object, net.kind, points, (segment.start, name), net.id, net.pen))
    sketch.symbols.append(Placed(name, segment.object, symbol("reference-lead"), (x, y), segment.text, Pen(net.pen.width)))
    beside = link.lanes[0].node.stub
    if beside:
        stack_labels(sketch, name, segment.object, beside.text, (x - STUB_WIDE, y + ARROW / 2 - beside.text.height / 2), "end")
    else:
        sketch.write(name, segment.object, 0, Text((x + LETTERS / 2, y + ARROW + TEXT_GAP), segment.text, LETTERS, "end", turned=True))
    if segment.pair:
        sketch.pairs.append((name, segment.pair))
