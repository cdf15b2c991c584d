# SPDX-License-Identifier: MIT
"""Heights: supply at the top, each child below its parent, one common bottom for the devices within a board."""
from __future__ import annotations

from collections.abc import Sequence

from topology.dataclass import dataclass

from sld.layout.model import Style
from sld.layout.nodes import GAP, MARGIN, TEXT_GAP, Group, Node, berth

__all__ = ["STUB_DEEP", "set_levels"]

STUB_DEEP = 8.5  # from the lead of a reference beside a device down to the end of its text [mm]
UNDER_BAR = 3.0  # kept free below a bar on which nothing hangs: a bar of another conductor must not seem to be joined to it [mm]
PADDING = 2.5  # from what stands in a board to its dash-dot line [mm]


@dataclass(slots=True)
class Deck:
    """The lowest edge of what one board feeds so far: what is wide may begin below it."""

    lowest: float = 0.0
    outer: Deck | None = None

    def note(self, bottom: float) -> None:
        """Something ends at bottom; boards further up must know as well."""
        deck: Deck | None = self
        while deck:
            deck.lowest = max(deck.lowest, bottom)
            deck = deck.outer


@dataclass(slots=True)
class Entry:
    """A strip that begins outside of its parent's enclosure, and how high its text and its symbol may stand."""

    node: Node
    floor: float = 0.0
    level: float = 0.0
    deck: Deck | None = None
    below: Deck | None = None


def set_levels(nodes: Sequence[Node], style: Style) -> None:
    """Give every node and group its y. Linear: each node is placed once, boards before what hangs on them."""
    wide = wide_nodes(nodes)
    stack = [Entry(nodes[0])]
    while stack:
        entry = stack.pop()
        set_level(entry.node, entry.floor, entry.below.lowest + 2 * MARGIN if entry.below else entry.level)
        group = entry.node.group
        bottom = fill(group) if group else entry.node.ends
        if entry.deck:
            entry.deck.note(bottom)
        stack.extend(exits(group, entry.deck, wide, style) if group else [Entry(kid, deck=entry.deck) for kid in entry.node.kids])


def wide_nodes(nodes: Sequence[Node]) -> set[Node]:
    """Those whose subtree is more than one column."""
    wide: set[Node] = set()
    for node in reversed(nodes):
        if len(node.kids) > 1 or (node.kids and node.kids[0] in wide):
            wide.add(node)
    return wide


def fill(group: Group) -> float:
    """Place all members below the head; their common bottom is that of the enclosure."""
    for node in group.members[1:]:
        set_level(node, 0.0, 0.0)
    group.bottom = max(node.ends for node in group.members) + PADDING
    return group.bottom


def exits(group: Group, deck: Deck | None, wide: set[Node], style: Style) -> list[Entry]:
    """What leaves an enclosure: first symbols of plain circuits on one row; what is wide comes last (first in the list)."""
    floor = group.bottom + MARGIN
    leaving = [kid for node in group.members for kid in node.kids if not kid.inside(node)]
    plain = [node for node in leaving if node not in wide]
    row = [node for node in plain if not node.is_head]
    level = max((symbol_top(node, text_end(node, floor), floor) for node in row), default=0.0)
    under = Deck(floor, deck) if style.under and len(leaving) > 1 and (plain or style.tiers) else None
    below = [Entry(node, floor, 0.0, under if under and style.tiers else deck, under) for node in leaving if node in wide]
    tops = same_place([node for node in plain if node.is_head], floor)
    return below + [Entry(node, floor, tops.get(place_of(node), 0.0) if node.is_head else level, under or deck) for node in reversed(plain)]


def place_of(node: Node) -> str:
    return node.group.enclosure.id if node.group else ""


def same_place(heads: Sequence[Node], floor: float) -> dict[str, float]:
    """How high the enclosures of each place begin: those of several circuits in one place are level, so that they can be drawn as one."""
    tops: dict[str, float] = {}
    for node in heads:
        begin = max(node.parent.ends if node.parent else 0.0, floor)
        tops[place_of(node)] = max(tops.get(place_of(node), 0.0), text_end(node, begin) + MARGIN, begin + GAP)
    return tops


def set_level(node: Node, floor: float, level: float) -> None:
    """Place one node below its parent; its cable's text not above floor, its enclosure or symbol not above level."""
    node.begins = node.parent.ends if node.parent else 0.0
    begin = max(node.begins, floor)
    node.text_y = begin + TEXT_GAP
    text = text_end(node, begin)
    if node.is_head and node.group:
        group = node.group
        group.top = max(text + MARGIN, begin + GAP, level) if node.parent else 0.0
        text = begin = group.top + TEXT_GAP + (group.name.height + 1.0 if group.name.lines else 0.0)
    top = max(symbol_top(node, text, begin), level)
    if node.side and node.symbol:
        top = max(top, begin + TEXT_GAP + node.side.deep - node.side.port + node.symbol.bbox[1])
    node.y = top - (node.symbol.bbox[1] if node.symbol else 0.0)
    node.ends = bottom_of(node, top)
    if node.side:
        node.side.hang(node.y + node.side.port)


def text_end(node: Node, begin: float) -> float:
    """Where the cable's text ends if it may begin at a height."""
    return begin + TEXT_GAP + node.cable.height if node.cable.height else begin


def symbol_top(node: Node, text: float, begin: float) -> float:
    """The highest place for the top of a symbol below its cable's text."""
    least = begin if node.parent is None or node.is_head else begin + GAP
    above = node.label.height + TEXT_GAP if node.symbol is None else node.over + berth(node.over)
    return max(least, text + above)


def bottom_of(node: Node, top: float) -> float:
    """Where a node's symbol, label and what hangs at its port all end, and the next one may begin."""
    if node.symbol is None:
        return top + node.high + (0.0 if node.kids else UNDER_BAR)
    hang = node.over
    if node.under:
        return top + node.symbol.bbox[3] - node.symbol.bbox[1] + TEXT_GAP + node.label.height
    if node.stub:
        hang = max(hang, STUB_DEEP - (node.symbol.bbox[3] - node.stub.lane.y))
    bottom = top + node.symbol.bbox[3] - node.symbol.bbox[1] + hang + max(0.0, hang - 5.0)
    return max([bottom, *(node.y + s.y + s.symbol.bbox[3] + 1.0 for s in node.satellites)])
