# SPDX-License-Identifier: MIT
"""Each cell says what the site file says of its object: circuits, cables, equipment, sums; on random sites and sites of the gallery."""
from __future__ import annotations

import csv
import io
import json
from collections import defaultdict
from functools import cache
from typing import Any

import openpyxl
import pytest
from schedules import SCHEDULES
from schedules.render import WORKBOOK, render
from sites import site
from sld.files import DIAGRAMS
from sld.scene_json import scene_json
from test_agreement import GALLERY, varied
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.site import Board, Cable, Circuit, CurrentTransformer, ModuleInverters, Source, Storage

SITES = ("bakery", "orchard", "longrun", (12, 80, 1), (16, 90, 3))


@cache
def flows_of(which: Any) -> Flows:
    if isinstance(which, str):
        return Flows(read_file(GALLERY / which / "site.yaml"))
    return Flows(read_bytes((varied(site(*which)) + "ordering: {allowance: 10 %}\n").encode()))


@pytest.fixture(params=SITES, ids=str, scope="module")
def flows(request: pytest.FixtureRequest) -> Flows:
    return flows_of(request.param)


@cache
def listed(name: str, flows: Flows) -> list[dict[str, str]]:
    """The rows of the CSV as a spreadsheet gets them, by heading with unit."""
    return list(csv.DictReader(io.StringIO(render(flows, ["csv"])[f"{name}.csv"].decode(), newline="")))


def circuits_of(flows: Flows) -> dict[str, dict[str, str]]:
    return {r["id"]: r for r in listed("circuits", flows) if r["id"] != r["board"]}


def number(text: str) -> float | None:
    return float(text) if text else None


def near(wanted: float | None) -> Any:
    return None if wanted is None else pytest.approx(wanted, rel=1e-6)


def in_line(circuit: Circuit, name: str) -> Any:
    """The first fact of that name that a device in line has; None where none has."""
    return next((getattr(item, name) for item in circuit.in_line if name in getattr(item, "marks", ())), None)


def test_each_circuit_has_the_way_group_status_and_ends_of_the_file(flows: Flows) -> None:
    found = circuits_of(flows)
    for board in (o for o in flows.objects.values() if isinstance(o, Board)):
        todo = [(circuit, "") for circuit in board.circuits]
        while todo:
            circuit, group = todo.pop()
            row = found[circuit.id]
            way = "" if circuit.way is None else str(circuit.way).replace("-", " to ")
            assert (row["board"], row["way"], row["group"], row["name"], row["status"]) == (board.id, way, group, circuit.name, circuit.status)
            end = circuit.load or circuit.feeds
            assert row["feeds"] == ("" if end is None else end.id)
            todo += [(inner, circuit.id) for inner in circuit.circuits or ()]


def test_each_circuit_has_the_device_load_and_source_of_the_file(flows: Flows) -> None:
    for id_, row in circuits_of(flows).items():
        circuit = flows.objects[id_]
        protecting = next((item for item in circuit.in_line if getattr(item, "limits_current", False)), None)
        if protecting is not None:
            assert number(row["rating [A]"]) == protecting.rating and row["poles"] == getattr(protecting, "poles", "")
            assert number(row["breaking capacity [kA]"]) == near(protecting.breaking / 1000)
        residual = in_line(circuit, "residual")
        assert number(row["residual current [mA]"]) == near(None if residual is None else residual * 1000)
        assert number(row["load [kW]"]) == near(circuit.load.power / 1000 if circuit.load else None)
        if isinstance(end := circuit.feeds, Source) and hasattr(end, "type_"):
            pieces = end.number if isinstance(end, ModuleInverters) else 1
            assert number(row["source [kVA]"]) == near(pieces * flows.types[end.type_.id].power / 1000)


def test_the_length_of_a_circuit_is_the_sum_of_the_segments_of_its_cables(flows: Flows) -> None:
    for id_, row in circuits_of(flows).items():
        cables = [item for item in flows.objects[id_].in_line if isinstance(item, Cable)]
        assert row["cable"] == " ".join(cable.id for cable in cables)
        assert number(row["length [m]"]) == near(sum(run.length for cable in cables for run in cable.runs) if cables else None)
        parts = [r for r in listed("cables", flows) if r["id"] in row["cable"].split()]
        assert (number(row["length [m]"]) or 0.0) == near(sum(float(r["length [m]"]) for r in parts))


def test_a_circuit_is_on_the_phases_that_the_file_gives_it(flows: Flows) -> None:
    for id_, row in circuits_of(flows).items():
        said = flows.objects[id_].phase
        if said is not None:
            assert row["phases"] == " ".join(said)
        ended = {r["conductor"] for r in listed("terminations", flows) if r["circuit or bus"] == id_ and r["conductor"] in ("L1", "L2", "L3")}
        assert ended <= set(row["phases"].split())


def test_what_is_backed_up_is_what_the_backup_terminal_feeds() -> None:
    """Bakery: the hybrid inverter's backup terminal and the generator feed BB over a changeover, nothing feeds MSB without the supply."""
    rows = circuits_of(flows_of("bakery"))
    assert {id_ for id_, row in rows.items() if row["backed up"] == "yes"} == {"BB.1", "BB.2", "BB.3", "BB.4"}
    assert {row["backed up"] for id_, row in rows.items() if id_.startswith("MSB.")} == {"no"}


def test_each_cable_has_the_sizes_status_and_circuit_of_the_file(flows: Flows) -> None:
    circuits = {item.id: c.id for c in flows.objects.values() if isinstance(c, Circuit) for item in c.in_line}
    for row in listed("cables", flows):
        cable = flows.objects[row["id"]]
        part = cable.runs[int(row["part"]) - 1]
        assert (number(row["size [mm²]"]), int(row["cores"]), number(row["earth core [mm²]"])) == (part.area, part.cores[0], part.cores[1])
        assert (row["status"], int(row["in parallel"]), number(row["length [m]"])) == (cable.status, part.parallel, near(part.length))
        assert cable.id not in circuits or row["circuit"] == circuits[cable.id]


def test_lengths_to_order_are_those_of_new_cable_with_the_allowance(flows: Flows) -> None:
    makes: dict[tuple[Any, ...], float] = defaultdict(float)
    for cable in (o for o in flows.objects.values() if isinstance(o, Cable) and o.status == "new" and o.owner == "customer"):
        direct = any(data["layer"] == "dc" and data["obj"].run is cable for _, _, data in flows.graph.edges(data=True))
        for part in cable.runs:
            makes[part.area, part.cores, part.material, str(part.insulation), direct] += part.parallel * part.length
    more = 1.1 if flows.site.ordering else 1.0
    ordered = [float(r["to order [m]"]) for r in listed("cables", flows) if r["to order [m]"]]
    assert sorted(ordered) == pytest.approx(sorted(more * length for length in makes.values()))


def test_a_cable_is_drawn_between_the_devices_that_the_schedule_gives(flows: Flows) -> None:
    """From and to are ends of its wire on the drawing; a sensor or ferrite that the cable goes through stands between."""
    scene = DIAGRAMS["single-line"](flows)
    assert scene is not None
    wires: dict[str, set[str]] = defaultdict(set)
    for sheet in json.loads(scene_json(scene))["sheets"]:
        owner = {symbol["id"]: symbol["object"] for symbol in sheet["symbols"]}
        for wire in sheet["wires"]:
            wires[wire["object"]] |= {owner.get(end, end) for end in wire["ends"]}
    through = {n for n, obj in flows.graph.nodes(data="obj") if isinstance(obj, CurrentTransformer) or obj.word in ("filter", "further pass")}
    compared = 0
    for row in listed("cables", flows):
        ends = wires.get(row["id"], set())
        if len(ends) == 2 and not ends & through and {row["from"], row["to"]} <= set(flows.graph) and "." not in row["from"] + row["to"]:
            assert ends == {row["from"], row["to"]}, row["id"]
            compared += 1
    assert compared


def test_equipment_has_the_number_place_energy_and_power_of_the_file(flows: Flows) -> None:
    for row in listed("equipment", flows):
        obj = flows.objects.get(row["id"])
        if row["id"] in flows.graph:
            assert row["location"] == (flows.home(row["id"]) or "")
        if isinstance(obj, ModuleInverters | Storage):
            kind = flows.types[obj.type_.id]
            assert int(row["quantity"]) == (obj.number if isinstance(obj, ModuleInverters) else 1)
            assert number(row["power each [kVA]"]) == near(kind.power / 1000)
            assert number(row["energy each [kWh]"]) == near(kind.energy / 1000 if isinstance(obj, Storage) else None)


def test_articles_are_summed_by_what_is_done_with_them(flows: Flows) -> None:
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for row in listed("equipment", flows):
        sums[row["tender"]][0] += int(row["quantity"])
        sums[row["tender"]][1] += int(row["total of this article"] or 0)
    assert sums and all(pieces == totals for pieces, totals in sums.values())


def test_powers_of_one_piece_times_their_count_are_the_nameplates_of_the_summary(flows: Flows) -> None:
    rows = [r for r in listed("connection", flows) if r["count"] and isinstance(flows.objects.get(r["id"]), ModuleInverters | Storage)]
    assert {r["id"] for r in rows} == {o.id for o in flows.objects.values() if isinstance(o, ModuleInverters | Storage)}
    for row in rows:
        assert int(row["count"]) * float(row["nameplate each [kVA]"]) == pytest.approx(float(row["nameplate [kVA]"]))


def source_circuits(flows: Flows, circuits: Any, statuses: tuple[str, ...]) -> list[str]:
    """Circuits on a board that lead to a source, itself or on their local bar; each is one connection. A generator takes over and is none."""
    def leads(circuit: Circuit) -> bool:
        end = flows.objects.get(getattr(circuit.feeds, "id", "").partition(".")[0])
        return isinstance(end, Source) and end.status in statuses and not end.word.startswith("generator") or any(map(leads, circuit.circuits or ()))
    return [circuit.id for circuit in circuits if leads(circuit)]


@pytest.mark.parametrize("section", ["existing sources", "new sources", "all sources"])
def test_the_summary_counts_the_circuits_that_lead_to_sources(flows: Flows, section: str) -> None:
    statuses = {"existing sources": ("existing",), "new sources": ("new",), "all sources": ("existing", "new")}[section]
    found = [id_ for o in flows.objects.values() if isinstance(o, Board) for id_ in source_circuits(flows, o.circuits, statuses)]
    row = next(r for r in listed("connection", flows) if r["section"] == section and r["item"] == "sum")
    assert int(row["answer"].split()[0]) == len(found)
    parallel = [o for o in flows.objects.values() if isinstance(o, Source) and o.status in statuses and not o.word.startswith("generator")]
    assert int(row["count"]) == sum(o.number if isinstance(o, ModuleInverters) else 1 for o in parallel)


def test_the_widest_difference_between_phases_is_between_the_fullest_and_the_emptiest() -> None:
    rows = [r for r in listed("connection", flows_of((16, 90, 3))) if r["section"] == "all sources"]
    total = next(r for r in rows if r["item"] == "sum")
    phases = [float(total[f"nameplate on L{n} [kVA]"] or 0) for n in (1, 2, 3)]
    wide = next(r for r in rows if r["item"] == "largest difference between two phases, nameplate")
    assert float(wide["nameplate [kVA]"]) == pytest.approx(max(phases) - min(phases))


@pytest.mark.parametrize("name", list(SCHEDULES))
def test_csv_and_workbook_have_every_row_and_column_of_the_table(flows: Flows, name: str) -> None:
    table = SCHEDULES[name](flows)
    lines = list(csv.reader(io.StringIO(render(flows, ["csv"])[f"{name}.csv"].decode(), newline="")))
    assert lines[0] == [column.title for column in table.columns]
    assert [line[0] for line in lines[1:]] == [row.id for row in table.rows]
    for line, row in zip(lines[1:], table.rows, strict=True):
        for column, cell, text in zip(table.columns, row.cells, line, strict=True):
            if isinstance(cell, int | float):
                digits = 6 if column.digits is None else column.digits
                number = cell * 10.0**column.shift
                assert float(text) == pytest.approx(number, abs=0.6 * 10.0**-digits, rel=5e-4 if abs(number) >= 100 else 0)  # from 100 on four figures


def test_the_workbook_cuts_no_text(flows: Flows) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook(flows)))
    for make in SCHEDULES.values():
        table = make(flows)
        for texts, cells in zip(table.texts(), book[table.title[:31]].iter_rows(min_row=2, values_only=True), strict=True):
            assert [t for t, c in zip(texts, cells, strict=True) if isinstance(c, str) and t != c.removeprefix("'")] == []


@cache
def workbook(flows: Flows) -> bytes:
    return render(flows, ["xlsx"])[WORKBOOK]
