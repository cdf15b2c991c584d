# SPDX-License-Identifier: MIT
"""What stands at the end of a chain: loads, and equipment that can feed the installation."""
from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import ClassVar

from .cables import Cable
from .dataclass import dataclass
from .devices import IN_LINE
from .fields import say
from .kinds import Amount, Choice, Day, Each, Free, Nested, NumberOf, Pattern, PhaseSet, Ref, Said, Table
from .parts import Own
from .records import SETTING, Setting

__all__ = ["EQUIPMENT", "Array", "Battery", "Equipment", "Inverter", "Load", "ModuleInverters", "Source", "Storage"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Load(Own):
    """What a final subcircuit supplies.

    power : what it takes from the supply [W]; where an efficiency [%] is given, what the shaft of its motor gives
    """

    word: ClassVar[str] = "load"
    kind: str = say(Choice("sockets", "lighting", "heater", "hot water", "cooking", "air conditioning", "motor", "pump", "EV supply",
                           "general", "spare"), "kind of load", short=True, asked=True)
    power: float = say(Amount("W", "3 kW", 0, 1e9), "power", short=True, asked=True)
    power_factor: str = say(Pattern(r"0\.[1-9]\d?|1(?:\.0)?", "0.85"), "power factor", default=None)
    efficiency: float = say(Amount("%", "87 %", 5, 100), "efficiency of the motor, whose power is then that of its shaft", default=None)
    start: float = say(Amount("A", "30 A", 0.1, 10_000, only=("A",)), "starting current", default=None)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)

    @property
    def symbol(self) -> str:  # type: ignore[override]
        """Symbol by the kind of load."""
        kind = "" if not isinstance(self.kind, str) else self.kind
        return {"spare": "spare", "sockets": "sockets", "lighting": "lighting", "heater": "heater", "hot water": "heater", "cooking": "heater", "motor": "motor",
                "pump": "motor", "EV supply": "ev-supply"}.get(kind, "load")


@dataclass(frozen=True, eq=False, kw_only=True)
class Equipment(Own):
    """Equipment at the end of a chain."""

    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    type_: Said = say(Ref("type", example="storage-ac-b"), "type", required=True)
    address: str = say(Free("12"), "address on its bus")
    commissioned: datetime.date = say(Day(), "date of commissioning")
    settings: Mapping[str, Setting] = say(Table(Nested(Setting), names=SETTING), "settings", default={})


class Source:
    """Mixed into equipment that can feed the installation."""


@dataclass(frozen=True, eq=False, kw_only=True)
class ModuleInverters(Source, Equipment):
    """A row of module-level inverters on one trunk."""

    word: ClassVar[str] = "module-level inverters"
    example_type: ClassVar[str] = "module-410"
    symbol: ClassVar[str] = "module-inverters"
    number: int = say(NumberOf(1, 10_000, "11"), "number of inverters", required=True)
    trunk: Cable = say(Nested(Cable, "trunk"), "trunk cable")


@dataclass(frozen=True, eq=False, kw_only=True)
class Array(Own):
    """A photovoltaic array on one input of an inverter, with what stands between, from the inverter outwards. power [W peak].

    open_circuit: its open-circuit voltage at the lowest temperature of the place [V], or, from which it is computed, in_string: modules in series;
    module_voltage: open-circuit voltage of one at 25 °C [V]; voltage_coefficient: how it changes with temperature [%/K]. strings: in parallel; string_current: of one of them,
    short-circuited [A]; string_fuse: one in each string, none where not given [A]. frame_bonded_to: the earth bar of this board, or this bar.
    """

    word: ClassVar[str] = "array"
    symbol: ClassVar[str] = "array"
    power: float = say(Amount("W", "5 kW", 0, 1e9), "power", short=True, asked=True)
    modules: int = say(NumberOf(1, 100_000, "12"), "number of modules")
    module: str = say(Free("Example Works EX-410"), "maker and model of its modules")
    open_circuit: float = say(Amount("V", "480 V", 0, 10_000, only=("V",)), "open-circuit voltage at the lowest temperature", default=None)
    in_string: int = say(NumberOf(1, 1000, "12"), "modules in a string", default=None)
    module_voltage: float = say(Amount("V", "49 V", 0, 2000, only=("V",)), "open-circuit voltage of a module at 25 °C")
    voltage_coefficient: float = say(Amount("%/K", "-0.27 %/K", -2, 0), "temperature coefficient of the open-circuit voltage")
    strings: int = say(NumberOf(1, 10_000, "3"), "strings in parallel", default=None)
    string_current: float = say(Amount("A", "14 A", 0, 1000, only=("A",)), "short-circuit current of one string")
    largest_fuse: float = say(Amount("A", "25 A", 0, 1000, only=("A",)), "largest fuse that the module's maker allows")
    string_fuse: float = say(Amount("A", "20 A", 0, 1000, only=("A",)), "fuse in each string", default=None)
    frame_bonded_to: Said | None = say(Ref("board", "earth bar", example="MSB"), "where its frame is bonded", default=None)
    input: str = say(Free("1"), "input of the inverter", default="")
    in_line: tuple[Own, ...] = say(IN_LINE, "devices in line", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class Inverter(Source, Equipment):
    """A string inverter with its arrays."""

    word: ClassVar[str] = "inverter"
    example_type: ClassVar[str] = "inverter-1ph-4"
    symbol: ClassVar[str] = "inverter"
    arrays: tuple[Array, ...] = say(Each(Nested(Array)), "arrays")


@dataclass(frozen=True, eq=False, kw_only=True)
class Storage(Source, Equipment):
    """A storage unit with its own converter (AC coupled)."""

    word: ClassVar[str] = "storage unit"
    symbol: ClassVar[str] = "storage"




@dataclass(frozen=True, eq=False, kw_only=True)
class Battery(Own):
    """A battery on the direct-current side of an inverter, with what stands between, from the inverter outwards. energy [Wh]."""

    word: ClassVar[str] = "battery"
    symbol: ClassVar[str] = "battery"
    type_: Said = say(Ref("type", example="battery-dc-10"), "type", default=None)
    energy: float = say(Amount("Wh", "10 kWh", 0, 1e9), "usable energy", short=True, asked=True)
    in_line: tuple[Own, ...] = say(IN_LINE, "devices in line", default=())


EQUIPMENT: dict[str, type[Own]] = {"module_inverters": ModuleInverters, "inverter": Inverter, "storage": Storage}
"""Equipment that a chain can end at, by its word."""
