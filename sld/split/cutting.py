# SPDX-License-Identifier: MIT
"""Where a tree is cut so that each piece fits a sheet: at boards first, then along a chain that is too tall, then between circuits of a bar.

Decided from the leaves up on sums of widths, which no layout exceeds, since it only moves subtrees closer together.
"""
from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from sld.layout.columns import apart, set_columns
from sld.layout.lanes import STUB_LANE, hang_satellites, links, set_slots
from sld.layout.levels import set_levels
from sld.layout.model import Enclosure, Net, Strip, Style
from sld.layout.nodes import CLEAR, MARGIN, TEXT_GAP, WIRE_GAP, Node, berth, grow
from sld.layout.side import hang_side, side_boxes
from sld.layout.turning import turn
from sld.split.model import Room

__all__ = ["Cuts", "cut_tree"]

GRID = 2.5
EDGE = 2.5 + CLEAR  # from what stands in a board to what stands beside it, for each side [mm]
SIDE = 12.5  # from the axis of a reference to its neighbour's space [mm]
REFERENCE = 22.0  # height of a reference with its text [mm]


class Cuts:
    """The cuts of a tree. cut: nodes that begin a piece of their own; sections: for a bar, the first child of each further section."""

    def __init__(self, nodes: Sequence[Node], room: Room) -> None:
        self.nodes, self.room = nodes, room
        self.cut: set[Node] = set()
        self.sections: dict[Node, list[int]] = {}
        n = len(nodes)
        self.left, self.right, self.low = [0.0] * n, [0.0] * n, [0.0] * n
        self.less = [False] * n
        """whether something has been cut off below a node"""
        self.board: list[Node | None] = [None] * n
        """the uppermost board in what is left below a node, where that is widest"""
        self.deep: list[Node | None] = [None] * n
        """likewise, where that is lowest"""

    def decide(self) -> Cuts:
        """Each node is summed up when all below it is settled. What an earlier edition cut is cut again."""
        if self.room.kept:
            self.cut.update(n for n in self.nodes if n.parent and n.strip.wire and n.strip.wire.id in self.room.kept.cut)
        for node in reversed(self.nodes):
            self.add_up(node)
            self.shorten(node)
            self.narrow(node)
        return self

    def width(self, node: Node) -> float:
        return self.left[node.order] + self.right[node.order]

    def top(self, node: Node) -> float:
        """Where a piece begins whose first node this is."""
        return node.text_y - TEXT_GAP

    def add_up(self, node: Node) -> None:
        """Width, depth and the boards below a node, from what its children have left."""
        left, right = reach(node)
        low = max(node.ends + MARGIN, node.group.bottom + MARGIN if node.is_head and node.group and not node.kids else 0.0)
        wide, deep = 0.0, 0.0
        self.board[node.order] = self.deep[node.order] = None
        self.less[node.order] = node in self.sections or any(kid in self.cut or self.less[kid.order] for kid in node.kids)
        kids = node.kids[:self.sections[node][0]] if node in self.sections else node.kids
        sides = [self.sides(kid) for kid in kids]
        if kids:
            places = self.places(kids, sides)
            axis = (places[0] + places[-1]) / 2
            left = max(left, *(a - x + axis for x, (a, _) in zip(places, sides)))
            right = max(right, *(x + b - axis for x, (_, b) in zip(places, sides)))
        for kid, (a, b) in zip(kids, sides):
            low = max(low, self.depth(kid))
            if kid in self.cut:
                continue
            if self.board[kid.order] and a + b > wide:
                wide, self.board[node.order] = a + b, self.board[kid.order]
            if self.deep[kid.order] and self.low[kid.order] > deep:
                deep, self.deep[node.order] = self.low[kid.order], self.deep[kid.order]
        if node.is_head and node.parent:
            self.board[node.order] = self.deep[node.order] = node
        edge = EDGE if node.is_head else 0.0
        self.left[node.order], self.right[node.order], self.low[node.order] = left + edge, right + edge, low + edge

    def places(self, kids: Sequence[Node], sides: Sequence[tuple[float, float]]) -> list[float]:
        """Where the axes of children stand at most: as far apart as when nothing was cut, or nearer."""
        places = [0.0]
        less = any(kid in self.cut or self.less[kid.order] for kid in kids)
        for one, other, (_, right), (left, _) in zip(kids, kids[1:], sides, sides[1:]):
            apart = other.x - one.x
            if less:
                apart = min(apart, right + left + GRID)
            places.append(places[-1] + apart)
        return places

    def sides(self, kid: Node) -> tuple[float, float]:
        """What a child takes left and right of its axis; a reference where it has been cut off."""
        if kid not in self.cut:
            return self.left[kid.order], self.right[kid.order]
        return SIDE, max(SIDE, WIRE_GAP + kid.cable.width + CLEAR)

    def depth(self, kid: Node) -> float:
        return self.top(kid) + kid.cable.height + REFERENCE if kid in self.cut else self.low[kid.order]

    def take(self, board: Node, node: Node) -> None:
        """Cut a board off, and sum up again what lies between it and a node."""
        self.cut.add(board)
        above = board.parent
        while above is not None and above is not node:
            self.add_up(above)
            above = above.parent

    def shorten(self, node: Node) -> None:
        """Cut below a node until all that hangs on it is as short as a sheet: at a board, or below the node itself."""
        changed = False
        limit = self.top(node) + self.room.height - (REFERENCE if node.parent else 0.0) - self.room.channels.get(node.strip.id, 0.0)
        for kid in node.kids:
            while self.depth(kid) > limit and kid not in self.cut and not kid.strip.pair:  # a reference in place of a reference is no shorter
                board = self.deep[kid.order]
                self.take(board or kid, node)
                changed = True
        if changed:
            self.add_up(node)

    def across(self, node: Node) -> float:
        """How wide what hangs on a node may be."""
        return self.room.width - self.room.narrower.get(node.strip.id, 0.0)

    def narrow(self, node: Node) -> None:
        """Cut the widest boards off, then cut a bar into sections; first of all into those of an earlier edition."""
        bar = len(node.kids) > 1 and node.symbol is None and node.inner is None
        breaks = self.room.kept.breaks(node.strip) if bar and self.room.kept else ()
        if breaks:
            self.divide(node, breaks)
        while self.width(node) > self.across(node) and len(node.kids) > 1:
            wide = [kid for kid in node.kids if kid not in self.cut and self.board[kid.order] and self.width(kid) > 2 * SIDE + GRID]
            if not wide:
                break
            kid = max(wide, key=self.width)
            self.take(self.board[kid.order] or kid, node)
            self.add_up(node)
        if bar and self.width(node) > self.across(node) and node not in self.sections:
            self.divide(node)
        if node.kids and len(node.kids) == 1 and self.width(node) > self.across(node) and self.board[node.kids[0].order]:
            self.take(self.board[node.kids[0].order] or node, node)
            self.add_up(node)

    def divide(self, node: Node, breaks: Collection[int] = ()) -> None:
        """Sections of a bar, each as many circuits as a sheet is wide, with a reference to the next one. breaks: where one begins in any case."""
        first: list[int] = []
        sides = [self.sides(kid) for kid in node.kids]
        places = self.places(node.kids, sides)
        begins = places[0] - sides[0][0] - 2 * SIDE
        for place, (x, (left, right)) in enumerate(zip(places, sides)):
            if place and (place in breaks or x + right + 2 * SIDE + 2 * EDGE - begins > self.across(node)):
                first.append(place)
                begins = x - left - 2 * SIDE
        if first:
            self.sections[node] = first
            self.add_up(node)


def reach(node: Node) -> tuple[float, float]:
    """How far a node itself reaches left and right of its axis."""
    right = WIRE_GAP + node.cable.width + CLEAR if node.cable.height else CLEAR
    left = CLEAR
    if node.is_head and node.group:
        right = max(right, WIRE_GAP + node.group.name.width + CLEAR)
    if node.symbol is None:
        return max(left, 10.0), max(right, WIRE_GAP + node.label.width + CLEAR, 10.0)
    x0, _, x1, _ = node.symbol.bbox
    if node.under:
        half = node.label.width / 2 + apart(node)
        left, right = max(left, half, CLEAR - x0), max(right, half, CLEAR + x1)
    else:
        beside = TEXT_GAP + node.label.width + berth(node.over) if node.label.height else CLEAR
        right = max(right, x1 + (CLEAR if node.outer else beside))
        left = max([left, *(-box[0] for box in side_boxes(node)), CLEAR - x0, berth(node.over) - x0, *(CLEAR - s.x - s.symbol.bbox[0] for s in node.satellites)])
    if node.outer:
        return max(left, beside - x0), right + STUB_LANE * len(node.outer) + CLEAR
    return left + (STUB_LANE * len(node.lanes) + CLEAR + node.room if node.lanes else 0.0), right


def cut_tree(root: Strip, nets: Sequence[Net], enclosures: Mapping[str, Enclosure], room: Room, style: Style) -> Cuts:
    """Measure a tree and decide its cuts. Linear in the number of strips as long as boards are not nested very deep."""
    nodes = grow(root, enclosures, style)
    known = {node.strip.id for node in nodes}
    turn(nodes, links([net for net in (within(net, known) for net in nets) if net.segments], nodes))
    for node in nodes:
        hang_satellites(node)
        hang_side(node, style)
        set_slots(node)
    set_levels(nodes, style)
    set_columns(nodes, style)
    return Cuts(nodes, room).decide()


def within(net: Net, known: set[str]) -> Net:
    """What of a net lies within a tree."""
    segments = tuple(s for s in net.segments if s.start in known and (not s.end or s.end in known))
    return net if len(segments) == len(net.segments) else Net(net.id, net.kind, segments, net.name, net.port, net.pen)
