# SPDX-License-Identifier: MIT
"""Which devices are wired from the right: those whose leads would otherwise cross the buses of what hangs below them.

All lanes lie left of a device and of its whole subtree, so that a lead to the left and a bus to the left, of a device below, always
cross: their ends alternate. From the right the lead goes round the subtree and round the bus. Only crossings that the order of ends
decides are counted; two segments without a common end cross, or not, as chords of a circle do.
"""
from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from sld.layout.lanes import Link
from sld.layout.nodes import Lane, Node

__all__ = ["turn"]

Place = tuple[int, int]
"""where a lane stands among all others, from left to right"""


def turn(nodes: Sequence[Node], found: Sequence[Link]) -> None:
    """Move the lanes of a device to its right where fewer segments then cross. From the first device on, each with what was decided."""
    served = [node for node in nodes if node.lanes]
    orders = [node.order for node in served]
    own: dict[Node, list[Link]] = {node: [] for node in served}
    for link in found:
        for lane in link.lanes:
            if lane.node.lanes:  # else it has its reference beside it
                own[lane.node].append(link)
    for at, node in enumerate(served):
        inner = served[at + 1:bisect_right(orders, node.last)]
        if inner and can_turn(node, own[node]):
            others = [link for other in inner for link in own[other] if len(link.lanes) > 1]
            mine = [link for link in own[node] if len(link.lanes) > 1]
            if crossings(mine, others, node) < crossings(mine, others):
                node.outer, node.lanes = node.lanes, []


def can_turn(node: Node, own: Sequence[Link]) -> bool:
    """Whether it looks alike from both sides: a symbol without a terminal or mark at its left, and no text above its segments."""
    shape, strip = node.symbol, node.strip
    if shape is None or strip.side or strip.marks or not node.kids:
        return False
    return all(lane.port not in shape.ports for lane in node.lanes) and not any(link.text and len(link.lanes) > 1 for link in own)


def crossings(mine: Sequence[Link], others: Sequence[Link], turned: Node | None = None) -> int:
    """How many pairs cross, one of each; turned: as if the lanes of this device were at its right."""
    spans = [span(link, turned) for link in others]
    return sum(a < c < b < d or c < a < d < b for a, b in (span(link, turned) for link in mine) for c, d in spans)


def span(link: Link, turned: Node | None) -> tuple[Place, Place]:
    first, second = (place(lane, turned) for lane in link.lanes)
    return (first, second) if first < second else (second, first)


def place(lane: Lane, turned: Node | None) -> Place:
    """Left of the whole subtree of its device, or right of it; of two that end there the inner one comes first."""
    node = lane.node
    return (2 * node.last + 1, -node.order) if node.outer or node is turned else (2 * node.order, 0)
