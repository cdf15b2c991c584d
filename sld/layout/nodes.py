# SPDX-License-Identifier: MIT
"""The tree while it is laid out: strips with measured text, grouped by the enclosure that they stand in."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from math import inf
from typing import TYPE_CHECKING

from topology.dataclass import dataclass

from sld.font import text_width
from sld.layout.contour import Contour
from sld.layout.model import Enclosure, Feed, Strip, Style
from sld.layout.text import LETTERS, NAME, NAME_LINE, Block, block
from sld.primitives import Box, Symbol
from sld.symbols import symbol

if TYPE_CHECKING:
    from sld.layout.side import Side

__all__ = ["BAR", "CLEAR", "FLAG", "GAP", "Group", "Lane", "MARGIN", "NUMBER", "Node", "TEXT_GAP", "UNDER", "WIRE_GAP", "berth", "grow", "measured", "several_terminals"]

STRETCHED = ("busbar", "branch")
BETWEEN = " \u00a0"  # between the conductors of a cable and its designation on one line; SVG keeps this space wide
BAR = 1.2  # thickness of a busbar [mm]
BRANCH = 1.0  # height of the place where a line divides [mm]
TERMINALS = 4.0  # room for the names of terminals in a wide device [mm]
CLEAR = 1.5  # kept free beside everything [mm]; two neighbours are at least twice as far apart
FLAG = 7.0  # room for the triangle of a revision [mm]
GAP = 5.0  # least length of a wire between two symbols [mm]
MARGIN = 3.0  # kept free above and below an enclosure [mm]
WIRE_GAP = 2.0  # from a wire to its text [mm]
NUMBER = 5.5  # room at the left of a stroke for the number of conductors [mm]
TEXT_GAP = 1.5  # from a symbol to its text [mm]
ALONE = 50.0  # width of text that has no neighbour [mm]
UNDER = 3  # lines of text that may stand below the last symbol of a line: a fourth would be too far from it
HIGH = 8  # lines of text beside a symbol: more would be too far from it
WIDER = (1.5, 2.5, 4.0)  # times the usual width, for what has more lines
NAMES_WIDE = 70.0  # width at which the name of an enclosure is broken [mm]


@dataclass(slots=True, eq=False)
class Lane:
    """A vertical track of a segment, left of the subtree of its node. rank: place in x; y: of the port."""

    node: Node
    port: str
    rank: tuple[float, float] = (0.0, 0.0)
    x: float = 0.0
    y: float = 0.0


@dataclass(slots=True)
class Stub:
    """The only segment of a device that has no neighbour: it is continued elsewhere, by a reference close to the device."""

    lane: Lane
    text: Block


@dataclass(slots=True)
class Satellite:
    """A terminator or bond that hangs from the port for buses, left of its device. slot: height of its wire."""

    object: str
    symbol: Symbol
    x: float = 0.0
    y: float = 0.0
    slot: float = 0.0


@dataclass(slots=True, eq=False)
class Node:
    """A strip on its way to paper. y counts from the top of the drawing, x from the axis of the parent.

    under : the text stands below the symbol
    over  : height of the text that hangs out below (and above) the symbol [mm]
    lanes : at its left, from left to right
    outer : instead of these at its right, from right to left; its text then stands at its left
    """

    strip: Strip
    symbol: Symbol | None
    inner: Symbol | None
    label: Block
    cable: Block
    parent: Node | None = None
    kids: list[Node] = field(default_factory=list)
    group: Group | None = None
    order: int = 0
    alone: bool = False
    under: bool = False
    over: float = 0.0
    begins: float = 0.0
    text_y: float = 0.0
    y: float = 0.0
    ends: float = 0.0
    x: float = 0.0
    bar: tuple[float, float] = (0.0, 0.0)
    lanes: list[Lane] = field(default_factory=list)
    outer: list[Lane] = field(default_factory=list)
    satellites: list[Satellite] = field(default_factory=list)
    side: Side | None = None
    stub: Stub | None = None
    room: float = 0.0
    room_within: bool = False
    last: int = 0
    contour: Contour = field(default_factory=Contour)

    @property
    def high(self) -> float:
        """Height of what is stretched over its children: a busbar, a branch, a device with several terminals."""
        return self.inner.bbox[3] - self.inner.bbox[1] + TERMINALS if self.inner else BRANCH if self.strip.kind == "branch" else BAR

    @property
    def box(self) -> Box:
        """Of the symbol, about the axis and from the top of the drawing."""
        if self.symbol is None:
            return (self.bar[0], self.y, self.bar[1], self.y + self.high)
        x0, y0, x1, y1 = self.symbol.bbox
        return (x0, y0 + self.y, x1, y1 + self.y)

    @property
    def is_head(self) -> bool:
        """Whether this is the strip at which its group is fed."""
        return self.group is not None and self.group.head is self

    def inside(self, other: Node) -> bool:
        return self.group is not None and self.group is other.group


@dataclass(slots=True, eq=False)
class Group:
    """Strips of one enclosure that hang together: they are drawn within one rectangle."""

    enclosure: Enclosure
    name: Block
    head: Node
    members: list[Node] = field(default_factory=list)
    top: float = 0.0
    bottom: float = 0.0
    sides: tuple[float, float] = (0.0, 0.0)


def grow(root: Strip, enclosures: Mapping[str, Enclosure], style: Style) -> list[Node]:
    """All strips as nodes, each parent before its children, in the given order."""
    nodes: list[Node] = []
    stack: list[tuple[Strip, Node | None]] = [(root, None)]
    while stack:
        strip, parent = stack.pop()
        node = measured(strip, parent, style)
        node.order = len(nodes)
        nodes.append(node)
        if parent:
            parent.kids.append(node)
        join_group(node, enclosures)
        stack.extend((child, node) for child in reversed(branched(strip).children))
    for node in reversed(nodes):
        node.last = node.kids[-1].last if node.kids else node.order
    return nodes


def branched(strip: Strip) -> Strip:
    """A device that feeds several strips from one terminal gets a branch of its own below it, so that no wire bends."""
    if strip.kind in STRETCHED or len(strip.children) < 2 or several_terminals(strip):
        return strip
    first = strip.children[0].wire
    kind, pen = (first.kind, first.pen) if first and first.kind != "power" else ("power", strip.pen)
    tie = Feed(f"{strip.id}.branch", strip.object, kind, pen=pen)
    bar = Strip(f"{strip.id}.bar", strip.object, "branch", title=strip.title, pen=pen, wire=tie, children=strip.children,
                enclosure=strip.enclosure)
    return replace(strip, children=(bar,))


def several_terminals(strip: Strip) -> bool:
    """Whether a device is wired at more than one terminal below it."""
    return len({child.wire.port for child in strip.children if child.wire}) > 1


def measured(strip: Strip, parent: Node | None, style: Style, beside: bool = False) -> Node:
    """A node with its text broken into lines. What has no neighbour may be wider. beside: it belongs to the second line of a device."""
    alone = not beside and (parent is None or (parent.alone and len(parent.strip.children) < 2 and strip.side is None))
    width = max(style.wrap, ALONE) if alone else style.wrap
    wire, lines = strip.wire, strip.lines
    cable = flagged(block(cable_lines(wire, width), width), wire.revised) if wire else block((), width)
    if several_terminals(strip) and strip.kind not in STRETCHED:
        return Node(strip, None, symbol(strip.kind), flagged(block((", ".join(lines),), inf), strip.revised), cable, parent, alone=alone)
    if strip.kind in STRETCHED:
        return Node(strip, None, None, flagged(block((", ".join(lines),) if lines else (), inf), strip.revised), cable, parent, alone=alone)
    shape, text = symbol(strip.kind), flagged(low(lines, width), strip.revised)
    under = not beside and parent is not None and stands_under(strip, text)
    return Node(strip, shape, None, text, cable, parent, alone=alone, under=under, over=0.0 if under else overhang(shape, text))


def low(lines: tuple[str, ...], width: float) -> Block:
    """Lines broken at a width, or farther out where there would be so many that the outer ones stand far from their symbol."""
    text = block(lines, width)
    for more in WIDER if len(text.lines) > HIGH else ():
        text = block(lines, more * width)
        if len(text.lines) <= HIGH:
            break
    return text


def stands_under(strip: Strip, text: Block) -> bool:
    """Whether text may stand below a symbol: at the end of a line, where nothing hangs beside the symbol."""
    return not (strip.children or strip.revised or strip.marks) and 0 < len(text.lines) <= UNDER


def flagged(text: Block, revised: str) -> Block:
    """Room for the triangle of a revision at the right of a text."""
    return Block(text.lines, text.width + FLAG, max(text.height, FLAG)) if revised else text


def cable_lines(wire: Feed, width: float) -> tuple[str, ...]:
    """The conductors come first, with the cable's designation where both fit on a line; earth wires stay long enough for two dashes."""
    if wire.kind == "earth" or not wire.conductors or not wire.lines:
        return (wire.conductors, *wire.lines) if wire.conductors else wire.lines
    together = wire.conductors + BETWEEN + wire.lines[0]
    return (together, *wire.lines[1:]) if text_width(together, LETTERS) <= width else (wire.conductors, *wire.lines)


def join_group(node: Node, enclosures: Mapping[str, Enclosure]) -> None:
    """Put a node into its parent's group, or begin a new one."""
    wanted = node.strip.enclosure
    if wanted is None:
        return
    above = node.parent.group if node.parent else None
    if above is None or above.enclosure.id != wanted:
        enclosure = enclosures[wanted]
        wide = NAMES_WIDE if node.parent else 2 * NAMES_WIDE  # a further section begins with a reference, near which the name must stand
        above = Group(enclosure, block(enclosure.lines, wide, NAME, NAME_LINE, True), node)
    node.group = above
    above.members.append(node)


def overhang(shape: Symbol, text: Block) -> float:
    """Height of a text block at the right of a symbol that hangs out below (and above) it [mm]."""
    _, top, _, bottom = shape.bbox
    return max(0.0, (text.height - (bottom - top)) / 2)


def berth(over: float) -> float:
    """Space round a label that hangs out by so much: its outer lines must be nearer to their own symbol than to any other [mm]."""
    return max(TEXT_GAP, over - 2.5)
