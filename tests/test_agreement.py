# SPDX-License-Identifier: MIT
"""Drawing and schedules speak of the same things, and sums are the sums of what is drawn, on random valid sites."""
from __future__ import annotations

import json
import re
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest
from schedules import SCHEDULES
from schedules.columns import Table
from sites import site
from sld.bus_diagram import bus_diagram
from sld.scene_json import scene_json
from sld.single_line import single_line
from topology.flow import Flows
from topology.graph import Bar
from topology.read import read_bytes, read_file
from topology.site import Bus, Cable, Circuit, Electrode, Load, ModuleInverters, Place, Segment, Storage

GALLERY = Path(__file__).parents[1] / "gallery"
RANDOM = [(seed, objects, phases) for seed, objects in ((11, 20), (12, 80), (13, 150), (14, 300)) for phases in (1, 3)]
ON_NO_DRAWING = (Circuit, Bus, Electrode)
"""A circuit and a bus are drawn by what they consist of; an electrode stands beside its link."""


@cache
def random_site(seed: int, objects: int, phases: int) -> Flows:
    return Flows(read_bytes(site(seed, objects, phases).encode()))


@pytest.fixture(params=RANDOM, ids=str)
def flows(request: pytest.FixtureRequest) -> Flows:
    return random_site(*request.param)


@cache
def drawn(flows: Flows) -> set[str]:
    """Ids of all objects that symbols, wires and areas of the drawings stand for, read from the JSON that others read."""
    scenes = [scene for scene in (single_line(flows), bus_diagram(flows)) if scene is not None]
    sheets = [sheet for scene in scenes for sheet in json.loads(scene_json(scene))["sheets"]]
    return {thing["object"] for sheet in sheets for part in ("symbols", "wires", "areas") for thing in sheet[part]}


@cache
def table_of(name: str, flows: Flows) -> Table:
    return SCHEDULES[name](flows)


def column(table: Table, heading: str) -> list[object]:
    at = [c.heading for c in table.columns].index(heading)
    return [row.cells[at] for row in table.rows]


def said(flows: Flows) -> set[str]:
    """Every word of every schedule."""
    texts = [text for name in SCHEDULES for row in table_of(name, flows).texts() for text in row]
    return {word for text in texts for word in re.split(r"[ ,;()]+", text)}


def test_every_id_on_the_drawings_is_on_the_schedules(flows: Flows) -> None:
    ids = {row.id for name in SCHEDULES for row in table_of(name, flows).rows}
    by_word = {node for node in drawn(flows) - ids if isinstance(flows.objects.get(node), Load | Place)}
    assert drawn(flows) - ids == by_word  # a load stands in the row of its circuit, a place in the rows of what stands there
    assert by_word <= said(flows)


def test_every_id_on_the_schedules_is_on_the_drawings(flows: Flows) -> None:
    for name in SCHEDULES:
        for row in table_of(name, flows).rows:
            obj = flows.objects.get(row.id)
            trunk = row.id.endswith(".trunk") and row.id.removesuffix(".trunk") in drawn(flows)
            electrode = row.id in flows.graph and isinstance(flows.obj(row.id), ON_NO_DRAWING)
            assert row.id == "site" or trunk or electrode or isinstance(obj, ON_NO_DRAWING) or row.id in drawn(flows), (name, row.id)


def test_the_totals_of_cable_are_the_sums_of_its_parts(flows: Flows) -> None:
    made = table_of("cables", flows)
    parts = [run.length for obj in flows.objects.values() if isinstance(obj, Cable) for run in obj.runs]
    assert sum(column(made, "length")) == pytest.approx(sum(parts))  # type: ignore[arg-type]
    assert sum(t for t in column(made, "total of this make") if t is not None) == pytest.approx(sum(parts))  # type: ignore[misc]
    by_make: dict[object, float] = defaultdict(float)
    for obj in flows.objects.values():
        for run in obj.runs if isinstance(obj, Cable) else ():
            by_make[run.area, run.cores, run.material, run.insulation] += run.length
    totals = [t for t in column(made, "total of this make") if t is not None]
    assert sorted(totals) == pytest.approx(sorted(by_make.values()))  # type: ignore[type-var]


def test_the_running_length_of_a_bus_ends_at_the_sum_of_its_segments(flows: Flows) -> None:
    made = table_of("buses", flows)
    for bus in (o for o in flows.objects.values() if isinstance(o, Bus)):
        lengths = [s.length for s in bus.segments if isinstance(s, Segment)]
        running = [r for r, b in zip(column(made, "running length"), column(made, "bus"), strict=True) if b == bus.id]
        assert max(running) == pytest.approx(sum(lengths))  # type: ignore[type-var]


def test_the_connection_summary_adds_up_the_sources_that_are_drawn(flows: Flows) -> None:
    """Number times power of one piece, from the objects behind the drawing's symbols; phases as the file says them."""
    made = table_of("connection", flows)
    sums, count, energy = defaultdict(float), 0, 0.0
    for node in drawn(flows):
        obj = flows.objects.get(node)
        if isinstance(obj, ModuleInverters | Storage):
            kind, number = flows.types[obj.type_.id], obj.number if isinstance(obj, ModuleInverters) else 1
            count += number
            energy += kind.energy if isinstance(obj, Storage) else 0.0
            for phase in obj.phase:
                sums[phase] += number * kind.power / len(obj.phase)
    row = next(r for r in made.rows if r.cells[1:3] == ("all sources", "sum"))
    cells = dict(zip([c.heading for c in made.columns], row.cells, strict=True))
    assert cells["count"] == count
    assert cells["nameplate"] == pytest.approx(sum(sums.values()))
    assert cells["usable energy"] == pytest.approx(energy)
    assert {phase: cells[f"nameplate on {phase}"] for phase in ("L1", "L2", "L3") if cells[f"nameplate on {phase}"] is not None} == pytest.approx(sums)


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
        ways = [str(w).split(" to ") for w, b in zip(column(made, "way"), column(made, "board"), strict=True) if b == board]
        taken = [n for way in ways for n in range(int(way[0]), int(way[-1]) + 1)]
        assert sorted(taken) == list(range(1, flows.objects[str(board)].ways + 1))


def test_a_core_has_the_same_ferrule_at_both_ends(flows: Flows) -> None:
    made = table_of("terminations", flows)
    ends: dict[object, set[object]] = defaultdict(set)
    for ferrule, end in zip(column(made, "ferrule"), column(made, "end"), strict=True):
        ends[ferrule].add(end)
    assert all(found == {"from", "to"} for found in ends.values())


def test_the_cores_that_are_listed_are_the_conductors_of_the_graph(flows: Flows) -> None:
    made = table_of("terminations", flows)
    listed: dict[object, set[object]] = defaultdict(set)
    for row in made.rows:
        listed[row.id].add(row.cells[4])
    cables = table_of("cables", flows)
    for row, carried in zip(cables.rows, column(cables, "conductors"), strict=True):
        if not row.id.endswith(".trunk"):
            assert listed[row.id] == set(str(carried).split("+"))


@pytest.mark.parametrize("name", sorted(p.parent.name for p in GALLERY.glob("*/site.yaml") if not p.parent.name.startswith("faulty")))
def test_every_id_on_a_drawing_of_the_gallery_is_on_its_schedules(name: str) -> None:
    flows = Flows(read_file(GALLERY / name / "site.yaml"))
    missing = {node for node in drawn(flows) if node not in said(flows)}
    assert {node for node in missing if not (node in flows.graph and isinstance(flows.obj(node), Bar))} == set()
