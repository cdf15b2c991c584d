# SPDX-License-Identifier: MIT
"""Layout: no overlap of anything, judged by brute force, on trees made at random."""
from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from itertools import combinations, product

import pytest

from sld.layout import (Chain, ChainDevice, ChainLink, Drawn, Enclosure, Feed, Net, Segment, Strip, Style, chain_layout, chain_layouts,
                        layout, layouts)
from sld.layout.text import shorten, wrap
from sld.font import text_width
from sld.primitives import Box, Pen, Wire

TOUCH = 0.05  # boxes and strokes that only touch do not overlap [mm]
INLINE = ("breaker", "switch-disconnector", "ct", "meter-both", "fuse")
ENDS = ("load", "load", "inverter", "storage", "gateway")
CABLES = (("2.5 mm² 2C+2.5E", "24 m"), ("16 mm² 2C+6E Cu XLPE", "11 m underground in conduit"), ("TBC",))


# what a draftsperson's eye would find

def overlap(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > TOUCH and min(a[3], b[3]) - max(a[1], b[1]) > TOUCH


def inside(a: Box, b: Box) -> bool:
    return b[0] <= a[0] + TOUCH and b[1] <= a[1] + TOUCH and a[2] <= b[2] + TOUCH and a[3] <= b[3] + TOUCH


def pieces(wire: Wire) -> list[Box]:
    return [(min(x, u), min(y, v), max(x, u), max(y, v)) for (x, y), (u, v) in zip(wire.points, wire.points[1:])]


def cuts(piece: Box, box: Box) -> bool:
    """Whether a stroke runs through the inside of a box."""
    x0, y0, x1, y1 = box[0] + TOUCH, box[1] + TOUCH, box[2] - TOUCH, box[3] - TOUCH
    return piece[0] < x1 and piece[2] > x0 and piece[1] < y1 and piece[3] > y0


def strokes_meet(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) >= -TOUCH and min(a[3], b[3]) - max(a[1], b[1]) >= -TOUCH


def distance(a: Box, b: Box) -> float:
    dx, dy = max(b[0] - a[2], a[0] - b[2], 0.0), max(b[1] - a[3], a[1] - b[3], 0.0)
    return (dx * dx + dy * dy) ** 0.5


def faults(drawn: Drawn) -> Iterator[str]:
    """Everything that would make a drawing wrong or hard to read."""
    boxes = {placed.id: placed.bbox for placed in drawn.symbols}
    yield from box_faults(drawn, boxes)
    yield from wire_faults(drawn, boxes)
    yield from area_faults(drawn)
    for wire in drawn.wires:
        if any(a[0] != b[0] and a[1] != b[1] for a, b in zip(wire.points, wire.points[1:])):
            yield f"{wire.id} is oblique"
        if wire.kind == "power" and len(wire.points) > 2:
            yield f"{wire.id} bends"
    for box in [*boxes.values(), *(label.bbox for label in drawn.labels), *(piece for wire in drawn.wires for piece in pieces(wire))]:
        if not inside(box, (0.0, 0.0, drawn.width, drawn.height)):
            yield f"{box} is outside"


def box_faults(drawn: Drawn, boxes: dict[str, Box]) -> Iterator[str]:
    for (a, p), (b, q) in combinations(boxes.items(), 2):
        if overlap(p, q):
            yield f"symbols {a} and {b} overlap"
    for one, other in combinations(drawn.labels, 2):
        if overlap(one.bbox, other.bbox):
            yield f"text {one.id} and {other.id} overlap"
    for label, (name, box) in product(drawn.labels, boxes.items()):
        if overlap(label.bbox, box) and not (label.inside and label.of == name):
            yield f"text {label.id} overlaps symbol {name}"


def wire_faults(drawn: Drawn, boxes: dict[str, Box]) -> Iterator[str]:
    wires = {wire.id: wire for wire in drawn.wires}
    for wire in drawn.wires:
        for piece in pieces(wire):
            yield from (f"{wire.id} runs through {label.id}" for label in drawn.labels if cuts(piece, label.bbox))
            yield from (f"{wire.id} runs through {name}" for name, box in boxes.items() if cuts(piece, box))
        for end, (x, y) in zip(wire.ends, (wire.points[0], wire.points[-1])):
            targets = [boxes[end]] if end in boxes else pieces(wires[end])
            if min(distance((x, y, x, y), target) for target in targets) > TOUCH:
                yield f"{wire.id} does not reach {end}"
    for one, other in combinations(drawn.wires, 2):
        if set(one.ends) & set(other.ends) or one.id in other.ends or other.id in one.ends:
            continue
        crossing = {"power"} <= {one.kind, other.kind}
        for a, b in product(pieces(one), pieces(other)):
            parallel = (a[0] == a[2]) == (b[0] == b[2])
            if strokes_meet(a, b) and (parallel or crossing):
                yield f"{one.id} meets {other.id}"


def area_faults(drawn: Drawn) -> Iterator[str]:
    for one, other in combinations(drawn.areas, 2):
        if overlap(one.bbox, other.bbox) and not inside(one.bbox, other.bbox) and not inside(other.bbox, one.bbox):
            yield f"enclosures {one.id} and {other.id} overlap"
    for area, thing in product(drawn.areas, [*drawn.symbols, *drawn.labels]):
        if overlap(area.bbox, thing.bbox) and not inside(thing.bbox, area.bbox):
            yield f"enclosure {area.id} cuts {thing.id}"


def unclear(drawn: Drawn) -> Iterator[str]:
    """Text that stands nearer to another symbol than to its own."""
    boxes = {placed.id: placed.bbox for placed in drawn.symbols}
    for label in drawn.labels:
        if label.of in boxes:
            mine = distance(label.bbox, boxes[label.of])
            yield from (f"{label.id} stands nearer to {name}" for name, box in boxes.items()
                        if name != label.of and distance(label.bbox, box) < mine - 0.5)


# trees

class Grower:
    """A random tree of boards, circuits and equipment, with buses."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.count = 0
        self.enclosures: list[Enclosure] = []
        self.bus: list[str] = []

    def name(self, letters: str) -> str:
        self.count += 1
        return f"{letters}{self.count}"

    def wire(self, cable: bool = False) -> Feed:
        name = self.name("W")
        lines = (name, *self.random.choice(CABLES)) if cable else ("way 3",) * self.random.randint(0, 1)
        return Feed(name, name, lines=lines, conductors="1/N/PE" if cable else "", pen=Pen(self.random.choice((0.25, 0.5))))

    def device(self, kind: str, wire: Feed | None, children: Sequence[Strip] = (), enclosure: str | None = None) -> Strip:
        name = self.name("D")
        lines = (name, "63 A C 2P 6 kA", "Main switch of a long name", "TBC", "owner: distributor")[:self.random.randint(0, 5)]
        marks = ()
        if kind in ("storage", "inverter", "gateway"):
            self.bus.append(name)
            marks = (("terminator", f"{name}.t"), ("shield-bond", f"{name}.b"))[:self.random.choice((0, 0, 1, 2))]
        return Strip(name, name, kind, lines, wire=wire, children=tuple(children), enclosure=enclosure, marks=marks)

    def bar(self, wire: Feed, size: int, enclosure: str | None, depth: int) -> Strip:
        count = self.random.randint(1, 6)
        kids = [self.circuit(max(1, size // count), enclosure, depth) for _ in range(count)]
        name = self.name("B")
        return Strip(name, name, "busbar", (name, "100 A"), wire=wire, children=tuple(kids), enclosure=enclosure)

    def board(self, wire: Feed, size: int, depth: int) -> Strip:
        enclosure = None
        if self.random.random() < 0.9:
            enclosure = self.name("E")
            self.enclosures.append(Enclosure(enclosure, enclosure, (f"{enclosure} Switchboard",)))
        return self.device("switch-disconnector", wire, [self.bar(self.wire(), size, enclosure, depth)], enclosure)

    def circuit(self, size: int, enclosure: str | None, depth: int) -> Strip:
        if size > 3 and depth < 5 and self.random.random() < 0.3:
            tail = self.bar(self.wire(), size - 1, enclosure, depth + 1)
        elif size > 3 and depth < 5:
            tail = self.board(self.wire(True), size - 1, depth + 1)
        else:
            tail = self.device(self.random.choice(ENDS), self.wire(True))
        return self.device(self.random.choice(INLINE), self.wire(), [tail], enclosure)

    def nets(self) -> tuple[Net, ...]:
        found = []
        for number in range(self.random.randint(0, 2) if len(self.bus) > 1 else 0):
            names = self.random.sample(self.bus, min(len(self.bus), 6))
            segments = tuple(Segment(self.name("S"), "S", a, b, "9 m") for a, b in zip(names, names[1:]))
            found.append(Net(f"net{number}", "bus", segments, "control bus"))
        return tuple(found)


def grown(seed: int, size: int) -> tuple[Strip, tuple[Net, ...], tuple[Enclosure, ...]]:
    grower = Grower(seed)
    root = grower.device("supply", None, [grower.board(grower.wire(True), size, 0)])
    return root, grower.nets(), tuple(grower.enclosures)


def strips(root: Strip) -> Iterator[Strip]:
    yield root
    for child in root.children:
        yield from strips(child)


@pytest.mark.parametrize("seed", range(24))
def test_nothing_overlaps_in_any_style_of_a_random_tree(seed: int) -> None:
    style = Style((21.0, 30.0)[seed % 2], ("centre", "left")[seed // 2 % 2], seed // 4 % 2 == 0)
    drawn = layout(*grown(seed, 4 + 2 * seed), style)
    assert list(faults(drawn)) == []
    assert list(unclear(drawn)) == []


def test_a_large_tree_is_drawn_in_time_in_proportion_to_its_size() -> None:
    """Counted in calls, so that a busy machine does not matter: four times the strips, at most five times the calls."""
    import cProfile
    import pstats

    def calls(ways: int) -> int:
        board = Strip("B", "B", "busbar", ("B",), children=tuple(
            Strip(f"Q{n}", f"Q{n}", "breaker", (f"Q{n}",), wire=Feed(f"W{n}", f"W{n}"), children=(
                Strip(f"L{n}", f"L{n}", "load", (f"L{n}",), wire=Feed(f"C{n}", f"C{n}", lines=("2.5 mm²",))),)) for n in range(ways)))
        profile = cProfile.Profile()
        profile.runcall(layout, board)
        return int(pstats.Stats(profile).total_calls)  # type: ignore[attr-defined]

    calls(800)  # now all texts are measured
    assert calls(800) < 5 * calls(200)


def test_every_strip_wire_and_segment_is_drawn_once() -> None:
    root, nets, enclosures = grown(11, 40)
    drawn = layout(root, nets, enclosures)
    symbols, wires = [placed.id for placed in drawn.symbols], [wire.id for wire in drawn.wires]
    names = symbols + wires + [label.id for label in drawn.labels] + [area.id for area in drawn.areas]
    assert len(names) == len(set(names))
    assert {strip.id for strip in strips(root)} <= set(symbols)
    assert {strip.wire.id for strip in strips(root) if strip.wire} <= set(wires)
    assert {segment.id for net in nets for segment in net.segments} <= set(wires)
    assert {enclosure.id for enclosure in enclosures} == {area.object for area in drawn.areas}


def test_power_flows_down_and_siblings_keep_their_order() -> None:
    root, nets, enclosures = grown(5, 60)
    drawn = layout(root, nets, enclosures)
    at = {placed.id: placed.at for placed in drawn.symbols}
    for wire in drawn.wires:
        if wire.kind == "power":
            assert wire.points[0][1] < wire.points[-1][1]
    for strip in strips(root):
        places = [at[child.id][0] for child in strip.children]
        assert places == sorted(places)


def test_a_device_stands_within_its_board_and_a_load_outside() -> None:
    root, nets, enclosures = grown(5, 60)
    drawn = layout(root, nets, enclosures)
    boxes = {placed.id: placed.bbox for placed in drawn.symbols}
    areas = {area.object: area.bbox for area in drawn.areas}
    for strip in strips(root):
        for name, area in areas.items():
            assert inside(boxes[strip.id], area) == (strip.enclosure == name)


def test_circuits_stand_at_most_28_mm_apart_with_usual_text() -> None:
    # common practice, no source: width of a circuit on a hand-drawn sheet is 20 to 30 mm
    def way(n: int) -> Strip:
        load = Strip(f"L{n}", f"L{n}", "load", ("Sockets", "3 kW"), wire=Feed(f"W{n}", f"W{n}", lines=(f"W{n}", "2.5 mm² 2C+2.5E", "24 m")))
        return Strip(f"Q{n}", f"Q{n}", "breaker", (f"Q{n}", "20 A C 1P 6 kA"), "", Pen(), Feed(f"w{n}", f"w{n}"), (load,), "E")

    ways = tuple(way(n) for n in range(12))
    drawn = layout(Strip("B", "B", "busbar", ("B",), children=ways, enclosure="E"), (), (Enclosure("E", "E", ("Board",)),))
    xs = sorted(placed.at[0] for placed in drawn.symbols if placed.symbol.kind == "breaker")
    assert max(b - a for a, b in zip(xs, xs[1:])) <= 28.0
    assert len({placed.at[1] for placed in drawn.symbols if placed.symbol.kind == "load"}) == 1


def test_a_chain_in_the_order_of_the_circuits_does_not_cross_itself() -> None:
    """A chain in given order is a one-page book drawing: nested or side by side, no two segments interleave."""
    ways = tuple(Strip(f"BAT{n}", f"BAT{n}", "storage", (f"BAT{n}",), wire=Feed(f"W{n}", f"W{n}")) for n in range(6))
    names = [way.id for way in ways]
    net = Net("bus", "bus", tuple(Segment(f"S{n}", f"S{n}", a, b, "9 m") for n, (a, b) in enumerate(zip(names, names[1:]))))
    drawn = layout(Strip("B", "B", "busbar", children=ways), (net,))
    bus = [wire for wire in drawn.wires if wire.kind == "bus"]
    assert len(bus) == 5
    for one, other in combinations(bus, 2):
        assert not any(strokes_meet(a, b) for a, b in product(pieces(one), pieces(other)))


def test_the_same_tree_gives_the_same_drawing() -> None:
    assert layout(*grown(3, 50)) == layout(*grown(3, 50))
    assert layouts(*grown(3, 20)) == layouts(*grown(3, 20))


def test_a_chain_of_a_thousand_devices_does_not_exhaust_the_stack() -> None:
    strip = Strip("D0", "D0", "load", ("D0",), wire=Feed("W0", "W0"))
    for n in range(1, 1000):
        strip = Strip(f"D{n}", f"D{n}", "fuse", (f"D{n}",), wire=Feed(f"W{n}", f"W{n}"), children=(strip,))
    assert len(layout(strip).symbols) == 1000


# text

def test_a_number_stays_with_its_unit_when_text_is_broken() -> None:
    for width in range(5, 60):
        for line in wrap("20 A C 1P 6 kA and 11 × 410 W over 2.5 mm² 2C+2.5E for 14 m", float(width)):
            assert not line.endswith((" 20", " 6", "11", "×", "2.5", " 14")) and not line.startswith(("A ", "kA", "×", "mm²", "m"))


def test_shortened_text_fits_and_shows_the_cut() -> None:
    text = "a customer with a very long name indeed"
    for width in (5.0, 20.0, 40.0):
        cut = shorten(text, width, 2.5)
        assert text_width(cut, 2.5) <= width and cut.endswith("…")
    assert shorten(text, 500.0, 2.5) == text


# bus diagram

def random_chain(seed: int) -> Chain:
    draw = random.Random(seed)
    count = draw.randint(1, 16)
    devices = tuple(ChainDevice(f"D{n}", f"D{n}", (f"D{n}", "Storage", "Boat shed, north wall")[:draw.randint(1, 3)],
                                marks=(("terminator", f"T{n}"),) * draw.randint(0, 1)) for n in range(count))
    pairs = [(n - 1, n) for n in range(1, count) if draw.random() < 0.9]
    pairs += [(draw.randrange(count), draw.randrange(count)) for _ in range(2)]
    links = tuple(ChainLink(f"S{n}", f"S{n}", f"D{a}", f"D{b}", "9 m (Σ 21 m)", draw.choice(("", f"D{a}", f"D{b}")))
                  for n, (a, b) in enumerate(pairs))
    return Chain("bus", "Control bus", devices, links)


@pytest.mark.parametrize("seed", range(24))
def test_nothing_overlaps_in_a_bus_diagram_of_any_shape(seed: int) -> None:
    drawn = chain_layout([random_chain(seed)], (120.0, 240.0, 500.0)[seed % 3])
    assert list(faults(drawn)) == []
    assert len(drawn.wires) >= len(random_chain(seed).links)


def test_a_true_chain_is_drawn_from_end_to_end_in_its_own_order() -> None:
    names = ["BAT2", "BA1", "BAT3", "BAT1"]
    chain = Chain("bus", "", tuple(ChainDevice(name, name, (name,)) for name in sorted(names)),
                  tuple(ChainLink(f"S{n}", f"S{n}", a, b, "9 m") for n, (a, b) in enumerate(zip(names, names[1:]))))
    drawn = chain_layout([chain], 1000.0)
    across = sorted((placed for placed in drawn.symbols), key=lambda placed: placed.at[0])
    assert [placed.id for placed in across] in (names, names[::-1])
    assert all(len(wire.points) == 2 for wire in drawn.wires)


@pytest.mark.parametrize("bond", ["", "T1", "M2"])
def test_a_branch_hangs_straight_below_the_device_that_it_leaves(bond: str) -> None:
    devices = tuple(ChainDevice(name, name, (name,), marks=(("terminator", name),) if name != "T1" else ()) for name in ("BA1", "T1", "M1", "M2"))
    links = (ChainLink("a", "a", "BA1", "T1", "14 m"), ChainLink("b", "b", "T1", "M1", "9 m"), ChainLink("c", "c", "T1", "M2", "3 m", bond))
    drawn = chain_layout([Chain("bus", "Meter bus", devices, links)])
    branch = next(wire for wire in drawn.wires if wire.id == "c")
    assert list(faults(drawn)) == [] and len(branch.points) == 2 and branch.points[0][0] == branch.points[1][0]


def test_a_device_on_two_buses_is_drawn_in_both() -> None:
    devices = (ChainDevice("GW1", "GW1", ("GW1",)), ChainDevice("M1", "M1", ("M1",)))
    chains = [Chain(name, name, devices, (ChainLink(f"{name}.1", name, "GW1", "M1", "2 m"),)) for name in ("A", "B")]
    drawn = chain_layouts(chains)[0]
    assert len({placed.id for placed in drawn.symbols if placed.symbol.kind != "data"}) == 4 and list(faults(drawn)) == []




def test_two_terminators_on_one_device_are_two_symbols() -> None:
    marks = (("terminator", "T"), ("terminator", "T"))
    strip = Strip("GW1", "GW1", "gateway", ("GW1",), marks=marks)
    chain = Chain("bus", "", (ChainDevice("GW1", "GW1", ("GW1",), marks=marks),), ())
    for drawn in (layout(strip), chain_layout([chain])):
        assert len({placed.id for placed in drawn.symbols}) == 3 and list(faults(drawn)) == []
