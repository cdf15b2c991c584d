# SPDX-License-Identifier: MIT
"""Drawing and schedules speak of the same things, and sums are the sums of what is drawn, on random valid sites."""
from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from schedules import SCHEDULES
from schedules.columns import Table
from schedules.render import WORKBOOK, render
from sites import site
from sld.files import DIAGRAMS
from sld.scene_json import scene_json
from sld.sheet_info import sheet_info
from topology.conductors import names as conductors_of
from topology.flow import Flows
from topology.graph import Bar
from topology.read import read_bytes, read_file
from topology.site import Bus, Cable, Circuit, Controller, CurrentTransformer, Load, ModuleInverters, Place, Segment, Storage

GALLERY = Path(__file__).parents[1] / "gallery"
RANDOM = [(seed, objects, phases) for seed, objects in ((11, 20), (12, 80), (13, 150), (14, 300)) for phases in (1, 3)]


def varied(text: str) -> str:
    """A generated site with what the generator keeps plain: lengths with decimals, new sources beside existing ones, limits of software."""
    text = re.sub(r"(\d) m (?=in |clipped|on |under)", r"\1.37 m ", text)
    text = re.sub(r"(\{id: (?:BAT|INV)\d*[13579],)", r"\1 status: new,", text)
    text = re.sub(r"- cable: ([^{\n]+)$", r"- cable: {parts: [\1, \1]}", text, flags=re.MULTILINE)  # of several parts
    return text.replace("type: module-410", "type: limited") + "types:\n  limited: {kind: module inverter, power: 0.41 kVA, limit: 0.3 kVA, phases: 1}\n"


@cache
def random_site(seed: int, objects: int, phases: int) -> Flows:
    flows = Flows(read_bytes(varied(site(seed, objects, phases)).encode()))
    assert not [finding for finding in flows.read.findings if finding.severity == "error"]
    return flows


@pytest.fixture(params=RANDOM, ids=str)
def flows(request: pytest.FixtureRequest) -> Flows:
    return random_site(*request.param)


@cache
def drawn(flows: Flows) -> set[str]:
    """Ids of all objects that symbols, wires and areas of the drawings stand for, read from the JSON that others read."""
    scenes = [scene for scene in (make(flows) for make in DIAGRAMS.values()) if scene is not None]
    sheets = [sheet for scene in scenes for sheet in json.loads(scene_json(scene))["sheets"]]
    return {thing["object"] for sheet in sheets for part in ("symbols", "wires", "areas") for thing in sheet[part]}


@cache
def table_of(name: str, flows: Flows) -> Table:
    return SCHEDULES[name](flows)


def column(table: Table, heading: str) -> list[object]:
    at = [c.heading for c in table.columns].index(heading)
    return [row.cells[at] for row in table.rows]


@cache
def said(flows: Flows) -> set[str]:
    """Every word of every schedule."""
    texts = [text for name in SCHEDULES for row in table_of(name, flows).texts() for text in row]
    return {word for text in texts for word in re.split(r"[ ,;()]+", text)}


def test_every_id_on_the_drawings_is_on_the_schedules(flows: Flows) -> None:
    ids = {row.id for name in SCHEDULES for row in table_of(name, flows).rows}
    by_word = {node for node in drawn(flows) - ids if isinstance(flows.objects.get(node), Load | Place)}
    assert drawn(flows) - ids == by_word  # a load stands in the row of its circuit, a place in the rows of what stands there
    assert by_word <= said(flows)


def drawn_as_parts(flows: Flows, id_: str) -> bool:
    """Whether a thing without a symbol is drawn by all that it consists of: a circuit by its devices, cables and end, a bus by its segments.

    A trunk is drawn with its row of inverters; `site` stands for the site itself.
    """
    obj = flows.objects.get(id_)
    if isinstance(obj, Bus):
        return {segment.id for segment in obj.segments} <= drawn(flows)
    if isinstance(obj, Circuit):
        inner = [item.id for item in (*obj.in_line, obj.feeds, obj.load) if item is not None and item.id in flows.objects]
        return set(inner) <= drawn(flows)
    return id_ == "site" or isinstance(obj, Cable) and id_.removesuffix(".trunk") in drawn(flows)


def test_every_id_on_the_schedules_is_on_the_drawings(flows: Flows) -> None:
    for name in SCHEDULES:
        for row in table_of(name, flows).rows:
            assert row.id in drawn(flows) or drawn_as_parts(flows, row.id), (name, row.id)


LISTED_ON: dict[str, tuple[type, ...]] = {"cables": (Cable,), "circuits": (Circuit,), "sensors": (CurrentTransformer,), "buses": (Segment,),
                                          "terminations": (Cable, Segment, CurrentTransformer)}


@pytest.mark.parametrize("name", LISTED_ON)
def test_a_schedule_has_every_object_of_its_kind(flows: Flows, name: str) -> None:
    wanted = {o.id for o in flows.objects.values() if isinstance(o, LISTED_ON[name])}
    listed = {row.id for row in table_of(name, flows).rows}
    assert wanted - listed == set()
    assert {i for i in listed - wanted if isinstance(flows.objects.get(i), LISTED_ON[name])} == set()


def test_the_totals_of_cable_are_the_sums_of_its_parts(flows: Flows) -> None:
    made = table_of("cables", flows)
    parts = [run.length for obj in flows.objects.values() if isinstance(obj, Cable) for run in obj.runs]
    assert sum(column(made, "length")) == pytest.approx(sum(parts))  # type: ignore[arg-type]
    assert sum(t for t in column(made, "total of this make") if t is not None) == pytest.approx(sum(parts))  # type: ignore[misc]
    by_make: dict[object, float] = defaultdict(float)
    for obj in flows.objects.values():
        for run in obj.runs if isinstance(obj, Cable) else ():
            by_make[run.area, run.cores, run.material, run.insulation, obj.status] += run.length  # what is bought, apart from what is there
    totals = [t for t in column(made, "total of this make") if t is not None]
    assert sorted(totals) == pytest.approx(sorted(by_make.values()))  # type: ignore[type-var]


def test_the_running_length_of_a_bus_ends_at_the_sum_of_its_segments(flows: Flows) -> None:
    made = table_of("buses", flows)
    for bus in (o for o in flows.objects.values() if isinstance(o, Bus)):
        lengths = [s.length for s in bus.segments if isinstance(s, Segment)]
        running = [r for r, b in zip(column(made, "running length"), column(made, "bus"), strict=True) if b == bus.id]
        assert max(running) == pytest.approx(sum(lengths))  # type: ignore[type-var]


def cells(table: Table, **wanted: object) -> dict[str, object]:
    """The one row with these cells, by heading; of columns with one heading the first."""
    headings = [c.heading for c in table.columns]
    found = [row for row in table.rows if all(row.cells[headings.index(h)] == v for h, v in wanted.items())]
    assert len(found) == 1, wanted
    return dict(zip(headings, found[0].cells, strict=True))


def test_the_connection_summary_adds_up_the_sources_that_are_drawn(flows: Flows) -> None:
    """Number times power of one piece, from the objects behind the drawing's symbols; phases and status as the file says them."""
    made = table_of("connection", flows)
    for section, statuses in (("existing sources", ("existing",)), ("new sources", ("new",)), ("all sources", ("existing", "new"))):
        sums, limited, count, energy = defaultdict(float), defaultdict(float), 0, 0.0
        for obj in (flows.objects.get(node) for node in drawn(flows)):
            if isinstance(obj, ModuleInverters | Storage) and obj.status in statuses:
                kind, number = flows.types[obj.type_.id], obj.number if isinstance(obj, ModuleInverters) else 1
                count += number
                energy += kind.energy if isinstance(obj, Storage) else 0.0
                most = kind.limit if isinstance(kind.limit, float) else kind.power
                for phase in obj.phase:
                    sums[phase] += number * kind.power / len(obj.phase)
                    limited[phase] += number * most / len(obj.phase)
                own = cells(made, id=obj.id, item=obj.word)
                assert own["nameplate"] == pytest.approx(number * kind.power) and own["section"] in (section, "existing sources", "new sources")
        said = cells(made, section=section, item="sum")
        assert said["count"] == count
        assert said["nameplate"] == pytest.approx(sum(sums.values()))
        assert said["limited by software"] == pytest.approx(sum(limited.values()))
        assert said["usable energy"] == pytest.approx(energy)
        for name, by_phase in (("nameplate", sums), ("limited", limited)):
            listed = {phase: said[f"{name} on {phase}"] for phase in ("L1", "L2", "L3") if said[f"{name} on {phase}"] is not None}
            assert {phase: v for phase, v in listed.items() if v} == pytest.approx(dict(by_phase))


@pytest.mark.parametrize("seed", [21, 24])
def test_the_summary_has_the_difference_between_phases_of_what_is_drawn_and_the_export_limit(seed: int) -> None:
    flows = Flows(read_bytes((varied(site(seed, 160, 3)) + "limits: {export: 7.5 kW}\n").encode()))
    sums = dict.fromkeys(("L1", "L2", "L3"), 0.0)
    for obj in (flows.objects.get(node) for node in drawn(flows)):
        for phase in obj.phase if isinstance(obj, ModuleInverters | Storage) else ():
            sums[phase] += (obj.number if isinstance(obj, ModuleInverters) else 1) * flows.types[obj.type_.id].power / len(obj.phase)
    assert min(sums.values()) > 0
    made = table_of("connection", flows)
    wide = cells(made, item="largest difference between two phases, nameplate")["nameplate"]
    assert wide == pytest.approx(max(sums.values()) - min(sums.values()))
    assert cells(made, item="export limit")["answer"] == "7.5 kW"


def test_the_equipment_list_counts_every_device_once(flows: Flows) -> None:
    made = table_of("equipment", flows)
    ids = [row.id for row in made.rows]
    assert len(ids) == len(set(ids))
    assert sum(t for t in column(made, "total of this article") if t is not None) == sum(column(made, "quantity"))  # type: ignore[misc, arg-type]
    nodes = {n for n, obj in flows.graph.nodes(data="obj") if not isinstance(obj, Load) and n != flows.root}
    assert nodes <= set(ids)


def test_taken_and_spare_ways_are_all_ways_of_a_board(flows: Flows) -> None:
    made = table_of("circuits", flows)
    for board in {b for b in column(made, "board") if b}:
        ways = [str(w).split(" to ") for w, b in zip(column(made, "way"), column(made, "board"), strict=True) if b == board and w is not None]
        taken = [n for way in ways for n in range(int(way[0]), int(way[-1]) + 1)]
        assert sorted(taken) == list(range(1, flows.objects[str(board)].ways + 1))


def test_each_piece_of_a_core_has_two_ends_and_one_ferrule(flows: Flows) -> None:
    made = table_of("terminations", flows)
    ends: dict[object, Counter[object]] = defaultdict(Counter)
    for id_, part, ferrule, end in zip(*(column(made, heading) for heading in ("id", "part", "ferrule", "end")), strict=True):
        if end != "taps":
            ends[id_, part, ferrule][end] += 1
    assert ends
    for (id_, part, _), found in ends.items():
        assert found["from"] == 1 and found["to"] >= 1 and set(found) == {"from", "to"}, (id_, part)  # a sensor can be read by several inputs
    lands = [(at, terminal, end) for at, terminal, end in zip(*(column(made, h) for h in ("at", "terminal", "end")), strict=True) if str(terminal).isdigit()]
    assert len(lands) == len(set(lands))  # no numbered terminal of a device takes two cores
    # a cable leaves a device at even numbers and arrives at odd ones (IEC 60947-1, marking of terminals of main circuits, from memory)
    assert {(int(str(terminal)) % 2, end) for _, terminal, end in lands} <= {(0, "from"), (1, "to")}


def test_the_cores_that_are_listed_are_the_conductors_of_the_graph(flows: Flows) -> None:
    made = table_of("terminations", flows)
    listed: dict[object, set[object]] = defaultdict(set)
    for id_, conductor, end in zip(*(column(made, heading) for heading in ("id", "conductor", "end")), strict=True):
        if end != "taps":
            listed[id_].add(conductor)
    carried = {data["obj"].run.id: set(conductors_of(data["obj"].conductors)) for _, _, data in flows.graph.edges(data=True)
               if isinstance(data["obj"].run, Cable)}
    for cable in (o for o in flows.objects.values() if isinstance(o, Cable)):
        if cable.id in carried:
            assert listed[cable.id] == carried[cable.id]
        else:  # a trunk goes on with what arrives at its row of inverters
            row = cable.id.removesuffix(".trunk")
            arrives = [set(conductors_of(data["obj"].conductors)) for _, _, data in flows.graph.in_edges(row, data=True) if data["layer"] == "power"]
            assert [listed[cable.id]] == arrives


def test_leads_and_segments_end_where_the_file_says(flows: Flows) -> None:
    made = table_of("terminations", flows)
    places: dict[object, set[object]] = defaultdict(set)
    for id_, at in zip(column(made, "id"), column(made, "at"), strict=True):
        places[id_].add(at)
    for obj in flows.objects.values():
        if isinstance(obj, Segment):
            assert places[obj.id] == {obj.from_.id, obj.to.id}
        elif isinstance(obj, Controller):
            for said in obj.inputs.values():
                assert obj.id in places[said.sensor.id]
            if obj.joined_to is not None:
                assert places[obj.id] == {obj.id, obj.joined_to.id}


def test_every_sheet_of_the_workbook_is_its_csv(flows: Flows) -> None:
    """Read back by openpyxl, which is not the library that writes; the CSV by the standard library."""
    files = render(flows, ["csv", "xlsx"])
    book = openpyxl.load_workbook(io.BytesIO(files[WORKBOOK]))
    for name in SCHEDULES:
        lines = list(csv.reader(io.StringIO(files[f"{name}.csv"].decode(), newline="")))
        rows = list(book[table_of(name, flows).title].iter_rows(values_only=True))
        assert len(rows) == len(lines) > 1 or not table_of(name, flows).rows
        for row, line in zip(rows, lines, strict=True):
            for cell, text in zip(row, line, strict=True):
                assert cell == float(text) if isinstance(cell, int | float) else (cell or "") == text.removeprefix("'")
        numbers = {c for row in table_of(name, flows).rows for c, cell in enumerate(row.cells) if isinstance(cell, int | float)}
        assert all(any(isinstance(row[c], int | float) for row in rows[1:]) for c in numbers)


@pytest.mark.parametrize("name", sorted(p.parent.name for p in GALLERY.glob("*/site.yaml") if not p.parent.name.startswith("faulty")))
def test_every_id_on_a_drawing_of_the_gallery_is_on_its_schedules(name: str) -> None:
    flows = Flows(read_file(GALLERY / name / "site.yaml"))
    missing = {node for node in drawn(flows) if node not in said(flows)}
    assert {node for node in missing if not (node in flows.graph and isinstance(flows.obj(node), Bar))} == set()


def test_drawing_and_summary_name_the_same_difference_between_the_two_phases_of_a_supply() -> None:
    """10 units of 320 VA on L1 and 2.7 kVA on L2: 0.5 kVA, and 3.2 kVA with the storage unit off, by hand."""
    flows = Flows(read_bytes((GALLERY / "ferry/site.yaml").read_bytes()))
    made = table_of("connection", flows)
    wide = [cells(made, item=f"largest difference between two phases, nameplate{more}") for more in ("", ", one source off")]
    assert [row["nameplate"] for row in wide] == pytest.approx([500.0, 3200.0]) and wide[1]["answer"] == "BAT1 off"
    assert any(line.startswith("Difference between phases: nameplate 500 VA;") for line in sheet_info(flows, "x").limits)
