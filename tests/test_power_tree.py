# SPDX-License-Identifier: MIT
"""From the graph of a site to a drawing: second supplies, couplers, boards fed twice, direct current, leads of sensors."""
from __future__ import annotations

from pathlib import Path

import pytest
from scene_faults import faults
from sld.layout import Feed, Strip, layout
from sld.power_graph import power_forest
from sld.primitives import Placed, Polyline, Scene, Wire
from sld.single_line import single_line
from sld.symbols import symbol
from topology.flow import Flows
from topology.read import read_bytes, read_file

GALLERY = Path(__file__).parents[1] / "gallery"
TWO_HALVES = """\
site: {name: Two halves}
supply:
  system: 3/N/PE AC 50 Hz 400/230 V
  in_line: [fuse: {id: SF, rating: 100 A gG}, switch: {id: Q1, rating: 100 A 4P}]
  feeds: MSB
boards:
  MSB:
    busbar: 160 A
    circuits:
      - {way: 1-3, name: A, in_line: [breaker: 63 A C 4P 10 kA, cable: {id: WA, parts: [16 mm² 4C+6E Cu XLPE 12 m on tray]}], feeds: BA}
      - {way: 4-6, name: B, in_line: [breaker: 63 A C 4P 10 kA, cable: {id: WB, parts: [16 mm² 4C+6E Cu XLPE 14 m on tray]}], feeds: BB}
      - {way: 7-9, name: Backed up, in_line: [breaker: 40 A C 4P 10 kA, cable: {id: WD, parts: [10 mm² 4C+4E Cu XLPE 8 m]}], feeds: QX.normal}
      - {way: 10-12, name: Second way, in_line: [breaker: 32 A C 4P 10 kA, cable: {id: WC, parts: [10 mm² 4C+4E Cu XLPE 14 m]}], feeds: BB}
  BA:
    busbar: 80 A
    circuits:
      - {way: 1, phase: L1, name: Lights, in_line: [breaker: 10 A C 1P 6 kA, cable: 1.5 mm² 2C+1.5E Cu PVC 14 m], load: lighting 0.4 kW}
      - {way: 2-4, name: Coupler, in_line: [breaker: {id: QC1, rating: 40 A C 4P 6 kA}], feeds: C1.a}
  BB:
    busbar: 80 A
    circuits:
      - {way: 1, phase: L2, name: Sockets, in_line: [breaker: 16 A C 1P 6 kA, cable: 2.5 mm² 2C+2.5E Cu PVC 14 m], load: sockets 2 kW}
      - {way: 2-4, name: Coupler, in_line: [breaker: {id: QC2, rating: 40 A C 4P 6 kA}], feeds: C1.b}
devices:
  C1: {kind: bus coupler, rating: 40 A, poles: 4P, stands: open}
  G1: {kind: generator, power: 20 kVA, ports: {out: {in_line: [breaker: {id: QG, rating: 32 A C 4P 6 kA}], feeds: QX.alternative}}}
  QX: {kind: changeover, operated: manual, rating: 40 A, poles: 4P, ports: {load: {load: general 5 kW}}}
"""


@pytest.fixture(scope="module")
def halves() -> Scene:
    return single_line(Flows(read_bytes(TWO_HALVES.encode())))


@pytest.fixture(scope="module")
def bakery() -> Scene:
    return single_line(Flows(read_file(GALLERY / "bakery/site.yaml")))


def placed(scene: Scene) -> dict[str, Placed]:
    return {one.id: one for sheet in scene.sheets for one in sheet.symbols}


def wires(scene: Scene) -> list[Wire]:
    return [wire for sheet in scene.sheets for wire in sheet.wires]


def test_links_that_fit_no_tree_are_known(halves: Scene) -> None:
    forest = power_forest(Flows(read_bytes(TWO_HALVES.encode())))
    assert sorted((tie.end, tie.into) for tie in forest.ties) == [("BB", ""), ("C1", "b"), ("QX", "alternative")]
    assert [fault for sheet in halves.sheets for fault in faults(sheet)] == []


def test_a_second_supply_comes_down_beside_the_first_and_ends_at_the_side_of_the_changeover(halves: Scene) -> None:
    at = placed(halves)
    side = next(wire for wire in wires(halves) if wire.ends == ("QG", "QX"))
    assert at["G1"].at[0] == at["QG"].at[0] < at["QX"].at[0] and at["G1"].at[1] < at["QG"].at[1] < at["QX"].at[1]
    assert side.points[0][0] == side.points[1][0] and side.points[1][1] == side.points[2][1] and len(side.points) == 3
    assert {wire.ends for wire in bent(halves)} == {("QG", "QX"), ("QC2", "C1"), ("MSB.10.breaker", "BB")}


def bent(scene: Scene) -> list[Wire]:
    return [wire for wire in wires(scene) if wire.kind == "power" and len(wire.points) > 2]


def test_a_coupler_and_a_board_fed_twice_are_joined_by_lines_that_cross_nothing(halves: Scene) -> None:
    assert not any(one.symbol.kind.startswith("reference") for sheet in halves.sheets for one in sheet.symbols)
    assert not any("Continued" in mark.text for sheet in halves.sheets for furniture in sheet.furniture for mark in furniture.marks if hasattr(mark, "text"))
    lines = {wire.id: wire for wire in bent(halves)}
    at = placed(halves)
    for name, start, end in (("C1.b.link", "QC2", "C1"), ("WC", "MSB.10.breaker", "BB")):
        assert lines[name].ends == (start, end) and len(lines[name].points) == 4
        assert lines[name].points[1][1] == lines[name].points[2][1] > max(at[start].bbox[3], at[end].bbox[3])  # below both
    assert [fault for sheet in halves.sheets for fault in faults(sheet)] == []


def test_a_coupler_and_a_board_fed_twice_are_joined_by_references_both_ways_where_they_stand_on_several_sheets() -> None:
    wide = "".join(f"      - {{way: {n}, phase: L1, in_line: [breaker: 10 A C 1P 6 kA, cable: 1.5 mm² 2C+1.5E Cu PVC 14 m], load: lighting 0.1 kW}}\n"
                   for n in range(20, 80))
    board = "  BB:\n    busbar: 80 A\n    circuits:\n"
    scene = single_line(Flows(read_bytes(TWO_HALVES.replace(board, board + wide).replace("  BA:\n    busbar: 80 A\n    circuits:\n", board.replace("BB", "BA") + wide).encode())))
    links = {label.of: label.link for sheet in scene.sheets for label in sheet.labels if label.link}
    assert {"WC.to", "WC.from"} <= set(links) and all(links[name][1] in links for name in links)
    texts = [label.text.text for sheet in scene.sheets for label in sheet.labels if label.of in ("WC.to", "WC.from")]
    assert "to BB" in texts and sum(text.startswith("sheet ") for text in texts) == 2
    assert [fault for sheet in scene.sheets for fault in faults(sheet)] == []


def test_a_device_with_several_terminals_is_as_wide_as_what_hangs_on_it_and_names_them(bakery: Scene) -> None:
    inverter = placed(bakery)["INV1"]
    names = {mark.text: mark.at[0] for mark in inverter.symbol.strokes if hasattr(mark, "text")}
    below = {wire.ends[1]: wire.points[0][0] - inverter.at[0] for wire in wires(bakery) if wire.ends[0] == "INV1"}
    assert below == pytest.approx({"QP1": names["PV 1"], "QP2": names["PV 2"], "FB1": names["battery"], "QU1": names["backup"]})
    assert [fault for sheet in bakery.sheets for fault in faults(sheet)] == []


def test_a_generator_inlet_in_the_plant_room_is_the_second_line_of_its_changeover(bakery: Scene) -> None:
    ends = {wire.ends for wire in wires(bakery)}
    assert {("G1", "QG1"), ("QG1", "QA1"), ("QU1", "QA1")} <= ends


def test_each_sensor_is_led_to_its_controller_by_a_lead_that_crosses_no_power() -> None:
    scene = single_line(Flows(read_file(GALLERY / "boathouse/site.yaml")))
    leads = [wire for wire in wires(scene) if wire.kind == "lead" and wire.net]
    ends = {end for wire in leads for end in wire.ends}
    assert {"CT1", "CT2", "CT3", "GW1"} <= ends
    assert [fault for sheet in scene.sheets for fault in faults(sheet)] == []


def test_a_line_that_divides_outside_a_board_is_no_busbar() -> None:
    kids = tuple(Strip(name, name, "load", (name,), wire=Feed(f"W{name}", f"W{name}")) for name in "abc")
    made = {one.id: one for one in layout(Strip("M", "M", "meter-both", ("M",), children=kids)).symbols}
    branch = made["M.bar"]
    assert branch.symbol.kind == "branch" and branch.bbox[3] - branch.bbox[1] <= 1.0
    assert branch.bbox[0] == made["a"].at[0] and branch.bbox[2] == made["c"].at[0]


HEAD = "site: {name: Odd}\n"
SUPPLY = "supply:\n  system: 1/N/PE AC 50 Hz 230 V\n  feeds: A\n"
ODD = {
    "nothing but a name": HEAD,
    "boards without a supply": HEAD + "boards:\n  A: {busbar: 80 A, circuits: [{way: 1, load: lighting 1 kW}]}\n  B: {busbar: 80 A, circuits: [{way: 1, feeds: A}]}\n",
    "boards that feed each other": HEAD + SUPPLY + "boards:\n" + "".join(
        f"  {one}: {{busbar: 80 A, circuits: [{{way: 1, feeds: {other}}}]}}\n" for one, other in ("AB", "BA", "CD", "DC")),
    "controllers that nothing feeds": HEAD + SUPPLY + (
        "boards:\n  A: {busbar: 80 A, circuits: [{way: 1, in_line: [ct: {id: CT1, measures: load, phase: L1}], load: lighting 1 kW}]}\n"
        "controllers:\n  GW1: {kind: gateway, place: A, inputs: {1: CT1 on L1}}\n  BA1: {kind: bus adapter, place: A}\n  BA2: {kind: bus adapter}\n"
        "buses:\n  b:\n    type: bus-shielded-pair-60\n    segments:\n"
        "      - {from: BA1, to: BA2, length: 9 m}\n      - {from: BA2, to: GW1, length: TBC}\n      - {from: BA1, to: GW1, length: 1 m}\n"),
    "two inverters and a changeover": HEAD + SUPPLY + (
        "boards:\n  A: {busbar: 80 A, circuits: [{way: 1, feeds: INV1.grid}, {way: 2, feeds: INV2.grid}, {way: 3, feeds: QA.normal}]}\n"
        "  B: {busbar: 80 A, circuits: [{way: 1, load: lighting 1 kW}]}\n"
        "devices:\n  INV1: {kind: hybrid inverter, type: hybrid-5, battery: {id: BT1, energy: 9 kWh}, ports: {backup: {feeds: QA.alternative}}}\n"
        "  INV2: {kind: hybrid inverter, type: hybrid-5, arrays: [{id: P2, power: 3 kW}], ports: {backup: {feeds: B}}}\n"
        "  QA: {kind: changeover, ports: {load: {feeds: B}}}\n")}


@pytest.mark.parametrize("text", ODD.values(), ids=ODD.keys())
def test_whatever_could_be_read_is_drawn(text: str) -> None:
    flows = Flows(read_bytes(text.encode()))
    scene = single_line(flows)
    assert scene.sheets and [fault for sheet in scene.sheets for fault in faults(sheet)] == []
    assert {node.partition(".")[0] for node in flows.graph if node.count(".") == 0} <= set(placed(scene))


IN_LINE = """\
site: {{name: Line}}
supply:
  system: 1/N/PE AC 50 Hz 230 V
  in_line: [fuse: {{id: SF, rating: 63 A gG}}, switch: {{id: Q1, rating: 63 A 2P}}]
  feeds: MSB
boards:
  MSB:
    busbar: 100 A
    circuits:
      - way: 1
        name: Kept
        in_line:
          - breaker: {{id: QF1, rating: 20 A C 2P 6 kA}}
          - {between}
          - cable: {{id: W1, parts: [2.5 mm² 2C+2.5E Cu PVC 14 m], status: {cable}}}
        load: {{kind: sockets, power: 2 kW, status: {cable}}}
"""
THIN, THICK = 0.25, 0.5  # line group 0.5 after ISO 128 (second-hand): existing thin, new thick


def line(between: str, cable: str = "existing") -> Scene:
    return single_line(Flows(read_bytes(IN_LINE.format(between=between, cable=cable).encode())))


def into(scene: Scene, device: str) -> float:
    """Width of the wire that comes into a device."""
    wire, = (wire for wire in wires(scene) if wire.kind == "power" and wire.ends[1] == device)
    return wire.pen.width


@pytest.mark.parametrize("between", [
    "ct: {id: X, measures: load, phase: L1, P1: to supply, secondary: 0.333 V, status: new}",
    "filter: {id: X, kind: ferrite, status: new}"])
def test_a_conductor_keeps_its_status_where_something_new_is_fitted_round_it(between: str) -> None:
    scene = line(between)
    ring = placed(scene)["X"]
    assert into(scene, "X") == THIN and ring.pen.width == THICK
    top, bottom = (ring.at[1] + ring.symbol.ports[name].at[1] for name in ("in", "out"))
    strokes = [mark for part in scene.sheets[0].furniture if part.name == "conductor strokes" for mark in part.marks if isinstance(mark, Polyline)]
    through, = (mark for mark in strokes if mark.points == ((ring.at[0], top), (ring.at[0], bottom)))
    assert through.pen.width == THIN
    assert not any(isinstance(mark, Polyline) and mark.points == ((0.0, 0.0), (0.0, bottom - top)) for mark in ring.symbol.strokes)


def test_a_sensor_as_old_as_its_conductor_is_drawn_as_its_symbol_is() -> None:
    scene = line("ct: {id: X, measures: load, phase: L1, P1: to supply, secondary: 0.333 V}")
    assert placed(scene)["X"].symbol == symbol("ct-p1-up")


def test_what_is_put_into_a_line_that_goes_on_as_it_was_is_new_by_itself() -> None:
    scene = line("isolator: {id: X, rating: 20 A 2P, status: new}")
    assert (into(scene, "X"), placed(scene)["X"].pen.width, into(scene, "QF1")) == (THIN, THICK, THIN)
    scene = line("isolator: {id: X, rating: 20 A 2P, status: new}", cable="new")
    assert (into(scene, "X"), into(scene, "QF1")) == (THICK, THIN)


def test_what_is_taken_out_of_a_line_that_goes_on_leaves_the_line() -> None:
    scene = line("isolator: {id: X, rating: 20 A 2P, status: removed}")
    wire, = (wire for wire in wires(scene) if wire.ends[1] == "X")
    assert wire.pen.dash == () and placed(scene)["X"].pen.dash
    scene = line("isolator: {id: X, rating: 20 A 2P, status: removed}", cable="removed")
    wire, = (wire for wire in wires(scene) if wire.ends[1] == "X")
    assert wire.pen.dash
