# SPDX-License-Identifier: MIT
"""Types of equipment, sensors and buses: what the maker or a standard says of them, with the document behind it."""
from __future__ import annotations

from typing import ClassVar

from .control import MEDIA
from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Free, ManyWords, NumberOf, YesNo
from .parts import POLES, Part

__all__ = ["CHEMISTRY", "EquipmentType"]

CHEMISTRY = ("lithium-ion", "lithium metal", "flooded lead", "valve-regulated lead", "nickel metal hydride")
"""Chemistries of batteries that signs for the fire service tell apart."""


@dataclass(frozen=True, eq=False, kw_only=True)
class EquipmentType(Part):
    """A type of equipment: what its maker or standard says of it. document: where that is written."""

    word: ClassVar[str] = "type"
    kind: str = say(Choice("module inverter", "inverter", "hybrid inverter", "storage", "battery", "generator", "disconnection device", "bus", "sensor",
                           "controller", "protective device"), "kind", required=True)
    document: str = say(Free("data sheet 12"), "document", default="")
    standard: str = say(Free("AS/NZS 4777.2:2020"), "standard and edition that it is listed to", default="")
    description: str = say(Free("generic storage unit"), "description", default="")
    maker: str = say(Free("Example Works"), "maker", default="")
    model: str = say(Free("EX-5"), "model", default="")
    series: str = say(Free("EX"), "series")
    certificate: str = say(Free("C 0000"), "reference of the certificate", default="")
    technology: str = say(Free("0"), "technology code of the application form")
    demand_response: bool = say(YesNo(), "answers demand response")
    chemistry: str = say(Choice(*CHEMISTRY), "chemistry", default="")
    power: float = say(Amount("VA", "2.7 kVA", 0, 1e9), "rated power")
    limit: float = say(Amount("VA", "2.5 kVA", 0, 1e9), "limited power")
    surge: float = say(Amount("A", "45 A", 0.1, 10_000, only=("A",)), "current for a short time", default=None)
    energy: float = say(Amount("Wh", "6 kWh", 0, 1e9), "usable energy")
    phases: int = say(NumberOf(1, 3, "1"), "phases")
    dc_voltage: float = say(Amount("V", "600 V", 0, 10_000, only=("V",)), "largest direct voltage of an input", default=None)
    rating: float = say(Amount("A", "32 A", 0.1, 10_000, only=("A",)), "rating")
    poles: str = say(Choice(*POLES), "poles")
    disconnects_itself: bool = say(YesNo(), "built-in disconnection")
    power_line: bool = say(YesNo(), "communication over the power line", default=False)
    max_length: float = say(Amount("m", "60 m", 0, 100_000), "longest bus")
    max_devices: int = say(NumberOf(2, 1000, "16"), "most devices")
    tees: bool = say(YesNo(), "tees allowed", default=False)
    shield: bool = say(YesNo(), "shielded", default=True)
    terminator: float = say(Amount("ohm", "120 ohm", 1, 10_000), "terminator")
    medium: str = say(Choice(*MEDIA), "medium", default="")
    max_tee: float = say(Amount("m", "20 m", 0, 10_000), "longest tee", default=None)
    tee_budget: float = say(Amount("m", "40 m", 0, 10_000), "length that the tees of one tap share", default=None)
    velocity: float = say(Amount("%", "66 %", 10, 100), "speed of signals in the cable, of that of light", default=None)
    rise_time: float = say(Amount("s", "250 ns", 1e-10, 1), "rise time of its drivers", default=None)
    polarised_less: int = say(NumberOf(0, 100, "4"), "devices fewer on a polarised bus", default=None)
    bond_ends: str = say(Choice("one", "both"), "ends of a section at which the shield is bonded", default="one")
    max_units_circuit: int = say(NumberOf(1, 1000, "3"), "most units on a circuit", default=None)
    max_units_phase: int = say(NumberOf(1, 1000, "3"), "most units on a phase", default=None)
    circuit: float = say(Amount("A", "16 A", 0.1, 10_000, only=("A",)), "rating of its circuit", default=None)
    opens: tuple[str, ...] = say(ManyWords("L1", "L2", "L3", "L", "N", example="L N"), "conductors that its disconnection must open", default=None)
    side_by_side: float = say(Amount("%", "80 %", 10, 100), "share of its rating beside others that carry for hours", default=None)
    in_enclosure: float = say(Amount("%", "93 %", 10, 100), "share of its rating at the temperature in its enclosure", default=None)
    let_through: float = say(Amount("A2s", "18000 A²s", 1, 1e12), "let-through energy", default=None)
    energy_class: str = say(Choice("1", "2", "3"), "energy limiting class", default=None)
    terminal: float = say(Amount("mm2", "6 mm²", 0.5, 500), "largest conductor that its terminal takes", default=None)
    combined_neutral: bool = say(YesNo(), "combined neutral allowed", default=None)
    never_opposed: bool = say(YesNo(), "units that never oppose each other", default=False)
    forms_grid: bool = say(YesNo(), "feeds loads without the supply", default=False)
    max_lead: float = say(Amount("m", "0.8 m", 0, 10_000), "longest lead", default=None)
    extends: bool = say(YesNo(), "lead may be extended", default=None)
    extension: float = say(Amount("mm2", "1 mm²", 0.05, 50), "cross-section of an extension", default=None)
    extension_make: tuple[str, ...] = say(ManyWords("twisted pair", "shielded", example="twisted pair"), "make of an extension", default=())
    burden: float = say(Amount("VA", "2.5 VA", 0, 1000), "rated burden", default=None)
    input_burden: float = say(Amount("VA", "0.5 VA", 0, 1000), "burden of an input", default=None)
    P1: str = say(Choice("to supply", "to load"), "direction of P1 that it expects", default=None)
