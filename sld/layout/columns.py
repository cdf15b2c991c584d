# SPDX-License-Identifier: MIT
"""Places from left to right: subtrees joined outline against outline, busbars stretched, lanes and enclosures entered."""
from __future__ import annotations

from collections.abc import Sequence
from math import ceil, inf

from sld.font import text_width
from sld.layout.contour import Contour, rows
from sld.layout.lanes import LANE, STUB_LANE
from sld.layout.levels import STUB_DEEP
from sld.layout.model import Style
from sld.layout.nodes import CLEAR, MARGIN, NUMBER, TEXT_GAP, WIRE_GAP, Group, Node, berth
from sld.layout.side import side_boxes
from sld.layout.text import LETTERS, LINE
from sld.primitives import Box

__all__ = ["STUB_WIDE", "apart", "set_columns"]

GRID = 2.5  # all axes stand on it [mm], the module of IEC symbols
STUB_WIDE = 2.0  # from the middle of a reference to its text at the left [mm]
BARS = 5.0  # kept free at the ends of a bar of one conductor [mm]: a neutral bar beside an earth bar is never read as one with it
LEVEL = 4.0  # bars whose heights differ by less count as side by side [mm]
OVER = 4.0  # a busbar reaches beyond its outer circuits [mm]
BEYOND = 2.0  # a bar reaches beyond its outermost lane [mm]
PADDING = 2.5


def set_columns(nodes: Sequence[Node], style: Style) -> None:
    """Give every node its x about the axis of its parent. Children before parents, linear in the number of nodes."""
    for node in reversed(nodes):
        joined = join_kids(node, style)
        bottom = node.ends if node.kids else node.ends + (max(MARGIN, apart(node)) if node.under else MARGIN)
        joined.lay_on_top(rows(own_boxes(node, bottom), node.begins, bottom))
        node.contour = joined
        if node.lanes:
            open_lanes(node)
        if node.outer:
            open_outer(node)
        if node.is_head and node.group:
            enclose(node.group)
        for kid in node.kids:
            kid.contour = Contour()


def join_kids(node: Node, style: Style) -> Contour:
    """The outline of all children side by side, moved about this node's axis."""
    if not node.kids:
        node.bar = (-2 * OVER, 2 * OVER)
        return Contour()
    joined = node.kids[0].contour
    for kid in node.kids[1:]:
        kid.x = ceil(joined.distance(kid.contour) / GRID) * GRID
        kid.contour.move(kid.x)
        joined.join(kid.contour)
    first, last = node.kids[0].x, node.kids[-1].x
    axis = first if style.axis == "left" else ceil((first + last) / 2 / GRID) * GRID
    for kid in node.kids:
        kid.x -= axis
    joined.move(-axis)
    node.bar = (first - axis - OVER, last - axis + OVER)
    if node.inner:
        names = [text_width(kid.strip.wire.port, LETTERS) / 2 - 1.5 if kid.strip.wire else 0.0 for kid in node.kids]
        node.bar = (min(node.bar[0] - names[0], node.inner.bbox[0] - OVER), max(node.bar[1] + names[-1], node.inner.bbox[2] + OVER))
        for hanging in node.satellites:
            hanging.x += node.bar[0] - node.inner.bbox[0]
    return joined


def own_boxes(node: Node, bottom: float) -> list[Box]:
    """What a node itself and its incoming wire take, with the space that is kept free at their sides."""
    boxes: list[Box] = [(-CLEAR, node.begins, CLEAR, bottom), *label_boxes(node), *side_boxes(node)]
    if node.parent:
        boxes += label_boxes(node.parent)  # the space below its last line reaches to here
    if node.cable.height:
        numbered = node.strip.wire is not None and node.strip.wire.number
        boxes.append((-NUMBER if numbered else 0.0, node.text_y - 1.0, WIRE_GAP + node.cable.width + CLEAR, node.text_y + node.cable.height + 1.0))
    if node.is_head and node.group:
        name = node.group.name
        boxes.append((0.0, node.group.top, WIRE_GAP + name.width + CLEAR, node.group.top + TEXT_GAP + name.height))
    x0, y0, x1, y1 = node.box
    boxes.append((x0 - CLEAR, y0, x1 + CLEAR, y1 if node.symbol or node.kids else bottom))
    if node.strip.kind == "busbar" and node.label.lines:  # bars that have names are those of single conductors
        boxes.append((x0 - BARS, y0 - LEVEL, x1 + BARS, y1 + LEVEL))
    if node.stub:
        y = node.y + node.stub.lane.y
        boxes.append((node.stub.lane.x - STUB_WIDE - node.stub.text.width - CLEAR, y - CLEAR, 0.0, y + STUB_DEEP))
    if node.symbol is None:
        boxes.append((0.0, y0 - TEXT_GAP - node.label.height, WIRE_GAP + node.label.width + CLEAR, y0))
    for hanging in node.satellites:
        a0, b0, a1, b1 = hanging.symbol.bbox
        boxes.append((hanging.x + a0 - CLEAR, node.y + hanging.slot, x0, node.y + hanging.y + b1))
    return boxes


def label_boxes(node: Node) -> list[Box]:
    """What the text at the right of a symbol takes."""
    if node.symbol is None or not node.label.height:
        return []
    x0, y0, x1, y1 = node.box
    if node.under:
        half = node.label.width / 2 + apart(node)
        return [(-half, y1, half, y1 + TEXT_GAP + node.label.height + apart(node))]
    over = node.over
    space = berth(over)
    if node.outer:
        return [(x0 - TEXT_GAP - node.label.width - space, y0 - over - space, x1, y1 + over + space)]
    return [(x0, y0 - over - space, x1 + TEXT_GAP + node.label.width + space, y1 + over + space)]


def apart(node: Node) -> float:
    """Space round text below a symbol, so that its last line is nearer to that than to any other symbol [mm]."""
    return max(CLEAR, LINE * (len(node.label.lines) - 1) + 0.25)


def open_lanes(node: Node) -> None:
    """Lead the lanes of a node down to the channel, left of all that hangs below it."""
    contour, top = node.contour, node.y + min(lane.y for lane in node.lanes) - CLEAR
    inner = contour.left.flatten(top, inf, min) - CLEAR - (node.room if node.room_within else 0.0)
    at = inner
    for lane in reversed(node.lanes):
        at -= STUB_LANE - LANE if lane.rank[0] < 0 else 0.0  # room for the upright text of a reference, left and right of its lane
        lane.x = at
        at -= STUB_LANE if lane.rank[0] < 0 else LANE
    left = node.lanes[0].x - CLEAR - (LANE if node.lanes[0].rank[0] < 0 else 0.0)
    if node.strip.kind == "busbar":  # it reaches over its lanes, so that these leave it straight down
        node.bar = (node.lanes[0].x - BEYOND, node.bar[1])
        left = min(left, node.bar[0] - BARS)
    contour.left.push(top, inf, left, min)
    contour.right.reach(inf, inner + CLEAR + (0.0 if node.room_within else node.room))


def open_outer(node: Node) -> None:
    """Lead lanes that leave at the right down to the channel, right of all that hangs below: open_lanes seen in a mirror."""
    contour, top = node.contour, node.y + min(lane.y for lane in node.outer) - CLEAR
    inner = at = contour.right.flatten(top, inf, max) + CLEAR
    for lane in reversed(node.outer):
        at += STUB_LANE - LANE if lane.rank[0] < 0 else 0.0
        lane.x = at
        at += STUB_LANE if lane.rank[0] < 0 else LANE
    contour.right.push(top, inf, node.outer[0].x + CLEAR + (LANE if node.outer[0].rank[0] < 0 else 0.0), max)
    contour.left.reach(inf, inner - CLEAR)


def enclose(group: Group) -> None:
    """Draw a rectangle round all members and keep a margin free outside it."""
    contour = group.head.contour
    x0 = contour.left.flatten(group.top, group.bottom, min) + CLEAR - PADDING
    x1 = contour.right.flatten(group.top, group.bottom, max) - CLEAR + PADDING
    group.sides = (x0, x1)
    contour.left.push(group.top - MARGIN, group.bottom + MARGIN, x0 - CLEAR, min)
    contour.right.push(group.top - MARGIN, group.bottom + MARGIN, x1 + CLEAR, max)
