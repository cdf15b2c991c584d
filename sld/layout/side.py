# SPDX-License-Identifier: MIT
"""A second line into a device: it comes down beside the first one, at its left, and ends at a port of the device's left side."""
from __future__ import annotations

from topology.dataclass import dataclass

from sld.layout.levels import set_level
from sld.layout.model import Feed, Style
from sld.layout.nodes import CLEAR, GAP, NUMBER, TEXT_GAP, WIRE_GAP, Node, berth, measured
from sld.layout.text import Block, block
from sld.primitives import Box

__all__ = ["Side", "hang_side", "side_boxes"]


@dataclass(slots=True, eq=False)
class Side:
    """The strips of the second line from its beginning on. x: its axis from that of the device; deep: from its top to the port [mm]."""

    nodes: list[Node]
    wire: Feed
    text: Block
    port: float
    x: float
    deep: float

    def hang(self, y: float) -> None:
        """Move the line so that it ends at a height."""
        for node in self.nodes:
            node.y += y - self.deep
            node.text_y += y - self.deep


def hang_side(node: Node, style: Style) -> None:
    """Measure the second line of a device, if it has one."""
    strip, wire = node.strip.side, node.strip.side_wire
    if strip is None or wire is None or node.symbol is None:
        return
    nodes: list[Node] = []
    while True:
        nodes.append(measured(strip, nodes[-1] if nodes else None, style, True))
        set_level(nodes[-1], 0.0, 0.0)
        if not strip.children:
            break
        strip = strip.children[0]
    port = node.symbol.ports.get(node.strip.side_port)
    height = port.at[1] if port else node.symbol.bbox[1] + 1.0
    text = block(cable_text(wire), style.wrap)
    right = max([WIRE_GAP + text.width, *(max(box[2] for box in boxes_of(one)) for one in nodes)]) + CLEAR
    x = min(-right - CLEAR, (port.at[0] if port else node.symbol.bbox[0]) - 5.0)
    node.side = Side(nodes, wire, text, height, x, nodes[-1].ends + max(GAP, text.height + 2 * TEXT_GAP))


def cable_text(wire: Feed) -> tuple[str, ...]:
    return (wire.conductors, *wire.lines) if wire.conductors else wire.lines


def boxes_of(node: Node) -> list[Box]:
    """What a strip of the second line takes about its own axis."""
    x0, y0, x1, y1 = node.box
    over = node.over
    boxes = [(x0 - CLEAR, y0, x1 + CLEAR, y1)]
    if node.label.height:
        boxes.append((x0, y0 - over, x1 + TEXT_GAP + node.label.width + berth(over), y1 + over))
    if node.cable.height:
        boxes.append((-NUMBER if node.strip.wire and node.strip.wire.number else 0.0, node.text_y - 1.0, WIRE_GAP + node.cable.width + CLEAR, node.text_y + node.cable.height + 1.0))
    return boxes


def side_boxes(node: Node) -> list[Box]:
    """What the second line takes about the axis of its device, from its top down to the port."""
    side = node.side
    if side is None:
        return []
    bottom = node.y + side.port
    boxes = [(x0 + side.x, y0, x1 + side.x, y1) for one in side.nodes for x0, y0, x1, y1 in boxes_of(one)]
    top = min(box[1] for box in boxes) - CLEAR
    return [*boxes, (side.x - CLEAR, top, side.x + CLEAR, bottom + CLEAR), (side.x, bottom - CLEAR, 0.0, bottom + CLEAR),
            (side.x - (NUMBER if side.wire.number else 0.0), bottom - side.text.height - 2 * TEXT_GAP, side.x + WIRE_GAP + side.text.width + CLEAR, bottom)]
