# SPDX-License-Identifier: MIT
"""The published list of what a technical diagram must show, ticked item by item on gallery drawings by their own objects.

Source: Western Power, page on technical diagrams for embedded generation (the operator's complete list, paraphrased): wiring from the point
of supply to every inverter and where the load connects; the operator's meter; the main switch as a circuit-breaker rated to the supply
allocation; private meters; distribution boards; loads; inverters new and existing; energy sources; communications, control and monitoring;
protective devices; size and length of cables; operating philosophy; with limited generation also the sensors with their phases, and the
link between them and the battery.
"""
from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import networkx as nx
import pytest
from sld.scene_json import scene_json
from sld.single_line import single_line
from sld.svg import svg
from topology.flow import Flows
from topology.read import read_file
from topology.site import (Board, Breaker, Bus, Cable, Controller, CurrentTransformer, Device, Inverter, Load, Meter, ModuleInverters, Rcbo, Rcd,
                           Storage)

GALLERY = Path(__file__).parents[1] / "gallery"
SVG = "{http://www.w3.org/2000/svg}"


class Shown:
    """A drawing as files: the Scene's symbols and wires, the SVG's groups and words."""

    def __init__(self, name: str) -> None:
        self.flows = Flows(read_file(GALLERY / name / "site.yaml"))
        scene = single_line(self.flows)
        sheets = json.loads(scene_json(scene))["sheets"]
        self.symbols = [item for sheet in sheets for item in sheet["symbols"]]
        self.wires = [item for sheet in sheets for item in sheet["wires"]]
        self.legends = {placed.symbol.legend for sheet in scene.sheets for placed in sheet.symbols}
        self.widths = {wire.object: wire.pen.width for sheet in scene.sheets for wire in sheet.wires if wire.kind == "power"}
        self.areas = {item["object"] for sheet in sheets for item in sheet["areas"]}
        roots = [ElementTree.fromstring(svg(sheet, scene)) for sheet in scene.sheets]
        self.groups = [group for root in roots for group in root.iter(f"{SVG}g") if group.get("data-id")]
        self.words = " ".join(text.text or "" for root in roots for text in root.iter(f"{SVG}text"))

    def all(self, *kinds: type) -> list[Any]:
        return [obj for obj in self.flows.objects.values() if isinstance(obj, kinds)]

    def text(self, object_: str) -> str:
        """What the SVG writes in the groups of an object's labels."""
        groups = [g for g in self.groups if g.get("data-id") == object_ and g.get("class") == "label"]
        return " ".join(text.text or "" for group in groups for text in group.iter(f"{SVG}text"))

    def kinds(self, object_: str) -> set[str]:
        return {symbol["kind"] for symbol in self.symbols if symbol["object"] == object_}

    def joined(self, *kinds: str) -> nx.Graph:
        """Objects that wires of these kinds join."""
        objects = {symbol["id"]: symbol["object"] for symbol in self.symbols}
        graph = nx.Graph()
        for wire in self.wires:
            if wire["kind"] in kinds:
                ends = [objects[end] for end in wire["ends"] if end in objects]
                nx.add_path(graph, ends)
        return graph


@pytest.fixture(scope="module", params=["boathouse", "cottage"])
def shown(request: pytest.FixtureRequest) -> Shown:
    return Shown(request.param)


def test_wiring_leads_from_the_point_of_supply_to_every_inverter_and_to_where_the_load_connects(shown: Shown) -> None:
    joined = shown.joined("power")
    reached = nx.node_connected_component(joined, shown.flows.root)
    sources, loads = set(shown.flows.sources), {load.id for load in shown.all(Load)}
    assert sources and loads and sources | loads <= reached


def test_the_operators_meter_is_drawn_with_its_number_and_said_to_be_the_distributors(shown: Shown) -> None:
    meters = [meter for meter in shown.all(Meter) if meter.owner == "distributor"]
    assert meters
    for meter in meters:
        assert shown.kinds(meter.id) == {"meter-both"}
        assert meter.number in shown.text(meter.id) and "distributor's" in shown.text(meter.id)


def test_the_main_switch_is_a_circuit_breaker_rated_to_the_supply_allocation() -> None:
    shown = Shown("boathouse")  # the gallery's other sites have a switch as they were found
    supply = shown.flows.site.supply
    main = [item for item in supply.in_line if isinstance(item, Breaker)][-1]
    assert shown.kinds(main.id) == {"breaker"} and "Main switch" in shown.text(main.id)
    assert re.search(rf"allocation {supply.allocation:g} A\b", shown.text(supply.id))
    assert re.search(rf"\b{supply.allocation:g} A\b", shown.text(main.id))


def test_every_private_meter_is_drawn(shown: Shown) -> None:
    assert all(shown.kinds(meter.id) for meter in shown.all(Meter))


def test_every_distribution_board_is_drawn_with_its_name_and_the_rating_of_its_busbar(shown: Shown) -> None:
    for board in shown.all(Board):
        assert board.id in shown.areas and "busbar" in shown.kinds(board.id)
        assert str(board.name) in shown.text(board.id) and f"{board.busbar:g} A" in shown.text(board.id)


def test_every_load_is_drawn_with_its_kind_and_power(shown: Shown) -> None:
    for load in shown.all(Load):
        assert shown.kinds(load.id) and str(load.kind) in shown.text(load.id) and re.search(r"\d k?W", shown.text(load.id))


def test_every_inverter_new_or_existing_is_drawn_so_with_type_number_power_and_phase(shown: Shown) -> None:
    # new thick, existing thin: widths of the line group 0.5 after ISO 128 (second-hand)
    for source in shown.all(Inverter, ModuleInverters, Storage):
        text = shown.text(source.id)
        assert str(source.type_) in text and re.search(r"\d k?VA on L1", text)
        assert f"{source.number} ×" in text if isinstance(source, ModuleInverters) else True
        group = next(g for g in shown.groups if g.get("data-id") == source.id and g.get("class") == "symbol")
        use = group.find(f"{SVG}use")
        assert use is not None and float(use.get("stroke-width", "0")) == {"new": 0.5, "existing": 0.25}[source.status]


def test_every_energy_source_is_drawn_or_written(shown: Shown) -> None:
    for source in shown.all(Inverter, ModuleInverters, Storage):
        arrays = source.arrays if isinstance(source, Inverter) else ()
        for array in arrays:
            beside = shown.text(array.id) if shown.kinds(array.id) == {"array"} else shown.text(source.id)
            assert array.id in beside and f"{array.modules} modules" in beside and re.search(r"\d kW", beside)
        if not isinstance(source, Inverter):
            assert shown.kinds(source.id) - {"terminator"} == {"storage" if isinstance(source, Storage) else "module-inverters"}
        if isinstance(source, Storage):
            assert re.search(r"\d kWh", shown.text(source.id))


def test_communications_control_and_monitoring_equipment_is_drawn_and_joined(shown: Shown) -> None:
    buses = shown.joined("bus", "lead")
    for controller in shown.all(Controller):
        assert shown.kinds(controller.id) and controller.id in buses
    for bus in shown.all(Bus):
        assert set(shown.flows.bus_shape(bus).devices) <= set(buses)
        assert any(str(bus.name) in shown.text(segment.id) for segment in bus.segments)


def test_every_protective_device_is_drawn_with_rating_and_poles(shown: Shown) -> None:
    for device in shown.all(Device):
        text = shown.text(device.id)
        assert shown.kinds(device.id) and re.search(r"\d A\b", text), device.id
        assert re.search(r"\b[1-4]P\b", text) or not hasattr(device, "poles"), device.id
        if isinstance(device, Breaker | Rcbo):
            assert re.search(rf"\b{device.curve} {device.breaking / 1000:g} kA\b", text), device.id
        if isinstance(device, Rcd | Rcbo):
            assert f"{device.residual * 1000:g} mA type {device.type_}" in text, device.id


def test_every_cable_is_drawn_with_size_and_length(shown: Shown) -> None:
    for cable in shown.all(Cable):
        owner = next((o for o in shown.all(ModuleInverters) if o.trunk is cable), None)
        array = any(cable in a.in_line for inverter in shown.all(Inverter) for a in inverter.arrays)
        text = shown.text(owner.id if owner else cable.id)
        for run in cable.runs:
            assert array or (re.search(rf"\b{run.area:g} mm²", text) and re.search(rf"\b{run.length:g} m\b", text)), cable.id


def test_every_cable_bears_its_conductors_and_is_thin_or_thick_as_it_is_there_or_new(shown: Shown) -> None:
    # IEC 61082 (second-hand) writes the conductors of a line as phases/N/PE; widths of the line group 0.5 after ISO 128 (second-hand)
    owned = {cable for inverter in shown.all(ModuleInverters) for cable in (inverter.trunk,)}
    cables = [cable for cable in shown.all(Cable) if cable.id in shown.widths and cable not in owned]
    assert len({cable.status for cable in cables}) > 1
    for cable in cables:
        assert re.search(r"\b[123]/(N/PE|PEN|PE|N)\b|\bDC\b", shown.text(cable.id)), cable.id
        assert shown.widths[cable.id] == {"new": 0.5, "existing": 0.25}[cable.status], cable.id


def test_the_operating_philosophy_is_written(shown: Shown) -> None:
    for words in (f"Operation: {shown.flows.site.operation.mode}", "not charged from the grid", "No backup", "internet connection"):
        assert words in shown.words


def test_sensors_are_drawn_where_they_measure_with_their_phases_and_the_input_they_lead_to(shown: Shown) -> None:
    powered = shown.joined("power")
    for sensor in shown.all(CurrentTransformer):
        text = shown.text(sensor.id)
        assert sensor.id in powered and f"{sensor.measures} {' '.join(sensor.phase)}" in text and re.search(r"to GW1:\d", text)


def test_the_link_between_the_measuring_device_and_the_battery_is_drawn_and_written(shown: Shown) -> None:
    joined = shown.joined("bus", "lead")
    for storage in shown.all(Storage):
        assert nx.has_path(joined, "GW1", storage.id)
    assert re.search(r"GW1 reads CT1 \(grid, L1\)", shown.words) and "is joined by Control bus to BAT1" in shown.words


def test_generation_limit_export_limit_and_nameplate_are_three_numbers(shown: Shown) -> None:
    # Western Power (distinct limits) and the published example of another operator: nameplate, generation limit and export limit differ
    limits = shown.flows.site.limits
    assert re.search(rf"generation {limits.generation / 1000:g} kVA; export {limits.export / 1000:g} kW", shown.words)
    assert "Nameplate in parallel [kVA]" in shown.words and "Limited by software [kVA]" in shown.words
    assert "measured by CT1 (grid, L1)" in shown.words


def test_every_symbol_is_explained_and_the_caution_stands_on_the_drawing(shown: Shown) -> None:
    for legend in shown.legends:
        assert legend.split()[0] in shown.words
    assert "prove dead at each" in shown.words and "NOT FOR ENERGISING" in shown.words
