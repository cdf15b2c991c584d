# SPDX-License-Identifier: MIT
"""The whole path on the gallery site, and a fault at each step of it."""
from __future__ import annotations

import csv
import json
from pathlib import Path

import networkx as nx
import pytest
from sld.bus_diagram import bus_diagram
from sld.cli import main
from sld.files import DIAGRAMS
from sld.primitives import Polyline, Text
from sld.single_line import single_line
from topology.fields import show_object
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.report import check, explain, rule_names

SITE = Path(__file__).parents[1] / "gallery/boathouse/site.yaml"
TEXT = SITE.read_text(encoding="utf-8")


def said(text: str) -> list[tuple[int, int, str]]:
    return [(f.mark.line, f.mark.column, f.rule) for f in check(read_bytes(text.encode())).findings]


def test_the_gallery_site_is_silent() -> None:
    assert said(TEXT) == []


@pytest.mark.parametrize(("old", "new", "rule"), [
    ("terminators: [BA1, BAT2]", "terminators: [BA1]", "terminator-misplaced"),
    ("terminators: [BA1, BAT2]", "terminators: [BA1, BAT1, BAT2]", "terminator-misplaced"),
    ("{from: BAT1, to: BAT2,", "{from: BA1, to: BAT1,", "bus-not-a-chain"),
    ("        feeds: SB\n", "        load: general\n", "not-fed"),
    ("length: 3 m, shield_bond: BAT1", "length: 3 m", "shield-bond-wrong"),
    ("length: 3 m, shield_bond: BAT1", "length: 3 m, shield_bond: BA1", "shield-bond-wrong"),
    ("- way: 3-4", "- way: 2-4", "way-used-twice"),
    ("{id: CT1, measures: grid", "{id: CT1, measures: generation", "generation-sensor-sees-other"),
    ("{id: CT2, measures: generation", "{id: CT2, measures: grid", "grid-sensor-misses"),
    ("rating: 80 A gG", "rating: 80", "missing-unit"),
    ("rating: 80 A gG", "rating: 80 m", "wrong-unit"),
    ("busbar: 100 A", "busbarr: 100 A", "unknown-key"),
    ("feeds: SB", "feeds: SB2", "unknown-id"),
    ("id: QB2", "id: QB1", "duplicate-id"),
    ("system: 1/PEN", "system: @1/PEN", "leading-sign"),
    ("name: Lights", "name: Light #4", "bare-hash"),
])
def test_a_slip_is_pointed_out(old: str, new: str, rule: str) -> None:
    assert old in TEXT
    assert rule in {name for _, _, name in said(TEXT.replace(old, new, 1))}


def test_a_wrong_word_in_a_shorthand_is_pointed_at_by_column() -> None:
    text = "site: {name: x}\nsupply:\n  system: 1/PEN AC 50 Hz 230 V\n  in_line: [fuse: 63 A quick]\n  load: general\n"
    assert said(text) == [(4, 24, "unknown-word")]


def test_unknown_values_are_never_passed_over() -> None:
    report = check(read_bytes(TEXT.replace("terminators: [BA1, BAT2]", "terminators: TBC").encode()))
    assert [(f.rule, f.outcome) for f in report.findings] == [("terminator-misplaced", "cannot-tell")]


def test_separation_agrees_with_networkx_cut_vertices() -> None:
    flows = Flows(read_file(SITE))
    power = nx.Graph((u, v) for u, v, d in flows.graph.edges(data=True) if d["layer"] == "power")
    for d in power:
        for b in power:
            if len({d, b, flows.root}) == 3:
                rest = power.subgraph(n for n in power if n != d)
                assert flows.net(1).separates(d, flows.root or "", b) == (not nx.has_path(rest, flows.root, b))


def test_a_printed_object_reads_as_itself() -> None:
    assert show_object(read_file(SITE).objects["MSB.5.rcbo"]) == "10 A 1P+N C 6 kA 30 mA type A"


def test_every_rule_has_its_manual() -> None:
    for name in rule_names():
        text = explain(name) or ""
        assert all(f"\n{head}\n" in text for head in ("Why", "Bad", "Good", "Source")), name


def test_draw_writes_every_file_and_each_drawn_id_is_of_the_site(tmp_path: Path) -> None:
    assert main(["draw", str(SITE), "-o", str(tmp_path)]) == 0
    assert {f"{d}{rest}" for d in DIAGRAMS for rest in ("-1.svg", ".pdf", ".scene.json")} == {p.name for p in tmp_path.iterdir()}
    svg = (tmp_path / "single-line-1.svg").read_text(encoding="utf-8")
    assert all(f'data-id="{name}"' in svg for name in ("SF", "CT1", "KD3", "BAT2", "GW1", "BA1", "MSB.5.rcbo"))


@pytest.mark.parametrize(("data", "code"), [(b"\xff", 2), (b"a: [", 2), (b"", 2), (b"site: {name: x}", 1)])
def test_exit_codes_for_broken_files(tmp_path: Path, data: bytes, code: int) -> None:
    path = tmp_path / "site.yaml"
    path.write_bytes(data)
    assert main(["check", str(path)]) == code


def test_a_missing_file_is_exit_two(tmp_path: Path) -> None:
    assert main(["check", str(tmp_path / "none.yaml")]) == 2


def test_the_schedules_name_what_the_drawing_shows(tmp_path: Path) -> None:
    assert main(["draw", str(SITE), "-o", str(tmp_path)]) == main(["schedule", str(SITE), "-o", str(tmp_path)]) == 0
    scene = json.loads((tmp_path / "single-line.scene.json").read_text(encoding="utf-8"))["sheets"][0]
    drawn = {o["object"] for kind in ("symbols", "wires") for o in scene[kind]}
    for name in ("cables", "sensors"):
        with (tmp_path / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            rows = [row["id"] for row in csv.DictReader(file)]
        assert rows
        assert {i for i in rows if not i.endswith(".trunk")} <= drawn


@pytest.mark.parametrize("volts", ["230 V", "400/230 V", "400 V"])
def test_the_voltage_of_the_supply_is_kept_as_it_was_written(volts: str) -> None:
    read = read_bytes(f"site: {{name: x}}\nsupply:\n  system: 3/N/PE AC 50 Hz {volts}\n  in_line: [fuse: 63 A]\n  load: general\n".encode())
    assert read.findings == ()
    assert show_object(read.site.supply.system) == f"3/N/PE AC 50 Hz {volts}"
    assert any(volts in label.text.text for label in single_line(Flows(read)).sheets[0].labels)


def test_the_legend_of_the_bus_diagram_explains_nothing_that_is_not_there() -> None:
    scene = bus_diagram(Flows(read_file(SITE)))
    assert scene is not None
    texts = {m.text for f in scene.sheets[0].furniture if f.name == "legend" for m in f.marks if isinstance(m, Text)}
    assert "Control bus" in texts and "Removed (dashed)" not in texts  # nothing on this site is removed


def test_the_legend_draws_each_kind_of_line_as_the_sheet_does() -> None:
    sheet = single_line(Flows(read_file(SITE))).sheets[0]
    legend = next(f for f in sheet.furniture if f.name == "legend")
    words = {m.text: m.at for m in legend.marks if isinstance(m, Text)}
    for kind, word in (("bus", "Control bus"), ("lead", "Sensor or device lead"), ("power", "Power conductors")):
        dashes = {w.pen.dash for w in sheet.wires if w.kind == kind and len(w.points) >= 2 and not w.ends[-1].endswith("terminator")}
        y = words[word][1]
        drawn = [m.pen.dash for m in legend.marks if isinstance(m, Polyline) and len(m.points) == 2 and abs(m.points[0][1] - y) < 3
                 and m.points[0][0] < words[word][0] and words[word][0] - m.points[0][0] < 30]
        assert drawn and set(drawn) <= dashes, kind
