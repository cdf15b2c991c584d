# SPDX-License-Identifier: MIT
"""The layout of a tree of strips with its buses: measure, heights, places, channel, primitives."""
from __future__ import annotations

from collections.abc import Sequence

from topology.dataclass import dataclass

from sld.layout.columns import set_columns
from sld.layout.emit import emit
from sld.layout.lanes import Link, hang_satellites, links, set_slots, set_tracks
from sld.layout.levels import set_levels
from sld.layout.model import Drawn, Enclosure, Net, Strip, Style
from sld.layout.nodes import TEXT_GAP, WIRE_GAP, Node, grow
from sld.layout.side import hang_side
from sld.layout.turning import turn

__all__ = ["STYLES", "Arranged", "arranged", "arrangements", "layout", "layouts"]

FORMS = (("centre", False, False), ("centre", True, False), ("left", True, True))
STYLES = (*(Style(wrap, *form) for wrap in (30.0, 21.0, 38.0) for form in FORMS), Style(50.0, *FORMS[0]))
"""in the order of how well they read; the sheet takes the first that fits. The last one is for a few circuits one below the other"""
NARROW = tuple(style for style in STYLES if style.wrap == 21.0)[:3]
MANY = 300  # strips beyond which only a few styles are tried


def layout(root: Strip, nets: Sequence[Net] = (), enclosures: Sequence[Enclosure] = (), style: Style = Style()) -> Drawn:
    """Lay out a tree from its supply down, free of overlaps by construction, in mm from (0, 0).

    Power wires are straight verticals and cross nothing; siblings keep their order; each enclosure is a clean rectangle round its
    devices; each segment of a bus has lanes and a track of its own. Linear in the number of strips, deterministic.
    """
    return arranged(root, nets, enclosures, style).drawn()


@dataclass(frozen=True, slots=True)
class Arranged:
    """A tree with all its places, about (0, 0), before anything is drawn. xs: axis of each node; width, height: of all [mm]."""

    nodes: list[Node]
    xs: list[float]
    links: list[Link]
    width: float
    height: float

    @property
    def head(self) -> str:
        """Id of the first device, past a reference at which the tree is continued from elsewhere."""
        first = self.nodes[0]
        return first.kids[0].strip.id if first.strip.pair and first.kids else first.strip.id

    @property
    def channel(self) -> float:
        """Height of what runs below all devices [mm]."""
        return self.height - lowest(self.nodes)

    def drawn(self, dx: float = 0.0, dy: float = 0.0) -> Drawn:
        """All primitives, moved."""
        self.move(dx, dy)
        made = emit(self.nodes, [x + dx for x in self.xs] if dx else self.xs, self.links)
        self.move(-dx, -dy)
        return made

    def move(self, dx: float, dy: float) -> None:
        """Move everything but the axes."""
        for node in self.nodes if dy else ():
            lower(node, dy)
        for link in self.links:
            link.y += dy
            for lane in link.lanes:
                lane.x += dx


def lower(node: Node, dy: float) -> None:
    """Move a node with its text and its enclosure down."""
    node.y += dy
    node.text_y += dy
    for one in node.side.nodes if node.side else ():
        one.y += dy
        one.text_y += dy
    if node.is_head and node.group:
        node.group.top += dy
        node.group.bottom += dy


def arranged(root: Strip, nets: Sequence[Net] = (), enclosures: Sequence[Enclosure] = (), style: Style = Style()) -> Arranged:
    """Places of a tree: what layout() draws."""
    nodes = grow(root, {enclosure.id: enclosure for enclosure in enclosures}, style)
    found = links(nets, nodes)
    turn(nodes, found)
    for node in nodes:
        hang_satellites(node)
        hang_side(node, style)
        set_slots(node)
    set_levels(nodes, style)
    set_columns(nodes, style)
    xs = absolute(nodes, found)
    bottom = set_tracks(found, lowest(nodes))
    return Arranged(nodes, xs, found, widest(nodes, xs, found), bottom)


def layouts(root: Strip, nets: Sequence[Net] = (), enclosures: Sequence[Enclosure] = ()) -> tuple[Drawn, ...]:
    """The same tree in each of our styles, so that the sheet can choose the one that suits it."""
    return tuple(one.drawn() for one in arrangements(root, nets, enclosures))


def arrangements(root: Strip, nets: Sequence[Net] = (), enclosures: Sequence[Enclosure] = ()) -> list[Arranged]:
    """Places in each of our styles, in the order of how well they read; none is drawn yet."""
    few = size(root) <= MANY
    return [arranged(root, nets, enclosures, style) for style in (STYLES if few else NARROW)]


def size(root: Strip) -> int:
    """How many strips a tree has."""
    stack, count = [root], 0
    while stack:
        strip = stack.pop()
        count += 1
        stack.extend(strip.children)
    return count


def absolute(nodes: Sequence[Node], found: Sequence[Link]) -> list[float]:
    """x of each axis from the left edge of the drawing; lanes get theirs too."""
    outline = nodes[0].contour.left
    edge = -min(x for _, x in outline.pieces) - outline.offset
    xs: list[float] = []
    for node in nodes:
        x = node.x + (xs[node.parent.order] if node.parent else edge)
        xs.append(x)
    for lane in (lane for link in found for lane in link.lanes):
        lane.x += xs[lane.node.order]
    return xs


def widest(nodes: Sequence[Node], xs: Sequence[float], found: Sequence[Link]) -> float:
    """The right edge of everything."""
    edges = [link.right_edge for link in found]
    for node, x in zip(nodes, xs):
        right = node.box[2]
        beside = 0.0 if node.outer else node.label.width / 2 if node.under else WIRE_GAP + node.label.width if node.symbol is None else right + TEXT_GAP + node.label.width
        edges.append(x + max(right, beside, WIRE_GAP + node.cable.width))
        if node.is_head and node.group:
            edges.append(x + max(node.group.sides[1], WIRE_GAP + node.group.name.width))
    return max(edges)


def lowest(nodes: Sequence[Node]) -> float:
    """Where the channel may begin."""
    return max(max(node.ends, node.group.bottom if node.group else 0.0) for node in nodes)
