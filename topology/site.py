# SPDX-License-Identifier: MIT
"""The site itself: boards, the supply and the whole file. Every class that can stand on a site can be imported from here.

Objects refer to each other by id only. A fact that is not given reads as Unknown, so that no check can pass on it.
"""
from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from .administration import Acceptance, Application, Approval, Attachment, Drawing, LimitOverride, Limits, Operation, People, Person, Place, Revision, SiteFacts
from .cables import Cable, CablePart
from .chains import Chain, Circuit, CombinedNeutral, Terminal
from .control import Bus, Controller, Input, Segment, Tap
from .dataclass import dataclass
from .devices import (ITEMS, Breaker, Contactor, CurrentTransformer, Device, DisconnectionDevice, Electrode, Filter, Fuse, FuseSwitch,
                      InterfaceProtection, Isolator, Junction, LeadPart, Meter, NeutralEarthLink, Rcbo, Rcd, SurgeArrester, Switch,
                      Switching)
from .earthing import Bond, EarthBar
from .errors import CannotTell, Unknown
from .fields import say
from .kinds import Amount, ByKind, Choice, Each, FileName, Free, ManyWords, Nested, NumberOf, OneOrMore, OneOf, Said, SystemCode, Table, Voltage, YesNo
from .parts import POLES, STATUS, Found, Own, Part, Thing
from .profiles import profile_names
from .records import Ordering, Setting, Shutdown, TestResult
from .sources import EQUIPMENT, Array, Battery, Equipment, Inverter, Load, ModuleInverters, Source, Storage
from .stated import UnlessStated
from .terminals import DEVICES, Changeover, Coupler, Generator, HybridInverter, Inlet, Ported
from .types import EquipmentType

__all__ = ["Acceptance", "Application", "Approval", "Array", "Attachment", "Battery", "Board", "Bond", "Breaker", "Bus", "Cable", "CablePart", "Chain",
           "Changeover", "Circuit", "CombinedNeutral", "Contactor", "Controller", "Coupler", "CurrentTransformer", "DEVICES", "Device",
           "DisconnectionDevice", "Drawing", "EQUIPMENT", "EarthBar", "Electrode", "Equipment", "EquipmentType", "FaultLevels", "Filter",
           "Found", "Fuse", "FuseSwitch", "Generator", "HybridInverter", "ITEMS", "Inlet", "Input", "InterfaceProtection", "Inverter",
           "Isolator", "Junction", "LeadPart", "LimitOverride", "Limits", "Load", "Meter", "ModuleInverters", "NeutralEarthLink", "Operation", "Ordering", "Own",
           "POLES", "Part", "People", "Person", "Place", "Ported", "Rcbo", "Rcd", "Revision", "STATUS", "Segment", "Setting", "Shutdown", "Site", "SiteFacts",
           "Source", "Storage", "Supply", "SurgeArrester", "Switch", "Switching", "System", "Tap", "Terminal", "TestResult", "Thing", "Transformer"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Board(Thing):
    """A switchboard or distribution board. busbar: rating [A]."""

    word: ClassVar[str] = "board"
    symbol: ClassVar[str] = "busbar"
    busbar: float = say(Amount("A", "100 A", 1, 10_000, only=("A",)), "busbar rating")
    ways: int = say(NumberOf(1, 500, "24"), "number of ways")
    modules: int = say(NumberOf(1, 2000, "36"), "number of modules of 18 mm that its rows hold", default=None)
    fed: str = say(Choice("first", "last"), "end of its busbar, by the ways, at which it is fed")
    diversity: float = say(Amount("%", "70 %", 1, 100), "share of its loads that run together", default=None)
    backed_up: bool = say(YesNo(), "whether its circuits are to be backed up", default=None)
    main_switch: Own | None = say(OneOf(ITEMS, spoken=True), "main switch", default=None)
    phases: tuple[str, ...] = say(ManyWords("L1", "L2", "L3", example="L2 L3 L1"), "phases of the supply that its labels L1 L2 L3 stand for", default=None)
    circuits: tuple[Circuit, ...] = say(Each(Nested(Circuit)), "circuits", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class System(Part):
    """The system of supply: code as IEC 61082 writes it, frequency [Hz], voltage as said: one or two values [V]."""

    word: ClassVar[str] = "system"
    example: ClassVar[str] = "1/PEN AC 50 Hz 230 V"
    code: tuple[int, str] = say(SystemCode(), "phases and conductors", short=True, required=True)
    kind: str = say(Choice("AC"), "kind of current", short=True)
    frequency: float = say(Amount("Hz", "50 Hz", 1, 1000), "frequency", short=True, asked=True)
    voltage: tuple[float, ...] = say(Voltage(), "voltage", short=True, asked=True)
    angle: str = say(Choice("120°", "180°"), "angle between the phases", short=True)

    @property
    def phases(self) -> int:
        """Number of phases."""
        return self.code[0]

    @property
    def phase_voltage(self) -> float:
        """Voltage between phase and neutral [V]. Raises CannotTell where one voltage is said for several phases."""
        if len(self.voltage) == 1 and self.phases > 1:
            raise CannotTell(Unknown(self.marks["voltage"], "which voltage it is, between phases or to neutral (write 400/230 V)"))
        return min(self.voltage)

    @property
    def degrees(self) -> int:
        """Angle between the phases [°]: as said, or as the two voltages tell. Raises CannotTell where neither is known."""
        if isinstance(self.angle, str):
            return int(self.angle[:-1])
        if self.phases != 2:
            return 120
        if len(self.voltage) < 2:
            raise CannotTell(self.angle)  # one voltage does not tell
        return 180 if abs(self.voltage[0] / self.voltage[1] - 2) < 0.1 else 120


@dataclass(frozen=True, eq=False, kw_only=True)
class Transformer(Part):
    """The distributor's transformer: power [VA], short-circuit voltage [%], voltage between lines without load [V], short-circuit power of the
    network before it [VA]."""

    word: ClassVar[str] = "transformer"
    power: float = say(Amount("VA", "200 kVA", 1000, 1e8), "rated power", short=True, asked=True)
    short_circuit: float = say(Amount("%", "4 %", 0.1, 30), "short-circuit voltage", short=True, asked=True)
    voltage: float = say(Amount("V", "415 V", 50, 1000, only=("V",)), "voltage without load", short=True, asked=True)
    network: float = say(Amount("VA", "250 MVA", 1e5, 1e11), "short-circuit power of the network before it")


@dataclass(frozen=True, eq=False, kw_only=True)
class FaultLevels(Part):
    """What is known of fault currents at the supply: as said, with the place of measurement; where that is not known, by transformer and service cable."""

    word: ClassVar[str] = "fault levels"
    largest: str = say(Free("6 kA at point of supply"), "largest prospective fault current")
    loop: str = say(Free("0.42 ohm measured at MSB"), "earth-fault loop impedance")
    transformer: Transformer | None = say(Nested(Transformer), "transformer", default=None)
    service: CablePart | None = say(Nested(CablePart), "cable from the transformer to the point of supply", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Supply(Chain):
    """The chain from the point of supply inwards. allocation [A]."""

    word: ClassVar[str] = "supply"
    symbol: ClassVar[str] = "supply"
    system: System = say(Nested(System), "system", required=True)
    allocation: float = say(Amount("A", "63 A", 1, 10_000, only=("A",)), "allocation")
    faults: FaultLevels = say(Nested(FaultLevels), "fault levels")


@dataclass(frozen=True, eq=False, kw_only=True)
class Site(Part):
    """The whole site file."""

    word: ClassVar[str] = "site file"
    site: SiteFacts = say(Nested(SiteFacts), "site", required=True)
    people: People = say(Nested(People), "people")
    limits: Limits = say(Nested(Limits), "limits")
    approval: Approval = say(Nested(Approval), "approval")
    application: Application = say(Nested(Application), "application")
    operation: Operation = say(Nested(Operation), "operation")
    drawing: Drawing = say(Nested(Drawing), "drawing")
    profile: tuple[str, ...] = say(OneOrMore(Choice(*profile_names())), "profile", default=("iec",))
    limits_override: Mapping[str, LimitOverride] = say(Table(Nested(LimitOverride), names=r"[a-z0-9]+(?:-[a-z0-9]+)*"), "limits that the site sets itself", default={})
    unless_stated: UnlessStated = say(Nested(UnlessStated), "what holds unless stated otherwise", default=None)
    supply: Supply = say(Nested(Supply, "supply"), "supply", required=True)
    places: Mapping[str, Place] = say(Table(Nested(Place), ids=True), "places", default={})
    boards: Mapping[str, Board] = say(Table(Nested(Board), ids=True), "boards", default={})
    devices: Mapping[str, Ported] = say(Table(ByKind(DEVICES), ids=True), "devices", default={})
    earthing: Mapping[str, EarthBar] = say(Table(Nested(EarthBar), ids=True), "earthing", default={})
    controllers: Mapping[str, Controller] = say(Table(Nested(Controller), ids=True), "controllers", default={})
    buses: Mapping[str, Bus] = say(Table(Nested(Bus), ids=True), "buses", default={})
    types: Mapping[str, EquipmentType] = say(Table(Nested(EquipmentType)), "types", default={})
    include: tuple[Said, ...] = say(Each(FileName("equipment.yaml")), "files of types", default=())
    tables: tuple[Said, ...] = say(Each(FileName("capacity.csv")), "files of tables of the user's own", default=())
    attachments: tuple[Attachment, ...] = say(Each(Nested(Attachment)), "attachments", default=())
    accept: tuple[Acceptance, ...] = say(Each(Nested(Acceptance)), "accepted findings", default=())
    tests: tuple[TestResult, ...] = say(Each(Nested(TestResult)), "test results", default=())
    shutdown: Shutdown | None = say(Nested(Shutdown), "shutdown procedure", default=None)
    ordering: Ordering | None = say(Nested(Ordering), "ordering", default=None)
