# SPDX-License-Identifier: MIT
"""A forest as pieces that fit, with a reference at both sides of each cut."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from operator import is_

from sld.layout.model import Enclosure, Feed, Net, Segment, Strip, Style
from sld.layout.nodes import Node
from sld.split.cutting import Cuts, cut_tree
from sld.split.model import PLACE, Forest, Piece, Room

__all__ = ["pieces", "strips_of"]


def pieces(forest: Forest, room: Room, style: Style) -> list[Piece]:
    """All pieces in the order in which they are read: a board before what it feeds, in the order of its ways."""
    enclosures = {enclosure.id: enclosure for enclosure in forest.enclosures}
    found: list[Piece] = []
    for number, root in enumerate(forest.roots):
        cuts = cut_tree(root, forest.nets, enclosures, room, style)
        found += [Piece(strip, (number, *order)) for order, strip in rebuilt(cuts)]
    found.sort(key=lambda piece: piece.order)
    return furnished(found, forest.nets, forest.enclosures)


def strips_of(root: Strip) -> Iterator[Strip]:
    """All strips of a tree, parents first."""
    stack = [root]
    while stack:
        strip = stack.pop()
        yield strip
        stack.extend(reversed(strip.children))
        if strip.side:
            stack.append(strip.side)


def rebuilt(cuts: Cuts) -> list[tuple[tuple[int, int], Strip]]:
    """The trees that the cuts leave, each with its order."""
    built: dict[Node, Strip] = {}
    found: list[tuple[tuple[int, int], Strip]] = []
    for node in reversed(cuts.nodes):
        kids = [ahead(kid) if kid in cuts.cut else built.pop(kid) for kid in node.kids]
        first = cuts.sections.get(node)
        if first:
            kids, more = divided(node, kids, first)
            found += [((node.order, number), part) for number, part in enumerate(more, 1)]
        same = len(kids) == len(node.strip.children) and all(map(is_, kids, node.strip.children))
        made = node.strip if same else replace(node.strip, children=tuple(kids))
        if node in cuts.cut:
            found.append(((node.order, 0), behind(node, made)))
        else:
            built[node] = made
    return [*found, ((-1, 0), built[cuts.nodes[0]])]


def title(node: Node | None) -> str:
    """What a node is called in a reference: the board that it stands in, else its designation."""
    here = node
    while here is not None and here.group is None:
        if here.strip.lines and here is node:
            return here.strip.lines[0]
        here = here.parent
    if here is None or here.group is None:
        return "supply"
    lines = here.group.enclosure.lines
    return lines[0].split()[0] if lines and lines[0].strip() else here.group.enclosure.id


def ahead(node: Node) -> Strip:
    """Stands in the place of a node that has been cut off: where the line goes on."""
    wire = node.strip.wire
    assert wire is not None
    above = node.parent.strip.enclosure if node.parent and not node.is_head else None
    return Strip(f"{wire.id}.to", wire.object, "reference", (f"to {title(node)}", PLACE), pen=wire.pen, wire=wire, enclosure=above,
                 pair=f"{wire.id}.from")


def behind(node: Node, made: Strip) -> Strip:
    """The piece that begins at a node: where the line comes from, then the node."""
    wire = node.strip.wire
    assert wire is not None
    rest = Feed(f"{wire.id}.on", wire.object, wire.kind, wire.net, pen=wire.pen, crossed=wire.crossed)
    return Strip(f"{wire.id}.from", wire.object, "reference-from", (f"from {title(node.parent)}", PLACE), pen=wire.pen,
                 children=(replace(made, wire=rest),), pair=f"{wire.id}.to")


def divided(node: Node, kids: Sequence[Strip], first: Sequence[int]) -> tuple[list[Strip], list[Strip]]:
    """What stays on a bar, and the trees of its further sections. Each section refers to the next one and to the one before."""
    strip, name = node.strip, title(node)
    runs = [list(kids[a:b]) for a, b in zip([0, *first], [*first, len(kids)])]
    for number, run in enumerate(runs[:-1], 1):
        wire = Feed(f"{strip.id}.end{number}", strip.object, pen=strip.pen)
        run.append(Strip(f"{strip.id}.to{number}", strip.object, "reference", (f"{name} continues", PLACE), pen=strip.pen, wire=wire,
                         enclosure=strip.enclosure, pair=f"{strip.id}.from{number}"))
    more = []
    for number, run in enumerate(runs[1:], 1):
        wire = Feed(f"{strip.id}.begin{number}", strip.object, pen=strip.pen)
        bar = replace(strip, id=f"{strip.id}.part{number + 1}", wire=wire, children=tuple(run))
        more.append(Strip(f"{strip.id}.from{number}", strip.object, "reference-from", (f"{name} continued from", PLACE), pen=strip.pen, children=(bar,),
                          enclosure=strip.enclosure, pair=f"{strip.id}.to{number}"))
    return runs[0], more


def furnished(found: Sequence[Piece], nets: Sequence[Net], enclosures: Sequence[Enclosure]) -> list[Piece]:
    """Pieces with their nets and enclosures. A segment between two pieces becomes a reference in each."""
    home = {strip.id: number for number, piece in enumerate(found) for strip in strips_of(piece.root)}
    own: list[list[Net]] = [[] for _ in found]
    for net in nets:
        parts: dict[int, list[Segment]] = {}
        for segment in net.segments:
            for number, part in halves(segment, home, net):
                parts.setdefault(number, []).append(part)
        for number, segments in parts.items():
            own[number].append(replace(net, segments=tuple(segments)))
    rooms = shared([piece.root for piece in found], enclosures)
    return [replace(piece, nets=tuple(mine), enclosures=room) for piece, mine, room in zip(found, own, rooms)]


def halves(segment: Segment, home: dict[str, int], net: Net) -> Iterator[tuple[int, Segment]]:
    """A segment in the piece of both its ends, or one part of it in the piece of each."""
    a, b = home[segment.start], home.get(segment.end)
    if a == b or not segment.end:
        yield a, segment
        return
    assert b is not None
    other = f"{segment.id}.on"
    text = f", {segment.text}" if segment.text else ""
    yield a, replace(segment, end="", text=f"to {segment.end}{text}, {PLACE}", pair=f"{other}.to")
    yield b, Segment(other, segment.object, segment.end, "", f"to {segment.start}{text}, {PLACE}", segment.end_port, "", f"{segment.id}.to")


def shared(roots: Iterable[Strip], enclosures: Sequence[Enclosure]) -> list[tuple[Enclosure, ...]]:
    """The enclosures of each piece; one that stands in several pieces says so in its name."""
    used = [dict.fromkeys(strip.enclosure for strip in strips_of(root) if strip.enclosure) for root in roots]
    total, seen = Counter(name for names in used for name in names), Counter[str]()
    by_id = {enclosure.id: enclosure for enclosure in enclosures}
    found = []
    for names in used:
        parts = []
        for name in names:
            seen[name] += 1
            parts.append(part_of(by_id[name], seen[name], total[name]))
        found.append(tuple(parts))
    return found


def part_of(enclosure: Enclosure, number: int, total: int) -> Enclosure:
    if total == 1:
        return enclosure
    first, *others = enclosure.lines or (enclosure.id,)
    return Enclosure(enclosure.id, enclosure.object, (f"{first} ({number} of {total})", *others), f".{number}" if number > 1 else "")
