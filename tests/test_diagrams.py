# SPDX-License-Identifier: MIT
"""Bus, sensor, board and earthing diagrams: nothing overlaps, what is drawn is what the site says, and the schedules say the same."""
from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import permutations
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
from schedules.buses import buses
from schedules.circuits import circuits
from scene_faults import joined_looking
from schedules.sensors import sensors
from sites import site
from sld.board_layout import items_of
from sld.board_rows import Item, rows_of
from sld.bus_diagram import bus_diagram
from sld.earthing_bars import arrangement, size_of
from sld.files import DIAGRAMS, diagrams, left_out
from sld.layout import Drawn
from sld.layout.move import box_of
from sld.primitives import Box, Scene, Sheet
from test_layout import faults, overlap, unclear
from topology.earthed import earthed_parts
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.site import Board, Bus, CurrentTransformer, Segment

GALLERY = Path(__file__).parents[1] / "gallery"
SITES = sorted(path.parent.name for path in GALLERY.glob("*/site.yaml"))
OURS = ("bus", "sensors", "boards", "earthing")
RANDOM = [(seed, objects, phases) for seed, objects in ((1, 40), (2, 90), (3, 160), (4, 400)) for phases in (1, 3)]


@cache
def gallery(name: str) -> Flows:
    return Flows(read_file(GALLERY / name / "site.yaml"))


@cache
def made_up(seed: int, objects: int, phases: int) -> Flows:
    return Flows(read_bytes(site(seed, objects, phases).encode()))


def small(text: str) -> Flows:
    read = read_bytes(text.encode())
    assert read.site is not None
    return Flows(read)


# ---- quality ---------------------------------------------------------------------------------------------------------

def as_drawn(sheet: Sheet) -> Drawn:
    return Drawn(sheet.symbols, sheet.wires, sheet.labels, sheet.areas, (), sheet.width, sheet.height)


def sheet_faults(sheet: Sheet) -> Iterator[str]:
    """The faults of a drawing, and what leaves the frame or runs into a block. A conductor that closes a loop may bend and cross."""
    loops = {wire.id for wire in sheet.wires if wire.net is not None and wire.net.endswith(".net")}
    yield from (f for f in faults(as_drawn(sheet)) if not (f.endswith(" bends") or " meets " in f and set(f.split()) & loops))
    yield from unclear(as_drawn(sheet))
    kept: list[Box] = [furniture.box for furniture in sheet.furniture if furniture.box]
    things = [(p.id, p.bbox) for p in sheet.symbols] + [(t.id, t.bbox) for t in sheet.labels] + [(a.id, a.bbox) for a in sheet.areas]
    for name, box in things:
        if box[0] < sheet.frame[0] or box[1] < sheet.frame[1] or box[2] > sheet.frame[2] or box[3] > sheet.frame[3]:
            yield f"{name} leaves the frame"
        if any(overlap(box, other) for other in kept):
            yield f"{name} runs into a block"


def check_scene(scene: Scene, flows: Flows) -> None:
    known = {*flows.objects, *flows.graph, ""}
    for sheet in scene.sheets:
        assert list(sheet_faults(sheet)) == []
        assert {thing.object for thing in (*sheet.symbols, *sheet.wires, *sheet.areas)} - known <= {"BAT9"}
    ids = [thing.id for sheet in scene.sheets for thing in (*sheet.symbols, *sheet.wires, *sheet.labels, *sheet.areas)]
    assert len(ids) == len(set(ids))
    assert [sheet.number for sheet in scene.sheets] == list(range(1, len(scene.sheets) + 1))


@pytest.mark.parametrize("diagram", OURS)
@pytest.mark.parametrize("name", SITES)
def test_nothing_overlaps_on_any_diagram_of_a_gallery_site(name: str, diagram: str) -> None:
    scene = DIAGRAMS[diagram](gallery(name))
    if scene is not None:
        check_scene(scene, gallery(name))


@pytest.mark.parametrize("diagram", OURS)
@pytest.mark.parametrize("which", RANDOM)
def test_nothing_overlaps_on_any_diagram_of_a_random_site(which: tuple[int, int, int], diagram: str) -> None:
    scene = DIAGRAMS[diagram](made_up(*which))
    if scene is not None:
        check_scene(scene, made_up(*which))


def test_a_diagram_without_anything_to_show_is_left_out_and_said_so() -> None:
    flows = small("site: {name: x}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 63 A], load: general}\n")
    files = diagrams(flows, ["scene"])
    assert sorted(files) == ["earthing.scene.json", "single-line.scene.json"]
    assert left_out(files) == ("bus: left out, there is no bus on this site", "sensors: left out, there is no current transformer on this site",
                               "boards: left out, there is no board on this site")


def test_only_some_diagrams_are_drawn_where_these_are_named() -> None:
    assert sorted(diagrams(gallery("boathouse"), ["scene"], ["bus", "sensors"])) == ["bus.scene.json", "sensors.scene.json"]


# ---- agreement with the schedules ------------------------------------------------------------------------------------

def rows(table: Any) -> list[dict[str, str]]:
    """A schedule as one reads it: its CSV."""
    import csv
    import io

    from schedules.write_csv import csv_bytes

    return list(csv.DictReader(io.StringIO(csv_bytes(table).decode())))


SOME = ["boathouse", "orchard", "ferry", "faulty", "faulty-bus"]


@pytest.mark.parametrize("name", SOME)
def test_each_segment_of_the_bus_schedule_is_a_wire_between_its_two_devices(name: str) -> None:
    flows = gallery(name)
    scene = bus_diagram(flows)
    assert scene is not None
    objects = {placed.id: placed.object for sheet in scene.sheets for placed in sheet.symbols}
    wires = {wire.id: [objects[end] for end in wire.ends] for sheet in scene.sheets for wire in sheet.wires if wire.id in flows.objects}
    assert wires == {row["id"]: [row["from"], row["to"]] for row in rows(buses(flows))}


@pytest.mark.parametrize("name", SOME)
def test_the_running_length_of_the_diagram_is_that_of_the_schedule(name: str) -> None:
    flows = gallery(name)
    scene = bus_diagram(flows)
    assert scene is not None
    texts = {label.of: label.text.text for sheet in scene.sheets for label in sheet.labels}
    for row in rows(buses(flows)):
        running = row["running length [m]"]
        assert (f"(Σ {float(running):g} m)" in texts[row["id"]]) if running else ("Σ" not in texts[row["id"]])


@pytest.mark.parametrize("name", ["boathouse", "orchard", "bakery", "ferry", "faulty", "faulty-sensors"])
def test_each_sensor_of_the_schedule_is_drawn_with_its_lead_to_its_controller(name: str) -> None:
    flows = gallery(name)
    scene = DIAGRAMS["sensors"](flows)
    assert scene is not None
    drawn = [p for sheet in scene.sheets for p in sheet.symbols if p.symbol.kind.startswith("ct")]
    table = rows(sensors(flows))
    assert {p.object for p in drawn} == {row["id"] for row in table}
    kinds = {"supply": "ct-p1-up", "load": "ct-p1-down"}
    owner = {p.id: p.object for sheet in scene.sheets for p in sheet.symbols}
    for row in table:
        assert {p.symbol.kind for p in drawn if p.object == row["id"]} == {kinds.get(row["P1 faces"], "ct")}
        leads = [w for sheet in scene.sheets for w in sheet.wires if w.kind == "lead" and w.object == row["id"]]
        assert sorted(owner[w.ends[1]] for w in leads) == sorted(filter(None, row["read by"].split("; ")))


@pytest.mark.parametrize("name", SITES)
def test_each_way_of_the_circuit_schedule_stands_above_its_device(name: str) -> None:
    flows = gallery(name)
    scene = DIAGRAMS["boards"](flows)
    assert scene is not None
    texts = [label.text.text for sheet in scene.sheets for label in sheet.labels if not label.inside]
    ways = [row["way"].replace(" to ", "-") for row in rows(circuits(flows))
            if row["way"] and row["board"] in flows.graph and row["kind"] != "spare way"]  # runs of spare ways stand way by way on the board
    for way in set(ways):
        assert texts.count(way) >= ways.count(way)


# ---- bus -------------------------------------------------------------------------------------------------------------

BUS = """site: {name: x}
supply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 63 A], feeds: MSB}
boards:
  MSB:
    circuits:
      - {way: 1, in_line: [breaker: 16 A C 2P 6 kA], feeds: {storage: {id: BAT1, type: storage-ac-b}}}
      - {way: 2, in_line: [breaker: 16 A C 2P 6 kA], feeds: {storage: {id: BAT2, type: storage-ac-b}}}
      - {way: 3, in_line: [breaker: 16 A C 2P 6 kA], feeds: {storage: {id: BAT3, type: storage-ac-b}}}
controllers: {BA1: {kind: bus adapter, place: MSB}}
buses:
  B:
    type: bus-shielded-pair-60
    segments: SEGMENTS
    terminators: [BA1, BAT3]
"""
SHAPES = {
    "chain": ("[{from: BA1, to: BAT1, length: 4 m, shield_bond: [BA1, BAT1]}, {from: BAT1, to: BAT2, length: 5 m}, {from: BAT2, to: BAT3}]", ""),
    "tee": ("[{from: BA1, to: BAT1}, {from: BA1, to: BAT2}, {from: BA1, to: BAT3}]", "more than two sections meet at BA1"),
    "ring": ("[{from: BA1, to: BAT1}, {from: BAT1, to: BAT2}, {from: BAT2, to: BAT3}, {from: BAT3, to: BA1}]", "it has a ring"),
    "pieces": ("[{from: BA1, to: BAT1}, {from: BAT2, to: BAT3}]", "in 2 pieces"),
    "twice": ("[{from: BA1, to: BAT1}, {from: BA1, to: BAT1}, {from: BAT1, to: BAT2}, {from: BAT2, to: BAT3}]", "it has a ring"),
    "missing": ("[{from: BA1, to: BAT9, length: 2 m}, {from: BAT1, to: BAT2}, {from: BAT2, to: BAT3}]", ""),
}


@pytest.mark.parametrize("shape", SHAPES)
def test_a_bus_is_drawn_as_it_is_wired_whatever_its_shape(shape: str) -> None:
    segments, words = SHAPES[shape]
    flows = small(BUS.replace("SEGMENTS", segments))
    scene = bus_diagram(flows)
    assert scene is not None
    check_scene(scene, flows)
    sheet = scene.sheets[0]
    bus = flows.objects["B"]
    assert isinstance(bus, Bus)
    said = sorted(sorted((str(s.from_), str(s.to))) for s in bus.segments if isinstance(s, Segment))
    assert sorted(sorted(wire.ends) for wire in sheet.wires if wire.kind == "bus" and wire.net) == said
    assert sum(p.symbol.kind == "terminator" for p in sheet.symbols) == 2
    assert any(words in label.text.text for label in sheet.labels)


def test_a_shield_bonded_at_both_ends_of_a_section_has_two_bonds() -> None:
    scene = bus_diagram(small(BUS.replace("SEGMENTS", SHAPES["chain"][0])))
    assert scene is not None
    bonds = [p for p in scene.sheets[0].symbols if p.symbol.kind == "shield-bond"]
    assert len(bonds) == 2 and len({p.id for p in bonds}) == 2


def test_running_lengths_add_up_and_end_where_a_length_is_not_known() -> None:
    scene = bus_diagram(small(BUS.replace("SEGMENTS", SHAPES["chain"][0])))
    assert scene is not None
    assert [t.text.text for t in scene.sheets[0].labels if " m (Σ" in t.text.text] == ["4 m (Σ 4 m)", "5 m (Σ 9 m)"]
    assert any(t.text.text == "TBC" for t in scene.sheets[0].labels)


def test_many_buses_go_over_several_sheets_each_bus_once() -> None:
    circuits = "".join(f"      - {{way: {n}, in_line: [breaker: 16 A C 2P 6 kA], feeds: {{storage: {{id: BAT{n}, type: storage-ac-b}}}}}}\n" for n in range(1, 61))
    chains = "".join(f"  B{n}: {{type: bus-shielded-pair-60, segments: [{{from: BAT{n}, to: BAT{n + 1}, length: 3 m}}]}}\n" for n in range(1, 61, 2))
    flows = small(f"{BUS[:BUS.index('      - {way: 1')]}{circuits}buses:\n{chains}")
    scene = bus_diagram(flows)
    assert scene is not None and len(scene.sheets) > 1
    check_scene(scene, flows)
    headings = [placed.object for sheet in scene.sheets for placed in sheet.symbols if placed.id.endswith(".data")]
    assert sorted(headings) == sorted(o.id for o in flows.objects.values() if isinstance(o, Bus))


def test_a_long_chain_is_folded_and_keeps_its_order() -> None:
    circuits = "".join(f"      - {{way: {n}, in_line: [breaker: 16 A C 2P 6 kA], feeds: {{storage: {{id: BAT{n}, type: storage-ac-b}}}}}}\n" for n in range(1, 41))
    segments = ", ".join(f"{{from: BAT{n}, to: BAT{n + 1}, length: 3 m}}" for n in range(1, 40))
    flows = small(f"{BUS[:BUS.index('      - {way: 1')]}{circuits}buses: {{B: {{type: bus-shielded-pair-60, segments: [{segments}]}}}}\n")
    scene = bus_diagram(flows)
    assert scene is not None and len(scene.sheets) == 1
    check_scene(scene, flows)
    sheet = scene.sheets[0]
    places = {p.object: p.at for p in sheet.symbols if p.object.startswith("BAT")}
    heights = sorted({y for _, y in places.values()})
    rows = [sorted((x, int(name[3:])) for name, (x, y) in places.items() if y == height) for height in heights]
    assert len(rows) > 1 and [n for k, row in enumerate(rows) for _, n in (row if k % 2 == 0 else row[::-1])] == list(range(1, 41))
    assert any("(Σ 117 m)" in label.text.text for label in sheet.labels)


# ---- sensors ---------------------------------------------------------------------------------------------------------

def test_a_core_that_goes_round_two_conductors_and_a_sensor_nobody_reads_are_drawn() -> None:
    flows = small("""site: {name: x}
supply:
  system: 2/N/PE AC 50 Hz 230 V 180°
  in_line: [fuse: 63 A, ct: {id: CT1, measures: grid, phase: L1, P1: to load, lead: [3 m own lead, 12 m twisted pair 1 mm²]}, ct: {id: CT2, measures: load, phase: L2}]
  feeds: MSB
boards:
  MSB:
    circuits:
      - {way: 1, phase: L2, in_line: [breaker: 16 A C 1P 6 kA, CT1], load: general 1 kW}
controllers: {GW1: {kind: gateway, place: MSB, inputs: {1: CT1 on L2, 2: TBC}}}
""")
    scene = DIAGRAMS["sensors"](flows)
    assert scene is not None
    check_scene(scene, flows)
    texts = {label.text.text for sheet in scene.sheets for label in sheet.labels}
    assert {"lead 3 m own lead", "in all 15 m", "input 1", "reference L2", "further pass of", "Sensors that no controller reads", "P1: TBC"} <= texts
    assert sum(p.object == "CT1" and p.symbol.kind == "ct-p1-down" for sheet in scene.sheets for p in sheet.symbols) == 2


@pytest.mark.parametrize("which", RANDOM)
def test_every_sensor_of_a_random_site_is_drawn(which: tuple[int, int, int]) -> None:
    flows = made_up(*which)
    scene = DIAGRAMS["sensors"](flows)
    drawn = {p.object for sheet in scene.sheets for p in sheet.symbols if p.symbol.kind.startswith("ct")} if scene else set()
    assert drawn == {o.id for o in flows.objects.values() if isinstance(o, CurrentTransformer)}


# ---- boards ----------------------------------------------------------------------------------------------------------

BOARD = """site: {name: x}
supply: {system: 3/N/PE AC 50 Hz 400/230 V, in_line: [fuse: {rating: 63 A, owner: distributor}, meter: {direction: both}], feeds: MSB}
boards:
  MSB:
    ways: 12
    main_switch: switch 63 A 4P
    circuits:
      - {way: 1, in_line: [rcbo: 16 A C 1P+N 30 mA type A 6 kA], load: sockets 2 kW}
      - {way: 2-3, in_line: [rcbo: 16 A C 1P+N 30 mA type A 6 kA], load: sockets 2 kW}
      - {way: 4-6, in_line: [breaker: 16 A C 3P 6 kA, contactor: {rating: 25 A, poles: TBC}], load: motor 5 kW}
"""


def items(flows: Flows, board: str = "MSB") -> list[Item]:
    obj = flows.objects[board]
    assert isinstance(obj, Board)
    return items_of(flows, obj, [node for node, home in flows.graph.nodes(data="home") if home == board])


def test_a_device_takes_a_module_a_pole_and_its_ways_decide_between_one_and_two_for_one_pole_with_neutral() -> None:
    # one module a pole: common practice, no source
    found = {item.ways or item.lines[0]: (item.modules, item.known) for item in items(small(BOARD))}
    assert found["Main switch"] == (4, True)
    assert found["1"] == (1, True) and found["2-3"] == (2, True) and found["4-6"] == (3, True)
    assert found["contactor"] == (1, False)  # its poles are not known


def test_spare_ways_are_the_ways_that_no_circuit_takes() -> None:
    assert [item.ways for item in items(small(BOARD)) if item.kind == "board-spare"] == ["7", "8", "9", "10", "11", "12"]


def test_the_enclosure_holds_every_item_whole_and_no_smaller_one_of_usual_size_does() -> None:
    for flows in [small(BOARD), *(gallery(name) for name in ("orchard", "faulty", "bakery"))]:
        for board in [o for o in flows.objects.values() if isinstance(o, Board) and o.id in flows.graph]:
            found = items(flows, board.id)
            lines, width = rows_of(found)
            assert [item for line in lines for item in line] == found
            assert all(sum(item.modules for item in line) <= width for line in lines)
            total = sum(item.modules for item in found)
            assert len(lines) * width >= total
            assert not any(number * 12 >= total and number * 12 < len(lines) * width and all(item.modules == 1 for item in found) for number in range(1, 8))


def test_items_stand_side_by_side_in_proportion_to_their_modules() -> None:
    scene = DIAGRAMS["boards"](small(BOARD))
    assert scene is not None
    boxes = {p.title or p.id: p.bbox for p in scene.sheets[0].symbols}
    module = min(b[2] - b[0] for b in boxes.values())
    switch = next(box for title, box in boxes.items() if title.startswith("Main switch"))
    assert switch[2] - switch[0] == pytest.approx(4 * module)


# ---- earthing --------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", SITES)
def test_boards_are_joined_by_protective_conductors_just_where_they_are_one_earthed_part(name: str) -> None:
    flows = gallery(name)
    made = arrangement(flows)
    graph = nx.Graph()
    graph.add_nodes_from(made.titles)
    graph.add_edges_from((c.a, c.b) for c in made.conductors if c.what == "PE")
    places = {bar: part for part, bars in enumerate(nx.connected_components(graph)) for bar in bars}
    parts = [{node for node in part.nodes if isinstance(flows.obj(node), Board)} for part in earthed_parts(flows)]
    boards = [o.id for o in flows.objects.values() if isinstance(o, Board) and o.id in flows.graph]
    bar_of = {board: next((bar for bar, titles in made.titles.items() if f"{board} earth bar" in titles), None) for board in boards}
    for a in boards:
        for b in boards:
            if a != b and bar_of[a] and bar_of[b]:
                assert (places[bar_of[a]] == places[bar_of[b]]) == any({a, b} <= part for part in parts), (a, b)


def test_sizes_of_conductors_are_those_of_the_cable() -> None:
    flows = gallery("orchard")
    made = arrangement(flows)
    lines = {c.id: c.lines for c in made.conductors}
    assert lines["W1.PEN"] == ("W1", "35 mm²")  # 35 mm² 4C, L1 L2 L3 PEN
    assert lines["W2.PE"] == ("W2", "6 mm²")  # 25 mm² 4C+6E
    assert lines["W2.N"][:2] == ("W2", "25 mm²")
    assert size_of(flows.objects["WP"], "PE") == "2.5 mm²"


def test_an_electrode_a_bonded_part_and_a_second_earth_bar_are_drawn_with_their_conductors() -> None:
    flows = small("""site: {name: x}
supply: {system: 1/PEN AC 50 Hz 230 V, in_line: [fuse: 63 A, cable: {id: W1, parts: [16 mm² 2C Cu 5 m], conductors: L1 PEN}, ne_link: {id: NE1}], feeds: MSB}
boards:
  MSB: {circuits: [{way: 1, in_line: [breaker: 16 A C 1P 6 kA, cable: 2.5 mm² 2C+2.5E 9 m], load: sockets 2 kW}]}
earthing:
  MET: {kind: main earth terminal, place: MSB, electrode: rod 10 mm², bonding: [{part: water pipe, conductor: 6 mm²}]}
  EB2: {joined_to: MET, conductor: 4 mm²}
""")
    scene = DIAGRAMS["earthing"](flows)
    assert scene is not None
    check_scene(scene, flows)
    kinds = sorted(p.symbol.kind for p in scene.sheets[0].symbols)
    assert kinds == ["busbar", "busbar", "busbar", "electrode", "final-subcircuits", "link", "protective-earth", "supply"]
    texts = " ".join(label.text.text for label in scene.sheets[0].labels)
    for words in ("MET main earth terminal", "EB2 earth bar", "water pipe", "10 mm²", "6 mm²", "4 mm²", "PEN", "16 mm²", "1 × 2.5 mm²"):
        assert words in texts


@pytest.mark.parametrize("name", SITES)
def test_no_two_bars_look_joined(name: str) -> None:
    # a neutral bar that ends right above an earth bar would be read as a second link between them
    for make in (DIAGRAMS["earthing"], DIAGRAMS["single-line"]):
        scene = make(gallery(name))
        assert [fault for sheet in (scene.sheets if scene else ()) for fault in joined_looking(sheet)] == []


@pytest.mark.parametrize("name", SITES)
def test_bars_of_single_conductors_stand_well_apart_where_they_are_level(name: str) -> None:
    scene = DIAGRAMS["earthing"](gallery(name))
    for sheet in scene.sheets if scene else ():
        bars = [placed.bbox for placed in sheet.symbols if placed.symbol.kind == "busbar"]
        level = [(a, b) for a, b in permutations(bars, 2) if abs(a[1] - b[1]) < 3.0 and a[2] <= b[0]]
        assert all(b[0] - a[2] >= 6.0 for a, b in level)


@pytest.mark.parametrize("name", SITES)
def test_a_conductor_that_closes_a_loop_bends_twice_at_most(name: str) -> None:
    scene = DIAGRAMS["earthing"](gallery(name))
    assert all(len(wire.points) <= 4 for sheet in (scene.sheets if scene else ()) for wire in sheet.wires)


def test_no_id_that_the_program_made_up_is_written_on_a_drawing() -> None:
    """Such ids are made of the board, the way and a word, with dots (contract: ids)."""
    for name in SITES:
        made_up_ids = {one for one in gallery(name).objects if "." in one}
        for diagram in OURS:
            scene = DIAGRAMS[diagram](gallery(name))
            for sheet in scene.sheets if scene else ():
                texts = [label.text.text for label in sheet.labels] + [m.text for f in sheet.furniture for m in f.marks if hasattr(m, "text")]
                assert [t for t in texts if made_up_ids & set(re.split(r"[ ,;:()]+", t.rstrip(".")))] == [], (name, diagram)


def test_a_controller_of_another_kind_is_no_gateway() -> None:
    scene = DIAGRAMS["single-line"](gallery("part-bus"))
    assert scene is not None
    kinds = {placed.object: placed.symbol.kind for sheet in scene.sheets for placed in sheet.symbols if placed.id in ("GW1", "BA1", "MT1")}
    assert kinds == {"GW1": "gateway", "BA1": "bus-adapter", "MT1": "controller"}


def test_a_place_in_several_circuits_side_by_side_is_drawn_once() -> None:
    """In longrun the isolators of an inverter and of two storage units hang in the same plant room."""
    scene = DIAGRAMS["single-line"](gallery("longrun"))
    assert scene is not None
    rooms = [area for sheet in scene.sheets for area in sheet.areas if area.object == "PR"]
    names = [label for sheet in scene.sheets for label in sheet.labels if label.text.text == "PR Plant room"]
    held = [p.id for sheet in scene.sheets for p in sheet.symbols if len(rooms) == 1 and p.id in ("QI1", "QB1", "QB2")
            and rooms[0].bbox[0] < p.bbox[0] and p.bbox[2] < rooms[0].bbox[2] and rooms[0].bbox[1] < p.bbox[1] and p.bbox[3] < rooms[0].bbox[3]]
    assert len(rooms) == len(names) == 1 and len(held) == 3


def test_boards_share_a_sheet_where_it_holds_them() -> None:
    scene = DIAGRAMS["boards"](gallery("tender"))
    assert scene is not None
    boards = [len({area.object for area in sheet.areas}) for sheet in scene.sheets]
    assert sum(boards) == 9 and max(boards) > 1 and all(number > 1 for number in boards[:-1])
    assert {sheet.size for sheet in scene.sheets} <= {"A4", "A3", "A2"}


def test_the_terminal_at_which_an_inverter_with_several_is_fed_has_its_name() -> None:
    scene = DIAGRAMS["single-line"](gallery("bakery"))
    assert scene is not None
    inverter = next(p for sheet in scene.sheets for p in sheet.symbols if p.id == "INV1")
    assert {"grid", "backup", "battery", "PV 1", "PV 2"} == {mark.text for mark in inverter.symbol.strokes if hasattr(mark, "text")}


def test_crosses_on_a_removed_cable_stand_clear_of_what_is_written_beside_it() -> None:
    scene = DIAGRAMS["single-line"](gallery("part-status"))
    assert scene is not None
    sheet = scene.sheets[0]
    wire = next(w for w in sheet.wires if w.object == "MSB.2.cable")
    beside = [label.bbox for label in sheet.labels if label.of == wire.id]
    crosses = [box_of(mark) for f in sheet.furniture if f.name == "conductor strokes" for mark in f.marks
               if (box := box_of(mark)) and box[2] - box[0] < 3.0 and abs((box[0] + box[2]) / 2 - wire.points[0][0]) < 0.1]
    tall = [box for box in crosses if crosses.count(box) > 1]
    assert len(set(tall)) == 2 and not any(a[1] < b[3] and b[1] < a[3] for a in tall for b in beside)


def test_a_sheet_says_what_tbc_stands_for_where_that_is_written() -> None:
    for name, diagram, written in (("farmhouse", "single-line", True), ("boathouse", "boards", True), ("boathouse", "earthing", False)):
        scene = DIAGRAMS[diagram](gallery(name))
        assert scene is not None
        notes = " ".join(m.text for f in scene.sheets[0].furniture if f.name == "notes" for m in f.marks if hasattr(m, "text"))
        assert any("TBC" in label.text.text for label in scene.sheets[0].labels) == written
        assert ("TBC: to be confirmed" in notes) == written


def test_the_links_in_each_mode_are_said_for_each_part() -> None:
    scene = DIAGRAMS["earthing"](gallery("farmhouse"))
    assert scene is not None
    notes = " ".join(m.text for f in scene.sheets[0].furniture if f.name == "notes" for m in f.marks if hasattr(m, "text"))
    assert "PE-connected part of MSB; N–E link closed in mode grid: NE1" in notes
    assert "PE-connected part of SH; N–E link closed in mode grid: NE2" in notes
