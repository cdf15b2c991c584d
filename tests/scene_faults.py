# SPDX-License-Identifier: MIT
"""What makes a sheet wrong or hard to read, found from rectangles and strokes alone: nothing here knows how a drawing is made.

What counts is common practice of drafting, no source: nothing overlaps, each wire ends at its symbols and runs through nothing,
power crosses neither power nor bus, text stands nearer to what it names than to anything else of that kind.
"""
from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from sld.primitives import Box, Label, Placed, Sheet, Wire

__all__ = ["faults", "overlap"]

TOUCH = 0.1  # what only touches does not overlap [mm]
CELL = 20.0  # size of the squares in which neighbours are looked for [mm]
APART = 0.7  # bars nearer than that look like one [mm]: the least distance of parallel lines in ISO 128 (second-hand)
NEAR = 10.0  # text farther than this from what it names is lost [mm]

Named = tuple[Box, str]


def faults(sheet: Sheet) -> list[str]:
    """Everything wrong on a sheet, one line each."""
    symbols = [(placed.bbox, placed.id) for placed in sheet.symbols]
    texts = [(label.bbox, label.id) for label in sheet.labels]
    strokes = [(box, wire.id) for wire in sheet.wires for box in pieces(wire)]
    found = [f"symbols {a} and {b} overlap" for (p, a), (q, b) in pairs(symbols, symbols) if overlap(p, q)]
    found += [f"texts {a} and {b} overlap" for (p, a), (q, b) in pairs(texts, texts) if overlap(p, q)]
    found += [f"bars {a.id} and {b.id} look joined" for a, b in joined_looking(sheet)]
    inner = {label.id: label.of for label in sheet.labels if label.inside}
    found += [f"text {a} lies on {b}" for (p, a), (q, b) in pairs(texts, symbols) if overlap(p, q) and inner.get(a) != b]
    found += [f"wire {b} runs through text {a}" for (p, a), (q, b) in pairs(texts, strokes) if cuts(q, p)]
    return [*found, *wire_faults(sheet, symbols, strokes), *place_faults(sheet), *unclear(sheet, symbols, strokes)]


def pairs(some: Sequence[Named], others: Sequence[Named]) -> Iterator[tuple[Named, Named]]:
    """All pairs whose boxes come near each other, each once."""
    grid: dict[tuple[int, int], list[int]] = defaultdict(list)
    for place, (box, _) in enumerate(others):
        for cell in cells(box):
            grid[cell].append(place)
    same = some is others
    for place, (box, name) in enumerate(some):
        for other in {other for cell in cells(box) for other in grid.get(cell, ())}:
            if not same or other > place:
                yield (box, name), others[other]


def joined_looking(sheet: Sheet) -> Iterator[tuple[Placed, Placed]]:
    """Pairs of bars between which no gap can be seen."""
    bars = [placed for placed in sheet.symbols if placed.symbol.kind == "busbar"]
    return ((a, b) for place, a in enumerate(bars) for b in bars[:place] if distance(a.bbox, b.bbox) < APART)


def cells(box: Box, more: float = 1.0) -> Iterable[tuple[int, int]]:
    return ((i, j) for i in range(int((box[0] - more) // CELL), int((box[2] + more) // CELL) + 1)
            for j in range(int((box[1] - more) // CELL), int((box[3] + more) // CELL) + 1))


def pieces(wire: Wire) -> list[Box]:
    return [(min(x, u), min(y, v), max(x, u), max(y, v)) for (x, y), (u, v) in zip(wire.points, wire.points[1:])]


def overlap(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > TOUCH and min(a[3], b[3]) - max(a[1], b[1]) > TOUCH


def cuts(piece: Box, box: Box) -> bool:
    """Whether a stroke runs through the inside of a box."""
    return piece[0] < box[2] - TOUCH and piece[2] > box[0] + TOUCH and piece[1] < box[3] - TOUCH and piece[3] > box[1] + TOUCH


def distance(a: Box, b: Box) -> float:
    dx, dy = max(b[0] - a[2], a[0] - b[2], 0.0), max(b[1] - a[3], a[1] - b[3], 0.0)
    return (dx * dx + dy * dy) ** 0.5


def wire_faults(sheet: Sheet, symbols: Sequence[Named], strokes: Sequence[Named]) -> Iterator[str]:
    """Ends that reach nothing, wires through symbols, oblique or bent ones, and what wires do to each other."""
    boxes, wires = {name: box for box, name in symbols}, {wire.id: wire for wire in sheet.wires}
    for wire in sheet.wires:
        if any(abs(x - u) > TOUCH and abs(y - v) > TOUCH for (x, y), (u, v) in zip(wire.points, wire.points[1:])):
            yield f"wire {wire.id} is oblique"
        for end, (x, y) in zip(wire.ends, (wire.points[0], wire.points[-1])):
            goals = [boxes[end]] if end in boxes else pieces(wires[end])
            if min(distance((x, y, x, y), goal) for goal in goals) > 0.5:
                yield f"wire {wire.id} does not reach {end}"
    for (box, name), (symbol, other) in pairs(strokes, symbols):
        if cuts(box, symbol):
            yield f"wire {name} runs through {other}"
    for (a, name), (b, other) in pairs(strokes, strokes):
        if name != other and min(a[2], b[2]) >= max(a[0], b[0]) - TOUCH and min(a[3], b[3]) >= max(a[1], b[1]) - TOUCH:
            yield from meeting(wires[name], wires[other], a, b)


def meeting(one: Wire, other: Wire, a: Box, b: Box) -> Iterator[str]:
    """Two wires that touch: wires of one net or symbol may, others must not run together, nor cross where one is power."""
    if set(one.ends) & set(other.ends) or one.id in other.ends or other.id in one.ends or (one.net is not None and one.net == other.net):
        return
    if (a[0] == a[2]) == (b[0] == b[2]):
        yield f"wires {one.id} and {other.id} run on top of each other"
    elif "power" in (one.kind, other.kind):
        yield f"{one.kind} {one.id} crosses {other.kind} {other.id}"


def place_faults(sheet: Sheet) -> Iterator[str]:
    """What lies outside of the frame or on what is kept free; boards that cut each other or what does not stand in them."""
    things = [*((s.bbox, s.id) for s in sheet.symbols), *((t.bbox, t.id) for t in sheet.labels), *((a.bbox, a.id) for a in sheet.areas),
              *((box, wire.id) for wire in sheet.wires for box in pieces(wire))]
    x0, y0, x1, y1 = sheet.frame
    kept = [furniture.box for furniture in sheet.furniture if furniture.box]
    for box, name in things:
        if box[0] < x0 or box[1] < y0 or box[2] > x1 or box[3] > y1:
            yield f"{name} lies outside of the frame"
        if any(overlap(box, keep) or cuts(box, keep) for keep in kept):
            yield f"{name} lies on what is kept free"
    areas = [(area.bbox, area.id) for area in sheet.areas]
    for (a, name), (b, other) in pairs(areas, things):
        if overlap(a, b) and name != other and not (within(b, a) or within(a, b)):
            yield f"enclosure {name} cuts {other}"


def within(a: Box, b: Box) -> bool:
    return b[0] <= a[0] + TOUCH and b[1] <= a[1] + TOUCH and a[2] <= b[2] + TOUCH and a[3] <= b[3] + TOUCH


def unclear(sheet: Sheet, symbols: Sequence[Named], strokes: Sequence[Named]) -> Iterator[str]:
    """Text nearer to another symbol (or wire) than to the one that it belongs to, or far from it."""
    owned = {name for _, name in symbols}
    for kind, things in ((True, symbols), (False, strokes)):
        labels = [label for label in sheet.labels if (label.of in owned) == kind]
        around = defaultdict(list)
        by_id: dict[str, Label] = {label.id: label for label in labels}
        wide = [((b[0] - NEAR, b[1] - NEAR, b[2] + NEAR, b[3] + NEAR), label.id) for label in labels for b in (label.bbox,)]
        for (_, name), (box, other) in pairs(wide, things):
            around[name].append((distance(by_id[name].bbox, box), other))
        for label in labels:
            mine = min((far for far, name in around[label.id] if name == label.of), default=NEAR)
            if mine >= NEAR:
                yield f"text {label.id} is far from {label.of}"
            elif (nearest := min(around[label.id]))[0] < mine - 0.5:
                yield f"text {label.id} is nearer to {nearest[1]} than to {label.of}"
