# SPDX-License-Identifier: MIT
"""What can stand on a site, as frozen dataclasses; each field is declared once for reading, printing and schema.

Objects refer to each other by id only. A fact that is not given reads as Unknown, so that no check can pass on it.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from .errors import Mark
from .fields import say
from .kinds import (Amount, Choice, Cores, Day, Each, Free, Ident, ManyWords, Nested, NumberOf, OneOf, OneOrMore, ParallelOf, Pattern, PhaseSet, Ref,
                    Said, SystemCode, Table, Voltage, Way, WayKind, YesNo)

__all__ = ["Array", "Board", "Breaker", "Bus", "Cable", "CablePart", "Chain", "Circuit", "Contactor", "Controller", "CurrentTransformer",
           "Device", "DisconnectionDevice", "Drawing", "Electrode", "EquipmentType", "FaultLevels", "Filter", "Fuse", "Input", "InterfaceProtection",
           "Inverter", "Isolator", "Junction", "LeadPart", "Limits", "Load", "Meter", "ModuleInverters", "NeutralEarthLink", "Operation",
           "People", "Person", "Place", "Rcbo", "Rcd", "Revision", "Segment", "Site", "SiteFacts", "Source", "Storage", "Supply", "Switch",
           "System", "Thing"]

POLES = ("1P solid-N", "1P+N", "1P", "2P", "3P+N", "3P", "4P")
STATUS = ("existing", "new", "altered", "relocated", "removed")


@dataclass(frozen=True, eq=False, kw_only=True)
class Part:
    """Anything that is read from the file. marks: where each given field stands."""

    id: str
    mark: Mark
    marks: Mapping[str, Mark]
    word: ClassVar[str] = "part"
    """what the object is called in messages"""
    registered: ClassVar[bool] = False
    """can be found by its id"""
    named_by: ClassVar[tuple[str, ...]] = ()
    """keys from which the automatic id is made"""
    symbol: ClassVar[str] = "unknown"
    """the kind of symbol that stands for it"""


@dataclass(frozen=True, eq=False, kw_only=True)
class Thing(Part):
    """A part with an id of its own, unique on the site."""

    registered: ClassVar[bool] = True
    name: str = say(Free("Main switch"), "name", default="")
    status: str = say(Choice(*STATUS), "status", default="existing")
    owner: str = say(Choice("customer", "distributor", "others"), "owner", default="customer")
    place: Said | None = say(Ref("place", "board", example="MSB"), "place", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Own(Thing):
    """A thing that may carry an id of the user's own."""

    own_id: str | None = say(Ident(), "id", default=None)


# ---- conductors ------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, eq=False, kw_only=True)
class CablePart(Part):
    """A length of cable of one make and one way of laying. area [mm²], length [m], cores: (number, earth core [mm²] or None)."""

    word: ClassVar[str] = "cable part"
    parallel: int = say(ParallelOf(), "number in parallel", short=True, default=1)
    area: float = say(Amount("mm2", "6 mm²", 0.2, 1000), "cross-section", short=True, asked=True)
    cores: tuple[int, float | None] = say(Cores(), "cores", short=True, asked=True)
    material: str = say(Choice("Cu", "Al"), "conductor material", short=True)
    insulation: str = say(Choice("PVC", "XLPE", "EPR", "V-75", "V-90", "X-90"), "insulation", short=True)
    length: float = say(Amount("m", "14 m", 0.01, 100_000), "length", short=True, asked=True)
    installed: tuple[str, ...] = say(ManyWords(
        "in conduit", "in air", "underground", "in duct", "in trunking", "on tray", "clipped direct", "in wall", "in insulation",
        "on surface", "in ceiling", example="in conduit in air"), "way of laying", short=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Cable(CablePart, Own):
    """A cable between two devices, of one or several parts."""

    word: ClassVar[str] = "cable"
    parts: tuple[CablePart, ...] = say(Each(Nested(CablePart)), "parts", default=())
    conductors: tuple[str, ...] = say(ManyWords("L1", "L2", "L3", "N", "PE", "PEN", example="L1 N PE"), "conductors", default=())

    @property
    def runs(self) -> tuple[CablePart, ...]:
        """The parts that the cable consists of, at least one."""
        return self.parts or (self,)

    @property
    def total_length(self) -> float:
        """Length of all parts [m]."""
        return sum((run.length for run in self.runs), 0.0)


# ---- devices in line -------------------------------------------------------------------------------------------------

@dataclass(frozen=True, eq=False, kw_only=True)
class Device(Own):
    """A device with one side towards the supply and one away from it. rating [A]."""

    limits_current: ClassVar[bool] = False
    """protects what follows against overload and short circuit"""
    rating: float = say(Amount("A", "16 A", 0.01, 10_000, only=("A",)), "rating", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Switching(Device):
    """A device that opens poles."""

    poles: str = say(Choice(*POLES), "poles", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Fuse(Device):
    """A fuse; type is its utilisation class (gG)."""

    word: ClassVar[str] = "fuse"
    symbol: ClassVar[str] = "fuse"
    limits_current: ClassVar[bool] = True
    utilisation: str = say(Choice("gG", "gM", "aM", "gPV", "gR", "aR"), "utilisation class", short=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Breaker(Switching):
    """A circuit-breaker. breaking [A]."""

    word: ClassVar[str] = "circuit-breaker"
    symbol: ClassVar[str] = "breaker"
    limits_current: ClassVar[bool] = True
    curve: str = say(Choice("B", "C", "D"), "curve", short=True, asked=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Rcd(Switching):
    """A residual current device without overcurrent protection. residual [A]."""

    word: ClassVar[str] = "residual current device"
    symbol: ClassVar[str] = "rcd"
    residual: float = say(Amount("A", "30 mA", 0.001, 30, only=("mA",)), "rated residual current", short=True, asked=True)
    type_: str = say(Choice("AC", "A", "F", "B", "A-S", "S", before="type"), "type", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Rcbo(Breaker):
    """A residual current circuit-breaker with overcurrent protection."""

    word: ClassVar[str] = "RCBO"
    symbol: ClassVar[str] = "rcbo"
    residual: float = say(Amount("A", "30 mA", 0.001, 30, only=("mA",)), "rated residual current", short=True, asked=True)
    type_: str = say(Choice("AC", "A", "F", "B", "A-S", "S", before="type"), "type", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Switch(Switching):
    """A switch."""

    word: ClassVar[str] = "switch"
    symbol: ClassVar[str] = "switch"


@dataclass(frozen=True, eq=False, kw_only=True)
class Isolator(Switching):
    """A switch-disconnector."""

    word: ClassVar[str] = "isolator"
    symbol: ClassVar[str] = "switch-disconnector"


@dataclass(frozen=True, eq=False, kw_only=True)
class Contactor(Switching):
    """A contactor or relay that a controller or clock operates."""

    word: ClassVar[str] = "contactor"
    symbol: ClassVar[str] = "contactor"


@dataclass(frozen=True, eq=False, kw_only=True)
class DisconnectionDevice(Switching):
    """A device that disconnects one source from the supply when the supply fails."""

    word: ClassVar[str] = "disconnection device"
    symbol: ClassVar[str] = "disconnection-device"
    type_: Said = say(Ref("type", example="disconnect-1ph-32"), "type")


@dataclass(frozen=True, eq=False, kw_only=True)
class InterfaceProtection(Switching):
    """The site's interface protection with the device that it trips."""

    word: ClassVar[str] = "interface protection"
    symbol: ClassVar[str] = "interface-protection"


@dataclass(frozen=True, eq=False, kw_only=True)
class Meter(Own):
    """A meter that stands in the line."""

    word: ClassVar[str] = "meter"
    symbol: ClassVar[str] = "meter-both"
    direction: str = say(Choice("import", "export", "both"), "direction", short=True, asked=True)
    number: str = say(Free("1234 5678"), "meter number")


@dataclass(frozen=True, eq=False, kw_only=True)
class Filter(Own):
    """A line filter or ferrite."""

    word: ClassVar[str] = "filter"
    symbol: ClassVar[str] = "filter"
    kind: str = say(Choice("ferrite", "line filter"), "kind", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Junction(Own):
    """A joint or terminal block in the line."""

    word: ClassVar[str] = "junction"
    symbol: ClassVar[str] = "junction"


@dataclass(frozen=True, eq=False, kw_only=True)
class Electrode(Part):
    """An earth electrode and the conductor [mm²] to it."""

    word: ClassVar[str] = "electrode"
    symbol: ClassVar[str] = "electrode"
    kind: str = say(Choice("rod", "plate", "tape", "foundation", "water pipe"), "kind of electrode", short=True, asked=True)
    conductor: float = say(Amount("mm2", "6 mm²", 0.5, 500), "earthing conductor", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class NeutralEarthLink(Own):
    """The neutral–earth link in line: PEN before it, N and PE after it."""

    word: ClassVar[str] = "N–E link"
    symbol: ClassVar[str] = "ne-link"
    electrode: Electrode = say(Nested(Electrode, "electrode"), "electrode")


@dataclass(frozen=True, eq=False, kw_only=True)
class LeadPart(Part):
    """A piece of a sensor's lead. length [m], area [mm²]."""

    word: ClassVar[str] = "lead"
    length: float = say(Amount("m", "4 m", 0.01, 10_000), "length", short=True, asked=True)
    area: float = say(Amount("mm2", "1 mm²", 0.05, 50), "cross-section", short=True)
    make: tuple[str, ...] = say(ManyWords("twisted pair", "shielded", "own lead", example="twisted pair"), "make", short=True, default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class CurrentTransformer(Own):
    """A current transformer round one conductor. P1 faces the supply or the load."""

    word: ClassVar[str] = "current transformer"
    symbol: ClassVar[str] = "ct-p1-up"
    measures: str = say(Choice("grid", "generation", "storage", "load"), "what it measures", short=True, required=True)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", short=True, asked=True)
    P1: str = say(Choice("to supply", "to load"), "direction of P1")
    primary: float = say(Amount("A", "100 A", 0.1, 10_000, only=("A",)), "rated primary current", short=True)
    secondary: str = say(Pattern(r"\d+(?:\.\d+)? ?(?:mV|V|mA|A)", "0.333 V"), "rated secondary")
    lead: tuple[LeadPart, ...] = say(OneOrMore(Nested(LeadPart)), "lead")


# ---- what stands at the end of a chain -------------------------------------------------------------------------------

@dataclass(frozen=True, eq=False, kw_only=True)
class Load(Own):
    """What a final subcircuit supplies. power [W]."""

    word: ClassVar[str] = "load"
    kind: str = say(Choice("sockets", "lighting", "heater", "hot water", "cooking", "air conditioning", "motor", "pump", "EV supply",
                           "general", "spare"), "kind of load", short=True, asked=True)
    power: float = say(Amount("W", "3 kW", 0, 1e9), "power", short=True)

    @property
    def symbol(self) -> str:  # type: ignore[override]
        """Symbol by the kind of load."""
        kind = "" if not isinstance(self.kind, str) else self.kind
        return {"sockets": "sockets", "lighting": "lighting", "heater": "heater", "hot water": "heater", "cooking": "heater", "motor": "motor",
                "pump": "motor", "EV supply": "ev-supply"}.get(kind, "load")


@dataclass(frozen=True, eq=False, kw_only=True)
class Equipment(Own):
    """Equipment at the end of a chain."""

    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    type_: Said = say(Ref("type", example="storage-ac-b"), "type", required=True)
    address: str = say(Free("12"), "address on its bus")


class Source:
    """Mixed into equipment that can feed the installation."""


@dataclass(frozen=True, eq=False, kw_only=True)
class ModuleInverters(Source, Equipment):
    """A row of module-level inverters on one trunk."""

    word: ClassVar[str] = "module-level inverters"
    symbol: ClassVar[str] = "module-inverters"
    number: int = say(NumberOf(1, 10_000, "11"), "number of inverters", required=True)
    trunk: Cable = say(Nested(Cable, "trunk"), "trunk cable")


@dataclass(frozen=True, eq=False, kw_only=True)
class Array(Part):
    """A photovoltaic array on one input of an inverter. power [W peak]."""

    word: ClassVar[str] = "array"
    symbol: ClassVar[str] = "array"
    power: float = say(Amount("W", "5 kW", 0, 1e9), "power", short=True, asked=True)
    modules: int = say(NumberOf(1, 100_000, "12"), "number of modules")


@dataclass(frozen=True, eq=False, kw_only=True)
class Inverter(Source, Equipment):
    """A string inverter with its arrays."""

    word: ClassVar[str] = "inverter"
    symbol: ClassVar[str] = "inverter"
    arrays: tuple[Array, ...] = say(Each(Nested(Array)), "arrays")


@dataclass(frozen=True, eq=False, kw_only=True)
class Storage(Source, Equipment):
    """A storage unit with its own converter (AC coupled)."""

    word: ClassVar[str] = "storage unit"
    symbol: ClassVar[str] = "storage"


# ---- chains, boards, supply ------------------------------------------------------------------------------------------

ITEMS: dict[str, type[Own]] = {
    "fuse": Fuse, "breaker": Breaker, "rcd": Rcd, "rcbo": Rcbo, "switch": Switch, "isolator": Isolator, "contactor": Contactor,
    "disconnection_device": DisconnectionDevice, "interface_protection": InterfaceProtection, "meter": Meter, "ct": CurrentTransformer,
    "filter": Filter, "ne_link": NeutralEarthLink, "junction": Junction, "cable": Cable}
EQUIPMENT: dict[str, type[Own]] = {"module_inverters": ModuleInverters, "inverter": Inverter, "storage": Storage}


@dataclass(frozen=True, eq=False, kw_only=True)
class Chain(Own):
    """Devices and cables in physical order, then what they lead to: exactly one of feeds, circuits, load."""

    in_line: tuple[Own, ...] = say(Each(OneOf(ITEMS)), "devices in line", default=())
    feeds: Said | Equipment | None = say(OneOf(EQUIPMENT, or_else=Ref("board", "controller", example="SB")), "what it feeds", default=None)
    circuits: tuple[Circuit, ...] = say(Each(Nested(lambda: Circuit)), "circuits", default=())
    load: Load | None = say(Nested(Load, "load"), "load", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Circuit(Chain):
    """A circuit of a board or of a local bar."""

    word: ClassVar[str] = "circuit"
    named_by: ClassVar[tuple[str, ...]] = ("way",)
    way: Way = say(WayKind(), "way", default=None)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Board(Thing):
    """A switchboard or distribution board. busbar: rating [A]."""

    word: ClassVar[str] = "board"
    symbol: ClassVar[str] = "busbar"
    busbar: float = say(Amount("A", "100 A", 1, 10_000, only=("A",)), "busbar rating")
    ways: int = say(NumberOf(1, 500, "24"), "number of ways")
    main_switch: Own | None = say(OneOf(ITEMS, spoken=True), "main switch", default=None)
    circuits: tuple[Circuit, ...] = say(Each(Nested(Circuit)), "circuits", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class System(Part):
    """The system of supply: code as IEC 61082 writes it, frequency [Hz], voltage as said: one or two values [V]."""

    word: ClassVar[str] = "system"
    code: tuple[int, str] = say(SystemCode(), "phases and conductors", short=True, required=True)
    kind: str = say(Choice("AC"), "kind of current", short=True)
    frequency: float = say(Amount("Hz", "50 Hz", 1, 1000), "frequency", short=True, asked=True)
    voltage: tuple[float, ...] = say(Voltage(), "voltage", short=True, asked=True)

    @property
    def phases(self) -> int:
        """Number of phases."""
        return self.code[0]


@dataclass(frozen=True, eq=False, kw_only=True)
class FaultLevels(Part):
    """What is known of fault currents at the supply; both as said, with the place of measurement."""

    word: ClassVar[str] = "fault levels"
    largest: str = say(Free("6 kA at point of supply"), "largest prospective fault current")
    loop: str = say(Free("0.42 ohm measured at MSB"), "earth-fault loop impedance")


@dataclass(frozen=True, eq=False, kw_only=True)
class Supply(Chain):
    """The chain from the point of supply inwards. allocation [A]."""

    word: ClassVar[str] = "supply"
    symbol: ClassVar[str] = "supply"
    system: System = say(Nested(System), "system", required=True)
    allocation: float = say(Amount("A", "63 A", 1, 10_000, only=("A",)), "allocation")
    faults: FaultLevels = say(Nested(FaultLevels), "fault levels")


# ---- control ---------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, eq=False, kw_only=True)
class Input(Part):
    """A controller's input: the sensor it reads and the phase of its voltage reference."""

    word: ClassVar[str] = "input"
    sensor: Said = say(Ref("sensor", example="CT1"), "sensor", short=True, required=True)
    reference: str = say(Choice("L1", "L2", "L3", before="on"), "phase of the voltage reference", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Controller(Thing):
    """A gateway, bus adapter or other controller. lead [m]: its device lead to the one it is joined to."""

    word: ClassVar[str] = "controller"
    kind: str = say(Choice("gateway", "bus adapter", "controller"), "kind", required=True)
    inputs: Mapping[str, Input] = say(Table(Nested(Input, "input"), names=r"[A-Za-z0-9]{1,8}"), "inputs", default={})
    joined_to: Said | None = say(Ref("controller", example="GW1"), "what it is joined to", default=None)
    lead: float = say(Amount("m", "0.6 m", 0, 10_000), "device lead")
    address: str = say(Free("12"), "address on its bus")

    @property
    def symbol(self) -> str:  # type: ignore[override]
        """Symbol by kind."""
        return "bus-adapter" if isinstance(self.kind, str) and self.kind == "bus adapter" else "gateway"


@dataclass(frozen=True, eq=False, kw_only=True)
class Segment(Part):
    """A piece of bus cable between two devices. length [m]."""

    word: ClassVar[str] = "segment"
    registered: ClassVar[bool] = True
    named_by: ClassVar[tuple[str, ...]] = ("from", "to")
    from_: Said = say(Ref("bus device", example="BA1"), "start", required=True)
    to: Said = say(Ref("bus device", example="BAT1"), "end", required=True)
    length: float = say(Amount("m", "9 m", 0.01, 10_000), "length")
    shield_bond: tuple[Said, ...] = say(OneOrMore(Ref("bus device", example="BA1")), "shield bond", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class Bus(Thing):
    """A communications bus: its segments as they are wired, and the devices that carry a terminator."""

    word: ClassVar[str] = "bus"
    type_: Said = say(Ref("type", example="bus-shielded-pair-60"), "type", required=True)
    segments: tuple[Segment, ...] = say(Each(Nested(Segment)), "segments", default=())
    terminators: tuple[Said, ...] = say(OneOrMore(Ref("bus device", example="BA1")), "terminators", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class Place(Thing):
    """A place on the site where things stand: a panel, a room, a wall."""

    word: ClassVar[str] = "place"


# ---- administration --------------------------------------------------------------------------------------------------

@dataclass(frozen=True, eq=False, kw_only=True)
class Person(Part):
    """A person with licence and accreditation."""

    word: ClassVar[str] = "person"
    name: str = say(Free("A. Example"), "name", required=True)
    licence: str = say(Free("EC 00000"), "licence")
    accreditation: str = say(Free("A 0000"), "accreditation")
    contact: str = say(Free("telephone"), "contact")


@dataclass(frozen=True, eq=False, kw_only=True)
class People(Part):
    """Who is who."""

    word: ClassVar[str] = "people"
    customer: str = say(Free("R. Example"), "customer")
    designer: Person = say(Nested(Person), "designer")
    installer: Person = say(Nested(Person), "installer")
    approver: Person = say(Nested(Person), "approver")


@dataclass(frozen=True, eq=False, kw_only=True)
class Limits(Part):
    """Limits that the operator set. nameplate, generation, export [W or VA]; phase difference [VA]."""

    word: ClassVar[str] = "limits"
    nameplate: float = say(Amount("VA", "15 kVA", 0, 1e9), "nameplate limit")
    generation: float = say(Amount("VA", "10 kVA", 0, 1e9), "generation limit")
    export: float = say(Amount("W", "5 kW", 0, 1e9), "export limit")
    phase_difference: float = say(Amount("VA", "5 kVA", 0, 1e9), "phase difference limit")
    enforced_by: Said = say(Ref("controller", "equipment", example="GW1"), "what enforces the export limit")


@dataclass(frozen=True, eq=False, kw_only=True)
class Operation(Part):
    """How the system is run."""

    word: ClassVar[str] = "operation"
    mode: str = say(Free("self-consumption"), "mode")
    charge_from_grid: bool = say(YesNo(), "charging from the grid")
    backup: str = say(Choice("none", "part", "whole"), "backup")
    internet: bool = say(YesNo(), "internet connection")


@dataclass(frozen=True, eq=False, kw_only=True)
class Revision(Part):
    """One row of the revision table."""

    word: ClassVar[str] = "revision"
    rev: str = say(Free("A"), "revision", required=True)
    date: date = say(Day(), "date", required=True)
    note: str = say(Free("Issued for application"), "note", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Drawing(Part):
    """What the title block says."""

    word: ClassVar[str] = "drawing"
    number: str = say(Free("KLB-E-001"), "drawing number")
    title: str = say(Free("Solar and storage"), "title", default="")
    status: str = say(Choice("preliminary", "for application", "for tender", "for construction", "as-built"), "drawing status")
    language: str = say(Free("en"), "language", default="en")
    notes: tuple[str, ...] = say(Each(Free("a note")), "notes", default=())
    revisions: tuple[Revision, ...] = say(Each(Nested(Revision)), "revisions", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class SiteFacts(Part):
    """The head of the file."""

    word: ClassVar[str] = "site"
    name: str = say(Free("Kelp Lane Boathouse"), "site name", required=True)
    address: str = say(Free("4 Kelp Lane, Port Example"), "address")
    connection: str = say(Free("4100 0000 01"), "connection identifier")
    status: str = say(Choice(*STATUS), "status", default="existing")
    work_begins: date = say(Day(), "date that work begins")


@dataclass(frozen=True, eq=False, kw_only=True)
class EquipmentType(Part):
    """A type of equipment: what its maker or standard says of it. document: where that is written."""

    word: ClassVar[str] = "type"
    kind: str = say(Choice("module inverter", "inverter", "storage", "disconnection device", "bus", "sensor"), "kind", required=True)
    document: str = say(Free("data sheet 12"), "document", default="")
    description: str = say(Free("generic storage unit"), "description", default="")
    power: float = say(Amount("VA", "2.7 kVA", 0, 1e9), "rated power")
    limit: float = say(Amount("VA", "2.5 kVA", 0, 1e9), "limited power")
    energy: float = say(Amount("Wh", "6 kWh", 0, 1e9), "usable energy")
    phases: int = say(NumberOf(1, 3, "1"), "phases")
    rating: float = say(Amount("A", "32 A", 0.1, 10_000, only=("A",)), "rating")
    poles: str = say(Choice(*POLES), "poles")
    disconnects_itself: bool = say(YesNo(), "built-in disconnection")
    power_line: bool = say(YesNo(), "communication over the power line", default=False)
    max_length: float = say(Amount("m", "60 m", 0, 100_000), "longest bus")
    max_devices: int = say(NumberOf(2, 1000, "16"), "most devices")
    tees: bool = say(YesNo(), "tees allowed", default=False)
    shield: bool = say(YesNo(), "shielded", default=True)
    terminator: float = say(Amount("ohm", "120 ohm", 1, 10_000), "terminator")
    medium: str = say(Free("shielded twisted pair"), "medium", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Site(Part):
    """The whole site file."""

    word: ClassVar[str] = "site file"
    site: SiteFacts = say(Nested(SiteFacts), "site", required=True)
    people: People = say(Nested(People), "people")
    limits: Limits = say(Nested(Limits), "limits")
    operation: Operation = say(Nested(Operation), "operation")
    drawing: Drawing = say(Nested(Drawing), "drawing")
    profile: tuple[str, ...] = say(Each(Choice("au", "nz", "uk", "iec")), "profile", default=("iec",))
    supply: Supply = say(Nested(Supply, "supply"), "supply", required=True)
    places: Mapping[str, Place] = say(Table(Nested(Place), ids=True), "places", default={})
    boards: Mapping[str, Board] = say(Table(Nested(Board), ids=True), "boards", default={})
    controllers: Mapping[str, Controller] = say(Table(Nested(Controller), ids=True), "controllers", default={})
    buses: Mapping[str, Bus] = say(Table(Nested(Bus), ids=True), "buses", default={})
    types: Mapping[str, EquipmentType] = say(Table(Nested(EquipmentType)), "types", default={})
