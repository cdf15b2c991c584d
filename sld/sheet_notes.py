# SPDX-License-Identifier: MIT
"""The notes on a sheet: the supply, how the system is run, who measures and controls what, and which limits were set."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.limits import limits_said
from topology.report import STAYS, can_be_accepted
from topology.site import Acceptance, Board, Bus, Controller, Limits, ModuleInverters
from topology.stated import stated_words
from topology.totals import at_supply, per_phase, source_shares

from sld.earthing_notes import earthing_notes
from sld.facts import amount, fact, stated
from sld.sheet_totals import phases_on_site

__all__ = ["backed_up", "limit_lines", "notes", "supply_words"]

STRUCTURED = "Designations after IEC 81346: function (=), location (+), product (-); in brackets the designation in the schedules."
LIMITS = (("nameplate", "VA"), ("generation", "VA"), ("export", "W"))
CHARGE = {"True": "Storage may be charged from the grid.", "False": "Storage is not charged from the grid."}
BACKUP = {"none": "No backup: nothing is supplied while the grid is lost.",
          "part": "Backup: a part of the installation is supplied while the grid is lost.",
          "whole": "Backup: the whole installation is supplied while the grid is lost."}
INTERNET = {"True": "The system has an internet connection.", "False": "The system has no internet connection."}


def notes(flows: Flows, power: bool, control: bool = True) -> tuple[str, ...]:
    """Notes of a sheet in order, those of the user last.

    power   : with what belongs to a single-line diagram
    control : with what each controller reads and drives
    """
    drawing = flows.site.drawing
    own = [] if isinstance(drawing, Unknown) or isinstance(drawing.notes, Unknown) else [str(note) for note in drawing.notes]
    ways = ["A number before a circuit's name is its way on the board."] if power else []
    structured = fact(flows.site, "drawing", "designations") == "iec81346" and power
    supply = (*_supply(flows), *earthing_notes(flows), *_several(flows), *_operation(flows)) if power else ()
    return (*ways, *([STRUCTURED] if structured else []), *supply, *_stated(flows), *(_control(flows) if control else ()), *_decisions(flows), *own)


def _stated(flows: Flows) -> Iterator[str]:
    """The general note that the site file itself gives."""
    if words := list(stated_words(flows.site.unless_stated)):
        yield f"Unless stated otherwise, {'; '.join(words)}."


def _decisions(flows: Flows) -> Iterator[str]:
    """Limits that licensed persons set for this site, and findings that they accepted, with the reason."""
    yield from (f"{said[0].upper()}{said[1:]}." for said in limits_said(flows.profiles))
    for a in flows.site.accept if isinstance(flows.site.accept, tuple) else ():
        if isinstance(a, Acceptance):
            danger = "" if can_be_accepted(str(a.rule)) else f"; {STAYS}"
            yield f"Accepted: {a.rule} of {a.object}: {a.reason} ({a.by}, {a.role}, {a.date}){danger}."


def supply_words(flows: Flows) -> str:
    """The system of supply as IEC 61082 writes it: 3/N/PE AC 50 Hz 230/400 V."""
    system = getattr(flows.site.supply, "system", None)
    if system is None or isinstance(system, Unknown):
        return "TBC"
    voltage = "TBC" if isinstance(system.voltage, Unknown) else "/".join(f"{volts:g}" for volts in system.voltage) + " V"
    frequency = "TBC" if isinstance(system.frequency, Unknown) else f"{system.frequency:g} Hz"
    code = "TBC" if isinstance(system.code, Unknown) else f"{system.code[0]}/{system.code[1]}"
    return f"{code} AC {frequency} {voltage}"


def _supply(flows: Flows) -> Iterator[str]:
    supply = flows.site.supply
    if isinstance(supply, Unknown):
        yield "Supply: TBC."
        return
    largest, loop = (fact(supply.faults, name) or "TBC" for name in ("largest", "loop"))
    yield f"Supply {supply_words(flows)}. Largest prospective fault current: {largest}. Earth-fault loop impedance: {loop}."


def _several(flows: Flows) -> Iterator[str]:
    """The boards to which sources are connected directly: several supplies meet there."""
    boards: dict[str, list[str]] = {}
    for share in source_shares(flows):
        above = flows.upstream_to_bar(share.id)
        if above and isinstance(flows.obj(above[-1]), Board):
            boards.setdefault(above[-1], []).append(share.id)
    if boards:
        meet = "; ".join(f"{board} ({', '.join(sources)})" for board, sources in boards.items())
        yield f"Several supplies meet at {meet}: labels and signs as the label schedule has them."


def _operation(flows: Flows) -> Iterator[str]:
    """The operating philosophy in sentences."""
    run = flows.site.operation
    if not flows.sources and isinstance(run, Unknown):
        return
    said = {name: fact(run, name) for name in ("mode", "charge_from_grid", "backup", "internet")}
    sentences = ["Operation, charging from the grid, backup and internet connection: TBC."] if not any(said.values()) else [
        f"Operation: {said['mode'] or 'TBC'}.", CHARGE.get(said["charge_from_grid"], "Charging from the grid: TBC."),
        BACKUP.get(said["backup"], "Backup: TBC."), INTERNET.get(said["internet"], "Internet connection: TBC.")]
    if boards := backed_up(flows):
        sentences.append(f"Live without the grid: {', '.join(boards)}.")
    yield " ".join(sentences)


def backed_up(flows: Flows) -> tuple[str, ...]:
    """The boards that are under voltage while the grid is lost."""
    lost = flows.modes[1]
    boards = (node for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Board))
    return tuple(node for node in boards if any(flows.live(node, phase, lost) for phase in (conductors.L1, conductors.L2, conductors.L3)))


def _control(flows: Flows) -> Iterator[str]:
    """Each controller with its sensors, and what it controls over which bus."""
    for controller in (o for o in flows.objects.values() if isinstance(o, Controller)):
        parts = []
        if sensors := [_sensor(flows, given) for given in controller.inputs.values()] if isinstance(controller.inputs, dict) else []:
            parts.append(f"reads {', '.join(sensors)}")
        for bus in _buses(flows, controller.id):
            devices = [node for node in flows.bus_shape(bus).devices if node not in _joined_to(flows, controller.id)]
            name = fact(bus, "name") or f"bus {bus.id}"
            parts.append(f"is joined by {name} to {', '.join(devices)}")
        if parts and not isinstance(controller.joined_to, Said):
            yield f"{controller.id} {' and '.join(parts)}."


def _sensor(flows: Flows, given: object) -> str:
    """A sensor with what it measures and its phase: CT1 (grid, L1)."""
    said = getattr(given, "sensor", None)
    sensor = flows.objects.get(said.id) if isinstance(said, Said) else None
    if sensor is None:
        return "TBC"
    phase = " ".join(sensor.phase) if isinstance(sensor.phase, tuple) else "TBC"
    return f"{sensor.id} ({fact(sensor, 'measures') or 'TBC'}, {phase})"


def _joined_to(flows: Flows, controller: str) -> set[str]:
    """A controller and the adapters that are joined to it."""
    adapters = (o for o in flows.objects.values() if isinstance(o, Controller) and isinstance(o.joined_to, Said))
    return {controller, *(o.id for o in adapters if o.joined_to is not None and o.joined_to.id == controller)}


def _buses(flows: Flows, controller: str) -> list[Bus]:
    own = _joined_to(flows, controller)
    return [bus for bus in flows.objects.values() if isinstance(bus, Bus) and own & set(flows.bus_shape(bus).devices)]


def limit_lines(flows: Flows) -> tuple[str, ...]:
    """Nameplate, generation and export are three limits, each is named; then who keeps the export limit, by which sensor; counts."""
    if not flows.sources:
        return ()
    limits = flows.site.limits
    if not isinstance(limits, Limits):
        return ("Limits of nameplate, generation and export: none stated.", _counted(flows))
    amounts = (f"{name} {stated(getattr(limits, name), unit)}" for name, unit in LIMITS)
    lines = [f"Limits: {'; '.join(amounts)}."]
    if not isinstance(limits.export, Unknown) or limits.export.given:
        lines.append(_enforced(flows, limits))
    several = len(phases_on_site(flows, source_shares(flows))) > 1
    if several or not isinstance(limits.phase_difference, Unknown) or limits.phase_difference.given:
        lines.append(f"Difference between phases: nameplate {_difference(flows)}; limit {stated(limits.phase_difference, 'VA')}.")
    return (*lines, _counted(flows))


def _enforced(flows: Flows, limits: Limits) -> str:
    by = limits.enforced_by.id if isinstance(limits.enforced_by, Said) else "TBC"
    inputs = getattr(flows.objects.get(by), "inputs", None)
    sensors = [words for given in inputs.values() if "(grid" in (words := _sensor(flows, given))] if isinstance(inputs, dict) else []
    return f"Export is limited by {by}, measured by {', '.join(sensors) or 'TBC'}."


def _nameplate(flows: Flows) -> dict[str, float | None]:
    return per_phase([share for share in source_shares(flows) if share.group != "generator"], "nameplate")


def _difference(flows: Flows) -> str:
    """Between the phase with most and the phase with least nameplate power; phases of the supply without any source count as 0."""
    sums = {**dict.fromkeys(conductors.phase_names(at_supply(flows)), 0.0), **_nameplate(flows)}
    known = [value for value in sums.values() if value is not None]
    return "TBC" if len(known) < len(sums) or not sums else amount(round(max(known) - min(known), 1), "VA")


def _counted(flows: Flows) -> str:
    """How many sources of each kind there are."""
    counts: Counter[str] = Counter()
    for share in source_shares(flows):
        obj = flows.objects[share.id]
        number = obj.number if isinstance(obj, ModuleInverters) else 1
        counts[str(obj.word)] += number if isinstance(number, int) else 0
    words = [f"{number} {word if number == 1 or word.endswith('s') else word + 's'}" for word, number in counts.items()]
    return f"Sources on site: {', '.join(words)}." if words else "Sources on site: none."
