# SPDX-License-Identifier: MIT
"""What the drawing writes beside an object: its designation and its ratings, TBC where they are not known."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from topology.errors import Unknown
from topology.fields import Field, fields_of
from topology.flow import Flows
from topology.graph import Bar, Joint, Pass
from topology.kinds import Said
from topology.site import (Array, Battery, Board, Cable, CablePart, Changeover, Circuit, Controller, Coupler, CurrentTransformer,
                           DisconnectionDevice, Equipment, Generator, HybridInverter, Inlet, InterfaceProtection, Inverter, Load, Meter,
                           ModuleInverters, NeutralEarthLink, Place, Rcbo, Rcd, Terminal, Thing)

from sld.called import in_words
from sld.designations import Designations, designations
from sld.facts import amount, fact, named
from sld.sheet_notes import backed_up, supply_words

__all__ = ["Words", "given", "ratings", "setting_lines"]

OWNERS = {"distributor": "distributor's", "others": "others'"}
SHOWN_STATUS = ("new", "altered", "relocated", "removed")


def given(value: Any) -> bool:
    """Whether a value says something: known, or known to be open (TBC), but not simply left out."""
    return value is not None and value != "" if not isinstance(value, Unknown) else value.given


def ratings(obj: Any, *names: str) -> str:
    """The short facts of an object as the trade writes them: 16 A 1P C 6 kA. The rating of a device is never left out.

    names : of the fields wanted, all if none is named. What is not known is TBC with its unit; where nothing is known, one TBC.
    """
    words: list[str] = []
    for f in fields_of(type(obj)):
        if f.short and (f.name in obj.marks or f.name == "rating") and (not names or f.name in names):
            value = getattr(obj, f.name)
            words.append(_open(f) if isinstance(value, Unknown) else f"{f.kind.before} {f.kind.show(value)}".strip())
    return "TBC" if words and all("TBC" in word for word in words) else " ".join(words).replace("TBC TBC", "TBC, TBC")


def _open(field: Field) -> str:
    """A value that is not known: a quantity keeps its unit, anything else its name, so that it is clear what is open."""
    if getattr(field.kind, "unit", ""):
        return f"TBC {field.kind.example.split()[-1]}"
    return f"{field.kind.before or field.what} TBC"


class Words:
    """The texts of a drawing of one site; each method gives one entry a line."""

    def __init__(self, flows: Flows) -> None:
        self.flows, self.types = flows, flows.types
        self.names: Designations = designations(flows)
        self.inputs = _inputs(flows)
        self.backed_up = frozenset(backed_up(flows))
        self.main_switches = frozenset(getattr(o.main_switch, "id", "") for o in flows.objects.values() if isinstance(o, Board))

    def cable(self, cable: Cable) -> tuple[str, ...]:
        """The cable's designation, then each of its parts."""
        name = self.names.of(cable)
        head = (name,) if name else ()
        if isinstance(cable.parts, Unknown):
            return (*head, "cable TBC")
        return (*head, *(_run_words(run) for run in cable.runs if isinstance(run, CablePart)))

    def circuit(self, circuit: Circuit) -> tuple[str, ...]:
        """Function where it is designated, way and name of a circuit."""
        way = f"{circuit.way}" if isinstance(circuit.way, tuple) else ""
        name = str(circuit.name) if given(circuit.name) else ""
        line = " ".join(word for word in (self.names.function(circuit), way, name) if word)
        return (*((line,) if line else ()), *_neutral_words(self.flows, circuit))

    def enclosure(self, obj: Board | Place | Thing) -> tuple[str, ...]:
        """Designation, name and status of a board or place, and whether it is live without the grid; the rating of a board's busbar."""
        said = [*([fact(obj, "status")] if fact(obj, "status") in SHOWN_STATUS else []), *(["backup"] if obj.id in self.backed_up else [])]
        status = f" ({', '.join(said)})" if said else ""
        words = f"{self.names.location(obj)} {obj.name if given(obj.name) else ''}".strip() + status
        if not isinstance(obj, Board):
            return (words,)
        return (f"{words}, {named(obj.busbar, 'A', 'busbar')}",)

    def supply(self) -> tuple[str, ...]:
        """The point of supply: system, allocation."""
        allocation = fact(self.flows.site.supply, "allocation")
        return ("Point of supply", supply_words(self.flows), f"allocation {float(allocation):g} A" if allocation else "allocation TBC")

    def device(self, obj: Any) -> tuple[str, ...]:
        """Designation and owner, name, facts."""
        if isinstance(obj, Board | Bar):
            return ()
        if isinstance(obj, Pass):
            return (f"{obj.core.id}, same core",)
        if isinstance(obj, Joint | Terminal):
            return (str(obj.name),) if given(obj.name) else ()
        owner = f" ({OWNERS[_said(obj, 'owner')]})" if _said(obj, "owner") in OWNERS else ""
        head = " ".join(word for word in (self.names.of(obj) + owner, _measured(obj)) if word).strip()
        name = [str(obj.name)] if isinstance(obj, Thing) and given(obj.name) else ["Main switch"] if obj.id in self.main_switches else []
        moved = ["relocated"] if _said(obj, "status") == "relocated" else []
        lines = ([head] if head else []) + name + moved + [line for line in self._facts(obj) if line]
        lines += setting_lines(obj)
        return tuple(lines) or (str(getattr(obj, "word", "")),)

    def _facts(self, obj: Any) -> Iterator[str]:
        for kind, facts in _FACTS.items():
            if isinstance(obj, kind):
                yield from facts(self, obj)
                return
        yield ratings(obj)

    def type_of(self, obj: Any) -> Any:
        """The type of an object; an Unknown that is not given where the file names none."""
        said = getattr(obj, "type_", None)
        return self.types.get(said.id) if isinstance(said, Said) else said

    def equipment(self, obj: Any) -> Iterator[str]:
        """Type, power with its phases, energy, trunk, what stands on the direct-current side."""
        kind = self.type_of(obj)
        yield named(obj.type_, "", "type")
        number = "TBC" if isinstance(getattr(obj, "number", None), Unknown) else getattr(obj, "number", "")
        count = f"{number} × " if isinstance(obj, ModuleInverters) else ""
        phase = f" on {' '.join(obj.phase)}" if isinstance(obj.phase, tuple) else ", phase TBC" if given(obj.phase) else ""
        yield f"{count}{named(getattr(kind, 'power', kind), 'VA', 'power') if kind is not None else 'power TBC'}{phase}"
        limit, energy = getattr(kind, "limit", None), getattr(kind, "energy", None)
        if given(limit):
            yield f"limited to {amount(limit, 'VA')}"
        if given(energy):
            yield named(energy, "Wh", "energy")
        if isinstance(obj, ModuleInverters) and isinstance(obj.trunk, Cable):
            yield " ".join(["trunk", *self.cable(obj.trunk)])
        for part in self.beyond(obj):
            yield ", ".join([f"{part.word} {self.names.of(part)}".strip(), *self.device(part)[1:]])

    def beyond(self, obj: Any) -> list[Array | Battery]:
        """Arrays and battery of an inverter."""
        arrays = getattr(obj, "arrays", ())
        found = [*(arrays if isinstance(arrays, tuple) else ()), getattr(obj, "battery", None)]
        return [part for part in found if isinstance(part, Array | Battery)]

    def array(self, obj: Array) -> Iterator[str]:
        """Power, modules, input."""
        yield named(obj.power, "W", "power")
        yield "" if not given(obj.modules) else f"{fact(obj, 'modules') or 'TBC'} modules"
        yield f"input {obj.input}" if given(obj.input) else ""

    def battery(self, obj: Battery) -> Iterator[str]:
        """Type and usable energy."""
        yield named(obj.type_, "", "type") if given(obj.type_) else ""
        yield named(obj.energy, "Wh", "energy")

    def sensor(self, obj: CurrentTransformer) -> Iterator[str]:
        """Ratio, the inputs that it is led to with the length of its lead."""
        if given(obj.primary):
            yield f"{amount(obj.primary, 'A')} / {obj.secondary}"
        ends = ", ".join(self.inputs.get(obj.id, ()))
        lengths = [part.length for part in obj.lead if not isinstance(part, Unknown)] if isinstance(obj.lead, tuple) else []
        known = [length for length in lengths if isinstance(length, float)]
        lead = "" if not lengths else f", {sum(known):g} m" if len(known) == len(lengths) else ", TBC"
        yield f"to {ends}{lead}" if ends else ""

    def meter(self, obj: Meter) -> Iterator[str]:
        """Number and directions."""
        yield f"No. {obj.number}" if given(obj.number) else ""
        direction = fact(obj, "direction")
        yield "import and export" if direction == "both" else direction or "direction TBC"

    def disconnection(self, obj: DisconnectionDevice) -> Iterator[str]:
        """Rating and poles, those of its type where it says nothing itself."""
        kind = self.type_of(obj)
        own = ratings(obj) if any(name in obj.marks for name in ("rating", "poles")) else ""
        of_type = [amount(kind.rating, "A"), str(kind.poles) if isinstance(kind.poles, str) else ""] if hasattr(kind, "rating") else ["TBC"]
        yield own or " ".join(of_type).strip()

    def link(self, obj: NeutralEarthLink) -> Iterator[str]:
        """The electrode, and when the link is closed."""
        electrode = obj.electrode
        yield f"electrode {ratings(electrode) or 'TBC'}" if given(electrode) and not isinstance(electrode, Unknown) else ""
        yield f"closed {obj.closed}" if fact(obj, "closed") == "in backup" else ""

    def ported(self, obj: Any) -> Iterator[str]:
        """How it is operated, rating, poles, power, phase, normal position."""
        yield " ".join(word for word in (fact(obj, name) for name in ("operated", "starts") if hasattr(obj, name)) if word)
        facts = [amount(getattr(obj, name), unit) for name, unit in (("rating", "A"), ("power", "VA")) if hasattr(obj, name)]
        facts += [fact(obj, "poles") or "poles TBC"] if hasattr(obj, "poles") else []
        facts += [" ".join(obj.phase)] if isinstance(getattr(obj, "phase", None), tuple) else []
        yield " ".join(facts)
        yield f"normally {obj.stands}" if isinstance(getattr(obj, "stands", None), str) else ""

    def residual(self, obj: Rcd | Rcbo) -> Iterator[str]:
        """What limits the current, then what answers to residual current."""
        yield ratings(obj, "rating", "poles", "curve", "breaking")
        yield ratings(obj, "residual", "type_") or "TBC"

    def load(self, obj: Load) -> Iterator[str]:
        """Kind and power; of a motor whose efficiency is said, the power of its shaft."""
        kind = fact(obj, "kind") or "load TBC"
        yield f"{'load' if kind == 'general' else kind} {amount(obj.power, 'W') if given(obj.power) else ''}".strip()
        yield "power at the shaft" if obj.efficiency is not None else ""

    def controller(self, obj: Controller) -> Iterator[str]:
        """Its kind."""
        yield fact(obj, "kind") or "controller"


_FACTS: dict[Any, Callable[[Words, Any], Iterator[str]]] = {
    Equipment: Words.equipment, Inverter: Words.equipment, HybridInverter: Words.equipment, Array: Words.array, Battery: Words.battery,
    CurrentTransformer: Words.sensor, Meter: Words.meter, DisconnectionDevice: Words.disconnection, NeutralEarthLink: Words.link,
    Rcd: Words.residual, Rcbo: Words.residual,
    Changeover: Words.ported, Coupler: Words.ported, Generator: Words.ported, Inlet: Words.ported, Load: Words.load,
    Controller: Words.controller}


def _neutral_words(flows: Flows, circuit: Circuit) -> tuple[str, ...]:
    """A neutral that does not go beside its phases, and one that the circuits behind share."""
    shared = [in_words(flows.objects, s.id) for s in circuit.shares_neutral_with if isinstance(s, Said)] if isinstance(circuit.shares_neutral_with, tuple) else []
    lines = [f"neutral of {', '.join(shared)}"] if shared else []
    if circuit.neutral_moved is False and isinstance(circuit.moved_from, Said):
        lines.append(f"neutral left at {circuit.moved_from.id}")
    if circuit.neutral is not None and not isinstance(circuit.neutral, Unknown):
        lines.append(f"combined neutral {amount(circuit.neutral.combined, 'mm2')}")
    return tuple(lines)


def setting_lines(obj: Any) -> list[str]:
    """The protection settings that were made on a device, one a line: U> 265 V 1 s. Those of interface protection are never left out."""
    settings = getattr(obj, "settings", None)
    found = [" ".join([str(name), *_setting(said)]) for name, said in settings.items()] if isinstance(settings, Mapping) else []
    return found or (["settings: see protection schedule"] if isinstance(obj, InterfaceProtection) else [])


def _setting(said: Any) -> list[str]:
    """Value and delay of a setting."""
    value, delay = getattr(said, "value", said), getattr(said, "delay", None)
    return ["TBC" if isinstance(value, Unknown) else str(value), *([amount(delay, "s")] if delay is not None and given(delay) else [])]


def _said(obj: Any, name: str) -> str:
    """A fact that not every object has."""
    return fact(obj, name) if hasattr(obj, name) else ""


def _run_words(run: CablePart) -> str:
    """A part of a cable; one of which nothing is known is called a cable."""
    words = ratings(run)
    return "cable TBC" if words in ("", "TBC") else words


def _measured(obj: Any) -> str:
    """What a sensor measures on which phases."""
    if not isinstance(obj, CurrentTransformer):
        return ""
    return f"{fact(obj, 'measures') or 'TBC'} {' '.join(obj.phase) if isinstance(obj.phase, tuple) else 'TBC'}"


def _inputs(flows: Flows) -> dict[str, list[str]]:
    """The inputs that each sensor is led to, as terminals are written: GW1:1."""
    found: dict[str, list[str]] = {}
    for controller in (o for o in flows.objects.values() if isinstance(o, Controller) and isinstance(o.inputs, dict)):
        for name, said in controller.inputs.items():
            sensor = getattr(said, "sensor", None)
            if isinstance(sensor, Said):
                found.setdefault(sensor.id, []).append(f"{controller.id}:{name}")
    return found
