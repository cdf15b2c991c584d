# SPDX-License-Identifier: MIT
"""Sensor diagram: each current transformer on its conductor, with its direction, its lead, and the input that reads it."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Joint, Link, Pass
from topology.kinds import Said
from topology.quantity import show_quantity
from topology.site import Controller, CurrentTransformer, Input, LeadPart

from sld.called import called
from sld.line_pens import line_states
from sld.paging import paged
from sld.pens import pen_as, pen_of
from sld.power_graph import power_forest
from sld.primitives import Scene
from sld.sensor_columns import Column, Reader, columns_drawn
from sld.sheet_info import sheet_info
from sld.words import given

__all__ = ["sensor_diagram"]

FEW, MANY = 4, 8  # sensors side by side on A3 beside the title block, and above it
NOTES = ("The arrow of a current transformer points from P1 to P2.",
         "The reference is the phase whose voltage the controller uses with this input.",
         "Cores S1 and S2 of a lead end at S1 and S2 of its input; the marks on the equipment prevail.",
         "Fit sensors and lay their leads with every source isolated and proved dead.")


def sensor_diagram(flows: Flows) -> Scene | None:
    """The sensor diagram of a site: a group for each controller that reads sensors, then what nothing reads; None without sensors."""
    groups = [(reader, columns) for reader, columns in _groups(flows) if columns]
    if not groups:
        return None
    info = sheet_info(flows, "Sensor diagram", power=False)
    few, many = ([columns_drawn(*part) for group in groups for part in _parts(*group, most)] for most in (FEW, MANY))
    return paged("sensors", replace(info, notes=(*info.notes, *NOTES)), few, [many])


def _parts(reader: Reader, columns: Sequence[Column], most: int) -> Iterator[tuple[Reader, Sequence[Column]]]:
    """A controller with many inputs is drawn in several parts."""
    parts = ceil(len(columns) / most)
    size = ceil(len(columns) / parts)  # none of them nearly empty
    for number in range(parts):
        part = f" ({number + 1} of {parts})" if parts > 1 else ""
        shown = replace(reader, lines=(reader.lines[0] + part, *reader.lines[1:]))
        shown = shown if number == 0 or not reader.id else replace(shown, id=f"{reader.id}.part{number + 1}")
        yield shown, columns[size * number:size * (number + 1)]


def _groups(flows: Flows) -> Iterator[tuple[Reader, list[Column]]]:
    """Controllers in the order of the file, each with its inputs; then what is read by none."""
    used: set[str] = set()
    for controller in (o for o in flows.objects.values() if isinstance(o, Controller)):
        found = []
        for name, given_input in (controller.inputs.items() if isinstance(controller.inputs, dict) else ()):
            found += list(_input(flows, controller, name, given_input, used))
        yield Reader(controller.id, controller.id, _reader_lines(flows, controller), pen_of(controller)), found
    rest = [o for o in flows.objects.values() if isinstance(o, CurrentTransformer) and o.id in flows.graph and o.id not in used]
    yield Reader("", "", ("Sensors that no controller reads",)), [c for sensor in rest for c in _columns(flows, sensor, used)]


def _reader_lines(flows: Flows, controller: Controller) -> tuple[str, ...]:
    place = flows.home(controller.id) if controller.id in flows.graph else None
    name = str(controller.name) if given(controller.name) else str(controller.kind)
    return (controller.id, f"{name}, in {place}" if place else name)


def _input(flows: Flows, controller: Controller, name: str, said: Any, used: set[str]) -> Iterator[Column]:
    """The columns of an input: its sensor, with further ones where its core goes round further conductors."""
    sensor = flows.objects.get(said.sensor.id) if isinstance(said, Input) and isinstance(said.sensor, Said) else None
    reference = f"reference {said.reference if isinstance(said, Input) and isinstance(said.reference, str) else 'TBC'}"
    if not isinstance(sensor, CurrentTransformer) or sensor.id not in flows.graph:
        yield Column(f"{controller.id}.{name}", controller.id, "", input=f"input {name}", reference=f"sensor TBC, {reference}")
        return
    first, *passes = _columns(flows, sensor, used)
    key = next((link.id for link in _leads(flows, sensor.id) if link.ports[1] == name and link.run is said), f"{first.id}.lead")
    yield replace(first, link=key, lead=_lead_lines(sensor), input=f"input {name}", reference=reference)
    yield from passes


def _leads(flows: Flows, sensor: str) -> list[Link]:
    return [data["obj"] for _, _, data in flows.graph.out_edges(sensor, data=True) if data["layer"] == "lead"]


def _columns(flows: Flows, sensor: CurrentTransformer, used: set[str]) -> list[Column]:
    """A column for each place at which the core goes round a conductor. A sensor that was drawn already gets ids of its own."""
    again = sum(name.split("/")[0] == sensor.id for name in used)
    used.add(f"{sensor.id}/{again}" if again else sensor.id)
    phase = " ".join(sensor.phase) if isinstance(sensor.phase, tuple) else "TBC"
    found = []
    for node in flows.places(sensor):
        is_pass = isinstance(flows.obj(node), Pass)
        lines = (sensor.id, "further pass of the same core") if is_pass else _sensor_lines(flows, sensor)
        name = f"{node}.reading{again + 1}" if again else node
        found.append(Column(name, sensor.id, _kind(sensor), lines, phase, _beside(flows, node, up=True), _beside(flows, node, up=False),
                            pen_of(sensor), pen_as(_states(flows).get(node, ""))))
    return found


def _states(flows: Flows) -> dict[str, str]:
    """The status of the conductor at each device, found once."""
    if "line states" not in flows.memo:
        flows.memo["line states"] = line_states(flows, power_forest(flows))
    found: dict[str, str] = flows.memo["line states"]
    return found


def _kind(sensor: CurrentTransformer) -> str:
    """The kind of symbol, by the side that P1 faces."""
    return {"to supply": "ct-p1-up", "to load": "ct-p1-down"}.get(sensor.P1 if isinstance(sensor.P1, str) else "", "ct")


def _sensor_lines(flows: Flows, sensor: CurrentTransformer) -> tuple[str, ...]:
    """What stands beside a sensor."""
    lines = [sensor.id, *([str(sensor.name)] if given(sensor.name) else []), f"measures {sensor.measures}"]
    if given(sensor.primary) or given(sensor.secondary):
        primary = "TBC" if isinstance(sensor.primary, Unknown) else show_quantity(sensor.primary, "A")
        lines.append(f"{primary} / {sensor.secondary}")
    lines.append(f"P1 {sensor.P1}" if isinstance(sensor.P1, str) else "P1: TBC")
    place = flows.home(sensor.id)
    return (*lines, f"in {place}") if place else tuple(lines)


def _lead_lines(sensor: CurrentTransformer) -> tuple[str, ...]:
    """The pieces of a lead from the sensor on, and their sum where there are several."""
    if isinstance(sensor.lead, Unknown):
        return ("lead TBC",)
    lines = [f"{'lead' if number == 0 else 'then'} {_piece(part)}" for number, part in enumerate(sensor.lead)]
    lengths = [part.length for part in sensor.lead if isinstance(part, LeadPart)]
    if len(lines) > 1 and all(isinstance(length, float) for length in lengths):
        lines.append(f"in all {show_quantity(round(sum(lengths), 3), 'm')}")
    return tuple(lines)


def _piece(part: Any) -> str:
    if not isinstance(part, LeadPart):
        return "TBC"
    words = ["TBC" if isinstance(part.length, Unknown) else show_quantity(part.length, "m")]
    words += list(part.make) if isinstance(part.make, tuple) else ["make TBC"]
    words += [show_quantity(part.area, "mm2")] if isinstance(part.area, float) else ["TBC"] if part.area.given else []
    return " ".join(words)


def _beside(flows: Flows, node: str, up: bool) -> str:
    """What stands next on the conductor, past other sensors and joints."""
    found: list[str] = []
    todo = [node]
    while todo:
        here = todo.pop()
        edges = flows.graph.in_edges(here, data="layer") if up else flows.graph.out_edges(here, data="layer")
        for u, v, layer in edges:
            other = u if up else v
            if layer == "power" and isinstance(flows.obj(other), CurrentTransformer | Pass | Joint):
                todo.append(other)
            elif layer == "power":
                found.append(other)
    return ", ".join(dict.fromkeys(called(flows, other) for other in found)) or "TBC"
