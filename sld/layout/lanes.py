# SPDX-License-Identifier: MIT
"""Buses and leads: each end of a segment gets a lane of its own at the left of its device, and a track in the channel."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, compress

from topology.dataclass import dataclass

from sld.font import text_width
from sld.layout.model import Net, Segment
from sld.layout.nodes import ALONE, GAP, TEXT_GAP, Lane, Node, Satellite, Stub
from sld.layout.text import LETTERS, LINE, block
from sld.symbols import symbol

__all__ = ["ARROW", "DROP", "LANE", "Link", "STUB_LANE", "TRACK", "hang_satellites", "links", "nested", "set_slots", "set_tracks"]

LANE = 2.5  # from one lane to the next [mm]
SLOT = 2.0  # from one wire to the next at a port [mm]
ARROW = 2.5  # length of the reference at which a segment is continued elsewhere [mm]
CLOSE = 4.0  # from a device to a reference beside it [mm]
DROP = 2.0  # from its lead down to that reference [mm]
STUB_LANE = 5.0  # from a lane that ends at a reference to the next, so that upright text has room [mm]
WORDS = 2.0  # from a lane to the text of its segment [mm]
TRACK = 6.0  # from one track with text to the next [mm]
STUB = 2.0  # from a port's wire down to a terminator or bond [mm]


@dataclass(slots=True)
class Link:
    """A segment with the lanes at its ends; y: its track, text: what stands above that.

    One that is continued elsewhere has a single lane, which ends at a reference at y with its text below, or beside it.
    """

    net: Net
    segment: Segment
    lanes: tuple[Lane, ...]
    text: str
    y: float = 0.0

    @property
    def right_edge(self) -> float:
        """How far it reaches to the right."""
        return max(self.right.x, self.left.x + WORDS + text_width(self.text, LETTERS) if self.text and len(self.lanes) > 1 else 0.0)

    @property
    def left(self) -> Lane:
        return min(self.lanes, key=lambda lane: lane.x)

    @property
    def right(self) -> Lane:
        return max(self.lanes, key=lambda lane: lane.x)


def links(nets: Sequence[Net], nodes: Sequence[Node]) -> list[Link]:
    """All segments in order, each with its two lanes entered at its devices."""
    by_id = {node.strip.id: node for node in nodes}
    found: list[Link] = []
    for net in nets:
        for segment in net.segments:
            start = Lane(by_id[segment.start], segment.start_port or net.port)
            if not segment.end:
                found.append(Link(net, segment, (start,), segment.text))
                start.rank = (-1, len(start.node.lanes))
                start.node.lanes.append(start)
                continue
            end = Lane(by_id[segment.end], segment.end_port or net.port)
            first = segment is net.segments[0]
            text = ", ".join(part for part in (net.name if first else "", segment.text) if part)
            found.append(Link(net, segment, (start, end), text))
            for lane, other in ((start, end), (end, start)):
                lane.rank = rank(lane.node.order, other.node.order)
                lane.node.lanes.append(lane)
    make_room(found)
    for link in found:
        keep_close(link)
    return found


def keep_close(link: Link) -> None:
    """A device that has no neighbour has room for the reference of its only segment beside it."""
    lane = link.lanes[0]
    node = lane.node
    if len(link.lanes) == len(node.lanes) == 1 and node.alone and node.kids and node.symbol:
        node.lanes = []
        node.stub = Stub(lane, block(tuple(link.text.rsplit(", ", 1)), ALONE))
        port = node.symbol.ports.get(lane.port)
        lane.y = port.at[1] if port else (node.symbol.bbox[1] + node.symbol.bbox[3]) / 2
        lane.x = node.symbol.bbox[0] - CLOSE


def rank(here: int, there: int) -> tuple[float, float]:
    """Order of the lanes of one device, left to right: what goes left first, nested so that they cross least."""
    return (0, here - there) if there < here else (1, here - there)


def from_right(rank: tuple[float, float]) -> tuple[float, float]:
    """The same for lanes at the right of a device, right to left: references, what goes right and is near, what goes left and is far."""
    side, far = rank
    return (-1, far) if side < 0 else (0, -far) if side else (1, -far)


def make_room(found: Iterable[Link]) -> None:
    """Keep the text of each segment free: it stands in the channel, right of the lanes of its left end."""
    for link in (link for link in found if len(link.lanes) > 1):
        node = min((lane.node for lane in link.lanes), key=lambda node: node.order)
        node.room = max(node.room, text_width(link.text, LETTERS) + 3.0 if link.text else 0.0)
    served = sorted({lane.node for link in found for lane in link.lanes}, key=lambda node: node.order)
    for node, after in zip(served, served[1:]):
        node.room_within = after.order <= node.last


def hang_satellites(node: Node) -> None:
    """Place what a strip carries at its bus port, left of the symbol; the farther one has the higher wire."""
    shape = node.symbol or node.inner
    if shape is None:
        return
    x = shape.bbox[0]
    for kind, name in node.strip.marks:
        mark = symbol(kind)
        x -= 1.5 + mark.bbox[2]
        node.satellites.append(Satellite(name, mark, x))
        x += mark.bbox[0]


def set_slots(node: Node) -> None:
    """Share the left edge of a symbol between its lanes (the farthest uppermost) and, below them, its satellites."""
    shape = node.symbol or node.inner
    if shape is None or not (node.lanes or node.outer or node.satellites):
        return
    ports = {name: port.at[1] for name, port in shape.ports.items()}
    low, high = shape.bbox[1], shape.bbox[3]
    if node.symbol is None:  # drawn in a box from its own top on
        ports = {name: y - low for name, y in ports.items()}
        low, high = 0.0, node.high
    middle = (low + high) / 2
    height = {lane: ports.get(lane.port, middle) for lane in (*node.lanes, *node.outer)}
    node.lanes.sort(key=lambda lane: (height[lane], lane.rank))
    node.outer.sort(key=lambda lane: (height[lane], from_right(lane.rank)))
    wanted = [height[lane] for lane in (*node.lanes, *node.outer)] + [ports.get("bus", middle)] * len(node.satellites)
    places = spread(wanted, low + 1.0, high - 1.0)
    for lane, y in zip((*node.lanes, *node.outer), places):
        lane.y = y
    for hanging, y in zip(reversed(node.satellites), places[len(node.lanes) + len(node.outer):]):
        hanging.slot = y
        hanging.y = y + STUB - hanging.symbol.bbox[1]


def spread(wanted: Sequence[float], low: float, high: float) -> list[float]:
    """Heights near the wanted ones (ascending), apart from each other, and within an edge."""
    if len(set(wanted)) == len(wanted):
        return list(wanted)
    pitch = min(SLOT, (high - low) / max(1, len(wanted) - 1))
    middle = sum(wanted) / len(wanted)
    first = min(max(low, middle - pitch * (len(wanted) - 1) / 2), high - pitch * (len(wanted) - 1))
    return [first + pitch * place for place in range(len(wanted))]


def set_tracks(all_found: Sequence[Link], top: float) -> float:
    """Give each segment its track below all; returns where the lowest ends.

    References come first, each on its own lane with its text upright below it. Only what passes them runs below that text.
    """
    stubs = [link for link in all_found if len(link.lanes) == 1]
    for link in stubs:
        if link.lanes[0].node.stub:
            link.y = link.lanes[0].node.y + link.lanes[0].y + DROP
    stubs = [link for link in stubs if not link.lanes[0].node.stub]
    for link in stubs:
        link.y = top + GAP
    found = [link for link in all_found if len(link.lanes) > 1]
    passing = [any(link.left.x < stub.left.x + CLOSE and stub.left.x - CLOSE < link.right_edge for stub in stubs) for link in found]
    below = list(compress(found, passing))
    end = lay_tracks([link for link, passes in zip(found, passing) if not passes], top)
    texts = max([top, *(link.y + ARROW + TEXT_GAP + text_width(link.text, LETTERS) for link in stubs)])
    return max(texts, lay_tracks(below, max(texts, end) if below else end))


def lay_tracks(found: Sequence[Link], top: float) -> float:
    """Tracks for these segments, nested, as far apart as lanes where no text stands above; returns where the lowest ends."""
    places = nested([(link.left.x, link.right.x) for link in found])
    written = {track for link, track in zip(found, places) if link.text}
    steps = [GAP + LINE if 0 in written else GAP, *(TRACK if track in written else LANE for track in range(1, max(places, default=0) + 1))]
    heights = list(accumulate(steps, initial=top))[1:]
    for link, track in zip(found, places):
        link.y = heights[track]
    return max((link.y for link in found), default=top)


def nested(spans: Sequence[tuple[float, float]]) -> list[int]:
    """A track, from 0, for each span: shorter ones first, so that they nest (after the left-edge rule).

    Hashimoto and Stevens, Wire routing by optimizing channel assignment, 1971.
    """
    at = {x: place for place, x in enumerate(sorted({x for span in spans for x in span}))}
    used, tracks = [0] * len(at), [0] * len(spans)
    for place in sorted(range(len(spans)), key=lambda place: spans[place][1] - spans[place][0]):
        first, last = at[spans[place][0]], at[spans[place][1]] + 1
        tracks[place] = max(used[first:last])
        used[first:last] = [tracks[place] + 1] * (last - first)
    return tracks
