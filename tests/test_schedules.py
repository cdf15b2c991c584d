# SPDX-License-Identifier: MIT
"""Schedules hold what the graph and the file hold, and their files are inert, complete and always the same."""
from __future__ import annotations

import csv
import io
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
import yaml
from schedules import SCHEDULES
from schedules.columns import Column, Row, Table
from schedules.connection import connection
from schedules.equipment import equipment
from schedules.render import render
from schedules.write_csv import csv_bytes, safe
from topology import conductors
from topology.errors import Mark, Unknown
from topology.flow import Flows
from topology.quantity import parse_quantity
from topology.read import read_bytes, read_file
from topology.site import Cable, Circuit, CurrentTransformer, Device, Source

ROOT = Path(__file__).parents[1]
SITE = ROOT / "gallery/boathouse/site.yaml"
TEXT = SITE.read_text(encoding="utf-8")


def flows_of(text: str) -> Flows:
    return Flows(read_bytes(text.encode()))


def changed(*swaps: tuple[str, str]) -> Flows:
    """The gallery site with words swapped, each of which must stand in it exactly once."""
    text = TEXT
    for old, new in swaps:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return flows_of(text)


def rows(name: str, flows: Flows) -> list[dict[str, str]]:
    table = SCHEDULES[name](flows)
    return [dict(zip((column.title for column in table.columns), texts, strict=True)) for texts in table.texts()]


def row(name: str, flows: Flows, id_: str) -> dict[str, str]:
    return next(r for r in rows(name, flows) if r["id"] == id_)


@pytest.fixture(scope="module")
def flows() -> Flows:
    return flows_of(TEXT)


# ---- ids and totals --------------------------------------------------------------------------------------------------

def test_schedules_come_in_the_order_of_issue_and_bear_their_own_name(flows: Flows) -> None:
    order = "circuits cables equipment sensors buses terminations protection labels tests connection survey differences".split()
    assert list(SCHEDULES) == [name for name in order if name in SCHEDULES]
    assert [make(flows).name for make in SCHEDULES.values()] == list(SCHEDULES)


def test_the_first_column_of_each_schedule_is_the_id(flows: Flows) -> None:
    for make in SCHEDULES.values():
        table = make(flows)
        assert table.columns[0].title == "id"
        assert all(r.id in flows.objects or r.id in flows.graph or r.id == "site" for r in table.rows)


def test_every_cable_sensor_and_segment_of_the_graph_is_in_its_schedule_and_no_other(flows: Flows) -> None:
    edges = list(flows.graph.edges(keys=True, data=True))
    in_graph = {key for _, _, key, data in edges if isinstance(data["obj"].run, Cable)}
    trunks = {f"{node}.trunk" for node, obj in flows.graph.nodes(data="obj") if hasattr(obj, "trunk")}
    assert {r["id"] for r in rows("cables", flows)} == in_graph | trunks
    assert trunks == {"INV1.trunk", "INV2.trunk"}
    sensors = {node for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, CurrentTransformer)}
    assert {r["id"] for r in rows("sensors", flows)} == sensors
    assert {r["id"] for r in rows("buses", flows)} == {key for _, _, key, data in edges if data["layer"] == "bus"}


def test_every_circuit_has_one_row_and_the_supply_has_none(flows: Flows) -> None:
    ids = [r["id"] for r in rows("circuits", flows) if r["id"] != r["board"]]
    assert sorted(ids) == sorted(o.id for o in flows.objects.values() if isinstance(o, Circuit))
    assert len(ids) == len(re.findall(r"\bway:", TEXT))
    assert "supply" not in ids


def test_circuits_stand_in_the_order_of_the_file(flows: Flows) -> None:
    marks = [flows.objects[r["id"]].mark for r in rows("circuits", flows) if r["id"] != r["board"]]
    assert all(a < b for a, b in pairwise(marks))


def lengths_in(node: Any, under_cable: bool = False) -> list[float]:
    """Lengths of cable in a site file, found by PyYAML and a pattern, without our reader."""
    if isinstance(node, dict):
        return [n for key, value in node.items() for n in lengths_in(value, under_cable or key in ("cable", "trunk"))]
    if isinstance(node, list):
        return [n for item in node for n in lengths_in(item, under_cable)]
    return [float(n) for n in re.findall(r"([\d.]+) m\b", node)] if under_cable and isinstance(node, str) else []


def test_the_lengths_of_the_cable_schedule_sum_to_those_of_the_file(flows: Flows) -> None:
    listed = [float(r["length [m]"]) for r in rows("cables", flows)]
    objects = sum(o.total_length for o in flows.objects.values() if isinstance(o, Cable))
    assert sum(listed) == pytest.approx(objects)
    assert sorted(listed) == sorted(lengths_in(yaml.safe_load(TEXT)))


def test_the_cable_length_of_each_circuit_is_the_sum_of_its_cables_without_the_trunk(flows: Flows) -> None:
    for circuit in (r for r in rows("circuits", flows) if r["id"] != r["board"]):
        parts = [float(r["length [m]"]) for r in rows("cables", flows) if r["circuit"] == circuit["id"] and not r["id"].endswith(".trunk")]
        assert circuit["length [m]"] == (f"{sum(parts):g}" if parts else "")


def test_a_cable_of_two_parts_has_two_rows_with_one_id() -> None:
    two = "[2x 25 mm² 2C Cu XLPE 9 m underground, 16 mm² 2C Al XLPE 0.3 m in wall]"
    flows = changed(("[25 mm² 2C Cu XLPE 9 m underground in conduit]", two))
    parts = [r for r in rows("cables", flows) if r["id"] == "W1"]
    assert [(r["part"], r["in parallel"], r["size [mm²]"], r["material"], r["length [m]"]) for r in parts] == [
        ("1", "2", "25", "Cu", "9"), ("2", "1", "16", "Al", "0.3")]


def test_the_ends_of_a_cable_are_where_the_termination_schedule_ends_a_conductor_of_it(flows: Flows) -> None:
    ends: dict[str, set[str]] = {}
    for core in rows("terminations", flows):
        ends.setdefault(f"{core['id']} {core['end']}", set()).add(core["at"])
    for _, _, data in flows.graph.edges(data=True):
        if isinstance(data["obj"].run, Cable):
            found = row("cables", flows, data["obj"].id)
            assert found["from"] in ends[f"{found['id']} from"] and found["to"] in ends[f"{found['id']} to"]
            assert found["conductors"] == "+".join(conductors.names(data["obj"].conductors))


def test_a_cable_behind_a_ferrite_or_sensors_comes_from_the_device_that_holds_its_cores() -> None:
    assert row("cables", flows_of(TEXT), "W2")["from"] == "MSB.9.breaker"  # breaker, ferrite, W2
    assert row("cables", flows_of((ROOT / "gallery/longrun/site.yaml").read_text(encoding="utf-8")), "WS")["from"] == "DB.7.breaker"  # breaker, three sensors, WS


def test_a_trunk_goes_on_with_the_conductors_of_its_circuit(flows: Flows) -> None:
    for trunk in (r for r in rows("cables", flows) if r["id"].endswith(".trunk")):
        assert trunk["conductors"] in [r["conductors"] for r in rows("cables", flows) if r["to"] == trunk["from"]]


def test_a_cable_that_leads_to_an_unknown_board_is_listed_with_open_ends() -> None:
    lost = changed(("feeds: SB\n", "feeds: NOWHERE\n"))
    found = row("cables", lost, "W2")
    assert (found["from"], found["to"], found["length [m]"]) == ("TBC", "TBC", "12")
    assert (row("circuits", lost, "MSB.9")["feeds"], row("circuits", lost, "MSB.9")["kind"]) == ("TBC", "TBC")


# ---- what a row says -------------------------------------------------------------------------------------------------

def test_a_circuit_behind_a_group_names_the_group_and_the_group_its_residual_current(flows: Flows) -> None:
    group, socket = row("circuits", flows, "MSB.1"), row("circuits", flows, "MSB.3")
    assert (group["device"], group["residual current [mA]"], group["residual type"], group["kind"]) == (
        "residual current device", "30", "A", "group of 2 circuits")
    assert [socket[name] for name in ("group", "residual current [mA]", "breaking capacity [kA]", "load [kW]")] == ["MSB.1", "", "6", "3.2"]


def test_the_power_of_module_level_inverters_is_their_number_times_one(flows: Flows) -> None:
    for id_, number in (("SB.1", 9), ("SB.3", 7)):
        assert float(row("circuits", flows, id_)["source [kVA]"]) == pytest.approx(number * flows.types["module-410"].power / 1000)


def test_the_device_of_a_circuit_row_is_one_of_the_circuit_in_the_graph(flows: Flows) -> None:
    for found in (r for r in rows("circuits", flows) if r["id"] != r["board"]):
        words = {obj.word for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Device) and node.startswith(f"{found['id']}.")}
        assert found["device"] in words


def test_a_range_of_ways_is_no_date_to_a_spreadsheet(flows: Flows) -> None:
    assert [r["way"] for r in rows("circuits", flows) if r["board"] == "SB"] == [
        "", "1 to 2", "3 to 4", "5 to 6", "7 to 8", "9 to 10", "11 to 18"]  # first what comes in


def test_the_phase_of_a_single_pole_circuit_on_three_phases_is_open_until_it_is_said() -> None:
    three = ("system: 1/PEN", "system: 3/PEN"), ("2C Cu XLPE 9 m", "4C Cu XLPE 9 m"), ("L1 PEN", "L1 L2 L3 PEN")
    assert row("circuits", changed(*three), "MSB.7")["phases"] == "TBC"
    assert row("circuits", changed(*three, ("{way: 7, ", "{way: 7, phase: L3, ")), "MSB.7")["phases"] == "L3"


def test_what_stands_behind_a_sensor_is_what_falls_off_when_the_sensor_is_taken_out(flows: Flows) -> None:
    live = nx.Graph((u, v) for u, v, data in flows.graph.edges(data=True) if conductors.carries(data["obj"].conductors, conductors.L1))
    for found in rows("sensors", flows):
        without = live.copy()
        without.remove_node(found["id"])
        reached = nx.node_connected_component(without, "supply")
        lost = {node for node in without if node not in reached and isinstance(flows.obj(node), Source)}
        assert set(found["sources behind"].split()) == lost
    assert row("sensors", flows, "CT2")["sources behind"] == "INV1"


def test_a_sensor_row_says_who_reads_it_and_how_it_is_turned() -> None:
    lead = ("secondary: 0.333 V, lead: 3 m}", "secondary: 0.333 V, lead: [2.5 m own lead, 4 m twisted pair shielded]}")
    found = row("sensors", changed(lead), "CT1")
    assert [found[name] for name in ("P1 faces", "read by", "input", "reference phase", "lead length [m]", "lead make")] == [
        "supply", "GW1", "1", "L1", "6.5", "own lead; twisted pair shielded"]


def test_the_running_length_of_a_bus_adds_up_whatever_way_the_segments_are_written() -> None:
    turned = changed(("{from: BAT1, to: BAT2, length: 3 m", "{from: BAT2, to: BAT1, length: 3 m"))
    for found in (flows_of(TEXT), turned):
        assert [r["running length [m]"] for r in rows("buses", found)] == ["10", "13"]
    assert [(r["terminator at from"], r["terminator at to"]) for r in rows("buses", turned)] == [("yes", "no"), ("yes", "no")]


def test_a_bus_that_is_no_chain_has_no_running_length() -> None:
    apart = changed(("{from: BAT1, to: BAT2, length: 3 m", "{from: GW1, to: BAT2, length: 3 m"))
    assert [r["running length [m]"] for r in rows("buses", apart)] == ["", ""]


# ---- what nobody knows -----------------------------------------------------------------------------------------------

def test_an_open_value_prints_tbc_and_so_does_every_sum_over_it() -> None:
    flows = changed(("2C+2.5E Cu PVC 21 m", "2C+2.5E Cu PVC TBC"), ("to: BAT1, length: 10 m", "to: BAT1, length: TBC"))
    assert row("cables", flows, "MSB.3.cable")["length [m]"] == "TBC"
    assert row("circuits", flows, "MSB.3")["length [m]"] == "TBC"
    assert [(r["length [m]"], r["running length [m]"]) for r in rows("buses", flows)] == [("TBC", "TBC"), ("3", "TBC")]


def test_what_the_file_does_not_speak_of_prints_empty() -> None:
    flows = changed(("2.5 mm² 2C+2.5E Cu PVC 21 m in conduit", "2.5 mm² 2C+2.5E 21 m"))
    found = row("cables", flows, "MSB.3.cable")
    assert (found["material"], found["insulation"], found["installed"]) == ("", "", "")
    assert row("circuits", flows, "MSB.3")["cable size"] == "2.5 mm² 2C+2.5E"


def test_a_value_that_could_not_be_read_prints_tbc() -> None:
    assert row("sensors", changed(("primary: 100 A", "primary: 100")), "CT1")["primary [A]"] == "TBC"


def test_a_chain_or_cable_that_is_all_open_prints_tbc_in_each_asked_column() -> None:
    found = row("circuits", changed(("in_line: [breaker: 6 A C 2P 6 kA], feeds: GW1", "in_line: TBC, feeds: GW1")), "SB.9")
    assert [found[name] for name in ("device", "rating [A]", "cable size", "length [m]")] == ["TBC"] * 4
    found = row("cables", changed(("W2, parts: [16 mm² 2C+6E Cu XLPE 12 m in conduit in air]", "W2, parts: TBC")), "W2")
    assert [found[name] for name in ("cores", "size [mm²]", "length [m]")] == ["TBC"] * 3


def test_open_and_absent_cells_differ() -> None:
    mark = Mark("site.yaml", 1, 1)
    cases = ((True, False), (False, False), (True, True), (False, True))
    shown = [Column("length", "m").show(Unknown(mark, "length", given=given, silent=silent)) for given, silent in cases]
    assert shown == ["TBC", "", "TBC", "TBC"]


@pytest.mark.parametrize(("text", "inner", "column", "shown"), [
    ("30 mA", "A", Column("x", "mA", 3), "30"), ("6 kA", "A", Column("x", "kA", -3), "6"), ("0.6 kW", "W", Column("x", "kW", -3), "0.6"),
    ("2.5 mm²", "mm2", Column("x", "mm²"), "2.5"), ("0 m", "m", Column("x", "m"), "0"), ("-0.0 V", "V", Column("x", "V"), "0"),
    ("100000 m", "m", Column("x", "m"), "100000")])
def test_a_number_prints_as_it_was_typed(text: str, inner: str, column: Column, shown: str) -> None:
    assert column.show(parse_quantity(text, inner)) == shown


def test_a_computed_number_is_rounded_and_a_half_goes_up() -> None:
    assert [Column("x", "A", digits=1).show(n) for n in (31.85, 31.849, 32.0, -0.01)] == ["31.9", "31.8", "32.0", "0.0"]
    assert Column("x", "kA", -3, digits=2).show(6004.9) == "6.00"


def test_a_cable_of_direct_current_and_one_that_is_dead_say_so_and_hold_no_numbers() -> None:
    flows = Flows(read_file(ROOT / "gallery/bakery/site.yaml"))
    for name, why in (("WP1", "direct current is not computed"), ("W4", "not fed in normal operation")):
        found = row("cables", flows, name)
        assert (found["design current Ib [A]"], found["capacity Iz [A]"], found["not told for want of"]) == ("", "", why)


def test_computed_cells_say_what_they_lack() -> None:
    found = row("cables", changed(("loop: 0.38 ohm measured at MSB", "loop: TBC")), "MSB.3.cable")
    assert (found["loop Zs [ohm]"], found["not told for want of"]) == ("cannot tell", "earth-fault loop impedance of fault levels of supply")
    assert found["capacity Iz [A]"] == "20.0"  # 23 A (IEC 60364-5-52, method B2) × 0.87 at 40 °C


def test_a_sum_of_floats_prints_without_their_dust() -> None:
    assert Column("x", "m").show(0.1 + 0.2) == "0.3"
    assert Column("x", "m").show(-1e-12) == "0"


def test_columns_that_hold_quantities_bear_their_unit(flows: Flows) -> None:
    counts = {"part", "cores", "in parallel", "way", "quantity", "total of this article", "step", "count"}
    for make in SCHEDULES.values():
        table = make(flows)
        for number, column in enumerate(table.columns):
            holds_numbers = any(isinstance(r.cells[number], int | float) for r in table.rows)
            assert not holds_numbers or column.unit or column.heading in counts, column
            assert column.title == (f"{column.heading} [{column.unit}]" if column.unit else column.heading)


def test_a_row_that_does_not_fit_its_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="2 cells for 1 columns"):
        Table("t", "T", (Column("id"),), (Row(("a", "b")),))


# ---- files -----------------------------------------------------------------------------------------------------------

class Page(HTMLParser):
    """The elements and the cells of a page, as a parser that is not ours sees them."""

    def __init__(self, data: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.cells: list[str] = []
        self.text = ""
        self.inside = ""
        self.feed(data.decode("utf-8"))
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}
        self.inside = tag
        if tag in ("td", "th"):
            self.cells.append("")

    def handle_data(self, data: str) -> None:
        self.text += data
        if self.inside in ("td", "th"):
            self.cells[-1] += data

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""


TAGS = set("html head meta title style body h1 dl div dt dd p table thead tbody tr th td".split())
ATTRIBUTES = {"lang", "charset", "http-equiv", "content", "name", "class", "scope", "data-id"}


def read_csv(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def test_csv_and_html_read_back_as_the_table(flows: Flows) -> None:
    files = render(flows, ["csv", "html"])
    for name, make in SCHEDULES.items():
        table = make(flows)
        wanted = [[column.title for column in table.columns], *table.texts()]
        assert read_csv(files[f"{name}.csv"]) == wanted
        assert Page(files[f"{name}.html"]).cells == [cell for line in wanted for cell in line]
        assert b"\r" not in files[f"{name}.csv"] + files[f"{name}.html"]


HOSTILE = ["=1+1", "+1", "-1+1", "@SUM(A1)", " =1+1", "\t=1+1", "\uff1d1+1", '<b>&"</b>', "<script>alert(1)</script>",
           "a,b;c", "two\nlines", 'quo"te', "'); --", "ab\x1b[31mc", "\u202eright", "caf\u00e9 \u6f22", "</style><img src=x onerror=y>",
           "]]>--><!--"]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_inert_in_both_files(name: str) -> None:
    said = yaml.safe_dump(name, default_style='"', width=1000).strip()
    files = render(changed(("name: Hot water", f"name: {said}"), ("name: Heron Point Boathouse", f"name: {said}")), ["csv", "html"])
    lines = read_csv(files["circuits.csv"])
    cell = next(line[lines[0].index("name")] for line in lines if line[0] == "MSB.7")
    # OWASP, "CSV Injection", from memory: a cell must not begin with = + - @ tab or CR; an apostrophe before it keeps it text
    assert cell.lstrip()[:1] not in set("=+-@\t\r\uff1d\uff0b\uff0d\uff20")
    assert {len(line) for line in lines} == {len(lines[0])}
    page = Page(files["circuits.html"])
    assert page.tags == TAGS and page.names == ATTRIBUTES
    for data in files.values():
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", data.decode("utf-8"))


@pytest.mark.parametrize(("name", "shown"), [("=1+1", "=1+1"), ('<b>&"</b>', '<b>&"</b>'), ("caf\u00e9 \u6f22", "caf\u00e9 \u6f22")])
def test_a_harmless_reading_of_a_hostile_name_stays_legible(name: str, shown: str) -> None:
    said = yaml.safe_dump(name, default_style='"', width=1000).strip()
    files = render(changed(("name: Hot water", f"name: {said}")), ["csv", "html"])
    assert shown in Page(files["circuits.html"]).cells
    assert any(shown in cell for line in read_csv(files["circuits.csv"]) for cell in line)


@pytest.mark.parametrize("text", ["=1", " =1", "\u00a0=1", "\thello", "\rhello", "\x00-1"])
def test_text_that_a_spreadsheet_might_trim_to_a_formula_is_guarded_too(text: str) -> None:
    assert safe(text).startswith("'")
    assert safe("plain =1") == "plain =1"


def test_an_apostrophe_guards_text_but_never_a_number() -> None:
    table = Table("t", "T", (Column("id"), Column("n", "V"), Column("text")), (Row(("A", -5.0, "-5")), Row(("B", 0.25, "5"))))
    assert csv_bytes(table) == b"id,n [V],text\nA,-5,'-5\nB,0.25,5\n"


def test_a_page_needs_nothing_but_itself(flows: Flows) -> None:
    for name, data in render(flows, ["html"]).items():
        page = Page(data)
        assert page.tags == TAGS and page.names <= ATTRIBUTES, name
        assert not re.search(rb"https?:|//|url\(|@import|javascript", data)


def test_the_head_of_a_page_has_site_drawing_revision_and_cautions(flows: Flows) -> None:
    page = Page(render(flows, ["html"])["cables.html"]).text
    for words in ("Heron Point Boathouse", "HPB-E-001", "RevisionA", "for application", "several sources (supply, INV1, INV2, BAT1, BAT2)",
                  "Isolate every source, then prove dead", "verified under local rules by a licensed person"):
        assert words in page
    assert "to be confirmed" not in page and "of reading" not in page


def test_a_page_counts_open_values_and_faults_of_reading() -> None:
    flows = changed(("2C+2.5E Cu PVC 21 m", "2C+2.5E Cu PVC TBC"), ("primary: 100 A", "primary: 100"))
    page = Page(render(flows, ["html"])["cables.html"]).text
    assert "1 value is to be confirmed (TBC)." in page
    assert "1 fault of reading" in page


def test_the_last_revision_stands_in_the_head_and_nothing_is_made_up() -> None:
    added = changed(("note: Issued for application}", "note: Issued for application}\n    - {rev: B, date: 2026-04-01}"))
    assert "RevisionB" in Page(render(added, ["html"])["buses.html"]).text
    start, end = TEXT.index("drawing:\n"), TEXT.index("profile:")
    bare = Page(render(flows_of(TEXT[:start] + TEXT[end:]), ["html"])["buses.html"]).text
    assert "Drawingnot given" in bare and "Revisionnot given" in bare


def test_file_names_are_ours_alone(flows: Flows) -> None:
    assert set(render(flows, ["csv", "html"])) == {f"{name}.{ending}" for name in SCHEDULES for ending in ("csv", "html")}
    with pytest.raises(ValueError, match="'ods'"):
        render(flows, ["ods"])


def test_a_site_with_nothing_on_it_gives_empty_tables() -> None:
    flows = flows_of("site: {name: Bare}\nsupply: {system: 1/N/PE AC 50 Hz 230 V}\n")
    for name, data in render(flows, ["csv", "html"]).items():
        if name.partition(".")[0] not in ("connection", "survey"):  # these list what the file does not say
            assert len(data.splitlines()) == 1 if name.endswith(".csv") else b"Nothing of this kind" in data


PROGRAM = """
import hashlib, sys
from pathlib import Path
from schedules.render import render
from topology.flow import Flows
from topology.read import read_file
for name, data in render(Flows(read_file(Path(sys.argv[1]))), ["csv", "html"]).items():
    print(name, hashlib.sha256(data).hexdigest())
"""


def test_hash_seed_locale_and_folder_do_not_change_a_byte(tmp_path: Path) -> None:
    outputs = set()
    for seed, locale, folder in (("1", "C", ROOT), ("77", "de_DE.UTF-8", tmp_path), ("random", "tr_TR.ISO-8859-9", tmp_path)):
        env = {**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": locale, "PYTHONPATH": str(ROOT), "TZ": "Asia/Tokyo"}
        done = subprocess.run([sys.executable, "-c", PROGRAM, str(SITE)], env=env, cwd=folder, capture_output=True, text=True, check=True)
        outputs.add(done.stdout)
    assert len(outputs) == 1 and len(outputs.pop().splitlines()) == 2 * len(SCHEDULES)


# ---- what is printed ---------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", ["circuits", "cables"])
def test_a_wide_schedule_is_printed_in_parts_that_hold_every_column_once_and_tell_their_rows_apart(name: str, flows: Flows) -> None:
    whole = SCHEDULES[name](flows)
    first, second = whole.printed()
    own = [column for column in second.columns if column.part]
    assert [*first.columns, *own] == list(whole.columns)  # nothing lost, nothing twice, in the same order
    assert second.title == f"{whole.title}: computed values" and first.title == whole.title
    keys = [column for column in second.columns if not column.part]
    assert keys[0].title == "id" and {column.title for column in keys} <= {column.title for column in first.columns}
    assert {*first.notes, *second.notes} == set(whole.notes) and not set(first.notes) & set(second.notes)
    assert all("Computed" in note for note in second.notes)
    assert [row.id for row in first.rows] == [row.id for row in whole.rows]
    shown = {row.id: dict(zip((c.title for c in second.columns), texts, strict=True)) for row, texts in zip(second.rows, second.texts(), strict=True)}
    for row in rows(name, flows):
        computed_cells = {column.title: row[column.title] for column in own}
        assert any(computed_cells.values()) == (row["id"] in shown)
        if name == "circuits" and row["id"] in shown:
            assert shown[row["id"]] == {column.title: row[column.title] for column in second.columns}


def test_a_schedule_of_few_columns_is_printed_as_it_is(flows: Flows) -> None:
    table = SCHEDULES["buses"](flows)
    assert table.printed() == (table,)


def test_the_equipment_list_says_of_which_make_a_protective_device_is() -> None:
    text = ("site: {name: S}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, feeds: MSB}\nboards: {MSB: {circuits: [{way: 1, in_line: [rcbo: {id: Q1, "
            "rating: 20 A C 1P+N 30 mA type A 6 kA, make: slim}], load: heater}, {way: 2, in_line: [rcbo: {id: Q2, rating: 20 A C 1P+N 30 mA type A 6 kA}], "
            "load: heater}]}}\ntypes: {slim: {kind: protective device, maker: Example Works, document: leaf 7}}\n")
    table = equipment(Flows(read_bytes(text.encode())))
    heads = [column.heading for column in table.columns]
    rows = {row.cells[0]: dict(zip(heads, row.cells, strict=True)) for row in table.rows}
    assert [rows["Q1"][h] for h in ("type", "maker and model, or kind", "document", "total of this article")] == ["slim", "Example Works", "leaf 7", 1]
    assert rows["Q2"]["type"] is None and rows["Q2"]["total of this article"] == 1


def test_the_connection_summary_has_the_fault_levels_that_follow_from_a_transformer() -> None:
    """Electrical Installation Guide, chapter G: 400 kVA, 4 %, 420 V give 13.7 kA; the loop waits for the network before it."""
    text = "site: {name: S}\nsupply: {system: 3/N/PE AC 50 Hz 400/230 V, faults: {transformer: 400 kVA 4 % 420 V}, load: general 1 kW}\n"
    table = connection(Flows(read_bytes(text.encode())))
    items = {row.cells[2]: row.cells[3] for row in table.rows}
    assert items["largest prospective fault current"] == "13.7 kA calculated at point of supply"
    assert isinstance(items["earth-fault loop impedance"], Unknown)
