# SPDX-License-Identifier: MIT
"""What stands in line: protective and switching devices, meters, sensors, filters, links and joints."""
from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from .cables import Cable
from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Each, Free, ManyWords, Nested, NumberOf, OneOf, OneOrMore, Pattern, PhaseSet, Ref, Said, Table, YesNo
from .parts import POLES, Own, Part
from .records import SETTING, Setting

__all__ = ["IN_LINE", "ITEMS", "Breaker", "Contactor", "CurrentTransformer", "Device", "DisconnectionDevice", "Electrode", "Filter", "Fuse",
           "FuseSwitch", "InterfaceProtection", "Isolator", "Junction", "LeadPart", "Meter", "NeutralEarthLink", "Rcbo", "Rcd", "SurgeArrester",
           "Switch", "Switching"]


LET_THROUGH = Amount("A2s", "18000 A²s", 1, 1e12)


@dataclass(frozen=True, eq=False, kw_only=True)
class Device(Own):
    """A device with one side towards the supply and one away from it. rating [A]."""

    limits_current: ClassVar[bool] = False
    """protects what follows against overload and short circuit"""
    rating: float = say(Amount("A", "16 A", 0.01, 10_000, only=("A",)), "rating", short=True, asked=True)
    settings: Mapping[str, Setting] = say(Table(Nested(Setting), names=SETTING), "settings", default={})


@dataclass(frozen=True, eq=False, kw_only=True)
class Switching(Device):
    """A device that opens poles. sides_marked: line and load are marked on it, so that it may be fed from one side only."""

    poles: str = say(Choice(*POLES), "poles", short=True, asked=True)
    sides_marked: bool = say(YesNo(), "line and load marked", default=False)


@dataclass(frozen=True, eq=False, kw_only=True)
class Fuse(Device):
    """A fuse; utilisation is its class (gG).

    make: the type that it is of; let_through: of its maker's document, at the largest current of its place [A²s], before that of the type.
    """

    word: ClassVar[str] = "fuse"
    symbol: ClassVar[str] = "fuse"
    limits_current: ClassVar[bool] = True
    utilisation: str = say(Choice("gG", "gM", "aM", "gPV", "gR", "aR"), "utilisation class", short=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True)
    make: Said = say(Ref("type", example="fuse-20"), "type of the device", default=None)
    let_through: float = say(LET_THROUGH, "let-through energy", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class FuseSwitch(Switching):
    """A fuse combined with a switch: it opens its poles and limits the current."""

    word: ClassVar[str] = "fuse-switch"
    symbol: ClassVar[str] = "fuse-switch"
    limits_current: ClassVar[bool] = True
    utilisation: str = say(Choice("gG", "gM", "aM", "gPV", "gR", "aR"), "utilisation class", short=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True)
    make: Said = say(Ref("type", example="fuse-20"), "type of the device", default=None)
    let_through: float = say(LET_THROUGH, "let-through energy", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Breaker(Switching):
    """A circuit-breaker. breaking [A]; make, let_through: as of a fuse; energy_class: the energy limiting class that is marked on it."""

    word: ClassVar[str] = "circuit-breaker"
    symbol: ClassVar[str] = "breaker"
    limits_current: ClassVar[bool] = True
    curve: str = say(Choice("B", "C", "D"), "curve", short=True, asked=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True, asked=True)
    make: Said = say(Ref("type", example="breaker-20"), "type of the device", default=None)
    let_through: float = say(LET_THROUGH, "let-through energy", default=None)
    energy_class: str = say(Choice("1", "2", "3"), "energy limiting class", default=None)


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
    opens: str = say(Choice("on loss of supply", "by controller", "by time", "by distributor"), "when it opens", default="by controller")


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
    elements: int = say(NumberOf(1, 9, "2"), "number of elements", default=1)


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
    """An earth electrode and the conductor [mm²] to it. resistance: measured to earth, alone or with all that it is joined to [ohm]."""

    word: ClassVar[str] = "electrode"
    symbol: ClassVar[str] = "electrode"
    kind: str = say(Choice("rod", "plate", "tape", "foundation", "water pipe"), "kind of electrode", short=True, asked=True)
    conductor: float = say(Amount("mm2", "6 mm²", 0.5, 500), "earthing conductor", short=True, asked=True)
    resistance: float = say(Amount("ohm", "80 ohm", 0.01, 1e6, only=("ohm",)), "resistance to earth", short=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class NeutralEarthLink(Own):
    """The neutral–earth link in line: PEN before it, N and PE after it."""

    word: ClassVar[str] = "N–E link"
    symbol: ClassVar[str] = "ne-link"
    electrode: Electrode = say(Nested(Electrode, "electrode"), "electrode")
    closed: str = say(Choice("always", "in backup"), "when it is closed", default="always")


@dataclass(frozen=True, eq=False, kw_only=True)
class LeadPart(Part):
    """A piece of a sensor's lead. length [m], area [mm²]."""

    word: ClassVar[str] = "lead"
    length: float = say(Amount("m", "4 m", 0.01, 10_000), "length", short=True, asked=True)
    area: float = say(Amount("mm2", "1 mm²", 0.05, 50), "cross-section", short=True)
    make: tuple[str, ...] = say(ManyWords("twisted pair", "shielded", "own lead", example="twisted pair"), "make", short=True, default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class CurrentTransformer(Own):
    """A current transformer round a conductor. P1 faces the supply or the load.

    Its bare id in a further chain says that the same core goes round that conductor too.
    """

    word: ClassVar[str] = "current transformer"
    symbol: ClassVar[str] = "ct-p1-up"
    measures: str = say(Choice("grid", "generation", "storage", "load"), "what it measures", short=True, required=True)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", short=True, asked=True)
    P1: str = say(Choice("to supply", "to load"), "direction of P1")
    primary: float = say(Amount("A", "100 A", 0.1, 10_000, only=("A",)), "rated primary current", short=True)
    type_: Said = say(Ref("type", example="sensor-100"), "type", default=None)
    secondary: str = say(Pattern(r"\d+(?:\.\d+)? ?(?:mV|V|mA|A)", "0.333 V"), "rated secondary")
    lead: tuple[LeadPart, ...] = say(OneOrMore(Nested(LeadPart)), "lead")


@dataclass(frozen=True, eq=False, kw_only=True)
class SurgeArrester(Own):
    """A surge protective device between line and earth where it stands in line."""

    word: ClassVar[str] = "surge arrester"
    symbol: ClassVar[str] = "surge-arrester"
    class_: str = say(Choice("1", "1+2", "2", "3", before="class"), "class", short=True, asked=True)


ITEMS: dict[str, type[Own]] = {
    "fuse": Fuse, "fuse_switch": FuseSwitch, "breaker": Breaker, "rcd": Rcd, "rcbo": Rcbo, "switch": Switch, "isolator": Isolator,
    "contactor": Contactor, "disconnection_device": DisconnectionDevice, "interface_protection": InterfaceProtection, "meter": Meter,
    "ct": CurrentTransformer, "filter": Filter, "surge_arrester": SurgeArrester, "ne_link": NeutralEarthLink, "junction": Junction,
    "cable": Cable}
"""What can stand in line, by its word."""
IN_LINE = Each(OneOf(ITEMS, again=Ref("sensor", example="CT1")))
"""Devices and cables in physical order; a bare id is a sensor's core that goes round this conductor too."""
