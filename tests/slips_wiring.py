# SPDX-License-Identifier: MIT
"""Slips of generated sites that make exactly one check of buses, leads, neutrals or inverters side by side speak."""
from __future__ import annotations

import re
from collections.abc import Callable

from slips_backup import last_way, with_backup

__all__ = ["SEVERAL_PHASES", "WIRING"]

Slip = Callable[[str], str]
SEVERAL_PHASES = frozenset(["combined-neutral-overloaded", "phase-stays-closed"])
"""Slips that a single-phase site cannot have"""
LAID = "2C+2.5E Cu PVC 3 m in wall"


def _swap(text: str, pattern: str, new: str) -> str:
    """The text with the first place that fits replaced. Raises ValueError where none does."""
    changed, number = re.subn(pattern, new, text, count=1, flags=re.M)
    if not number:
        raise ValueError(f"nothing to change: {pattern}")
    return changed


def _replaced(pattern: str, new: str, types: str = "") -> Slip:
    """A slip that replaces one place and adds a type."""
    return lambda text: _swap(text, pattern, new) + (f"types:\n  {types}\n" if types else "")


def _long_tee(text: str) -> str:
    """A tap in the last segment of the bus, with a tee of 7 m to one more adapter; the type of bus allows tees of 5 m."""
    text = _swap(text, r"^    type: bus-shielded-pair-60$", "    type: bus-tees-120\n    taps: {T9: {name: Terminal block}}")
    text = _swap(text, r"^(controllers:)$", r'\1\n  BA9: {kind: bus adapter, place: SB1, address: "99"}')
    return _swap(text, r"^( +- \{from: (\w+), to: )(\w+)(, length: )\d+ m, shield_bond: \w+\}\n( +terminators)",
                 r"\1T9\g<4>2 m, shield_bond: \2}\n      - {from: T9, to: \3\g<4>2 m, shield_bond: T9}\n      - {from: T9, to: BA9\g<4>7 m, shield_bond: T9}\n\5")


def _combined(neutral: str, breaker: str, phases: tuple[str, ...]) -> Slip:
    """A slip that adds storage units which share a neutral, on the last way of the first solar board."""
    relay = "disconnection_device: {id: KD9, type: disconnect-3ph-40, rating: 40 A 3P+N}"
    units = ", ".join(f"{{id: U{n}, phase: {phase}, in_line: [isolator: 32 A 2P], feeds: {{storage: {{id: BAT9{n}, type: unit, phase: {phase}, address: \"9{n}\"}}}}}}"
                      for n, phase in enumerate(phases))

    def slip(text: str) -> str:
        end = f"neutral: {neutral}, circuits: [{units}]"
        text = last_way(text, f"breaker: {breaker} 6 kA, {relay}", end)
        text = text if len(set(phases)) == 1 else _swap(text, r"phase: L1, (name: Slip)", r"\1")
        return f"{text}types:\n  unit: {{kind: storage, power: 2.7 kVA, energy: 6 kWh, phases: 1, disconnects_itself: no, opens: L N, terminal: 10 mm², combined_neutral: yes}}\n"
    return slip


def _unseen_row(text: str) -> str:
    relay = "disconnection_device: {id: KG9, type: disconnect-1ph-32, rating: 32 A 1P+N}"
    return last_way(text, f"breaker: 10 A C 2P 6 kA, {relay}, cable: 2.5 mm² {LAID}", "feeds: {module_inverters: {id: INV99, type: module-410, number: 2, phase: L1}}")


def _string_inverter(board: str) -> Slip:
    """A slip that puts a string inverter with a sensor of its own onto a board."""
    def slip(text: str) -> str:
        ct = "ct: {id: CG99, measures: generation, phase: L1, P1: to supply, lead: 2 m}"
        text = last_way(text, f"breaker: 10 A C 2P 6 kA, {ct}, cable: 2.5 mm² {LAID}", "feeds: {inverter: {id: INV99, type: small, phase: L1}}", board)
        text = _swap(text, r"(inputs: \{)", r"\g<1>99: CG99 on L1, ")
        return f"{text}types:\n  small: {{kind: inverter, power: 1 kVA, phases: 1, disconnects_itself: yes}}\n"
    return slip


def _shared_neutral(text: str) -> str:
    """Two heaters on one phase with one neutral."""
    text = last_way(text, f"breaker: 10 A C 1P 6 kA, cable: 2.5 mm² {LAID}", "load: heater 1 kW")
    return _swap(text, r"^(      - \{way: )(\d+)(, phase: L1, )(name: Slip, .*\n)", lambda m: f"{m[0]}{m[1]}{int(m[2]) - 1}{m[3]}shares_neutral_with: SB1.{m[2]}, {m[4]}")


def _no_grid_sensor(text: str) -> str:
    """The phase of the first row of inverters has no grid sensor."""
    row = re.search(r"module_inverters: \{.*phase: L(\d)", text)
    if row is None:
        raise ValueError("nothing to change: no module-level inverters")
    return _swap(_swap(text, rf"^    - ct: \{{id: CT{row[1]},.*\n", ""), rf"{row[1]}: CT{row[1]} on L{row[1]}, ", "")


def _one_pole(text: str) -> str:
    phases = "L1 L2 L3" if "  system: 3/" in text else "L1 L2"
    text = last_way(text, "breaker: 10 A C 1P 6 kA, cable: 2.5 mm² 4C+2.5E Cu PVC 3 m in wall", f"load: {{kind: heater, power: 1 kW, phase: {phases}}}")
    return _swap(text, r"phase: L1, (name: Slip)", r"\1")


WIRING: dict[str, Slip] = {
    "backup-overloaded": lambda text: with_backup(text).replace("power: 4 kVA", "power: 0.5 kVA"),
    "bus-medium-wrong": _replaced(r"(- \{from: BA1, to: \w+, )", r"\1medium: unshielded twisted pair, "),
    "bus-tee-too-long": _long_tee,
    "bus-too-many-devices": _replaced(r"^    type: bus-shielded-pair-60$", "    type: few",
                                      "few: {kind: bus, max_length: 60 m, max_devices: 3, tees: no, shield: yes, terminator: 120 ohm, medium: shielded twisted pair}"),
    "combined-neutral-overloaded": _combined("6 mm²", "20 A C 4P", ("L1", "L2", "L3")),
    "combined-neutral-wrong": _combined("16 mm²", "32 A C 2P", ("L1", "L1")),
    "generation-sensor-misses": _unseen_row,
    "lead-extended": _replaced(r"(joined_to: GW1, )lead: 0\.5 m", r"type: adapter-rs, \1lead: [0.5 m, 0.2 m]"),
    "lead-too-long": _replaced(r"(id: CT1, .*)lead: 3 m\}(\n(?:.*\n)*controllers:)", r"\1type: sensor-100, lead: 46 m}\2"),
    "pe-joins-linked-parts": _replaced(r"\], feeds: SB1\}", ", ne_link: {id: NE9, electrode: rod 6 mm²}], feeds: SB1}"),
    "phase-stays-closed": _one_pole,
    "phase-without-sensor": _no_grid_sensor,
    "power-line-beside-string": _string_inverter("SB1"),
    "sensor-burden-exceeded": _replaced(r"(id: CT1, .*)secondary: 0\.333 V, lead: 3 m\}(\n(?:.*\n)*controllers:)", r"\1secondary: 5 A, type: core, lead: 60 m 1 mm²}\2",
                                        "core: {kind: sensor, burden: 1 VA}"),
    "sensor-reversed": lambda text: _swap(_swap(text, r"(GW1: \{kind: gateway, )", r"\1type: gateway-12, "), r"(id: CT1, .*P1: )to supply", r"\1to load"),
    "shared-neutral-adds-up": _shared_neutral,
    "submain-without-filter": _string_inverter("MSB")}
"""For each rule a slip that makes it speak, and no other. Each raises ValueError where there is nothing to change."""
