# SPDX-License-Identifier: MIT
"""Slips of generated sites that make exactly one check of backup, of the second way in or of the maximum demand speak."""
from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["BACKUP", "guard", "last_way", "with_backup"]

Slip = Callable[[str], str]
RCBO = "rcbo: 16 A C 1P+N 30 mA type A 6 kA"
BRITISH = {"voltage-rise-total": "90 %", "voltage-drop": "90 %", "voltage-drop-lighting": "90 %"}
"""British limits that the slips are not about, set out of reach."""


def _swap(text: str, pattern: str, new: str) -> str:
    """The text with the first place that fits replaced. Raises ValueError where none does."""
    changed, number = re.subn(pattern, new, text, count=1, flags=re.M)
    if not number:
        raise ValueError(f"nothing to change: {pattern}")
    return changed


def guard(text: str, in_line: str) -> str:
    """The residual current device that a circuit needs where the supply brings no earth, as the head of its chain; else empty."""
    return "rcd: 40 A 2P 30 mA type A, " if "/N AC" in text and "rcd" not in in_line and "rcbo" not in in_line else ""


def last_way(text: str, in_line: str, end: str, board: str = "SB1", guarded: bool = True) -> str:
    """The text with a circuit of phase L1 on the last way of a board, on a site that has solar. guarded: with what a TT supply asks for."""
    if "  SB1:" not in text:
        raise ValueError("nothing to change: no solar board")
    return _swap(text, rf"(^  {board}:\n(?:    .*\n)*?    ways: (\d+)\n(?:    .*\n)*?    circuits:\n)",
                 rf"\1      - {{way: \2, phase: L1, name: Slip, in_line: [{guard(text, in_line) if guarded else ''}{in_line}], {end}}}\n")


def with_backup(text: str, device: str = RCBO) -> str:
    """The text with a hybrid inverter on the first solar board that backs up sockets."""
    text = last_way(text, "breaker: 40 A C 2P 6 kA, cable: 10 mm² 2C+10E Cu PVC 3 m in wall, isolator: 40 A 2P", "feeds: HY1.grid")
    board = ("  BB:\n    name: Backup board\n    busbar: 63 A\n    circuits:\n      - {way: 1, name: Kept alive, in_line: [" + device
             + ", cable: 2.5 mm² 2C+2.5E Cu PVC 3 m in wall], load: sockets 1 kW}\n")
    text = _swap(text, r"^(controllers:)$", rf"{board}\1")
    back = "{in_line: [breaker: 25 A C 2P 6 kA, cable: 6 mm² 2C+6E Cu PVC 3 m in wall], feeds: BB}"
    return (f"{text}devices:\n  HY1: {{kind: hybrid inverter, type: four, phase: L1, ne_relay: yes, ports: {{backup: {back}}}}}\n"
            "types:\n  four: {kind: hybrid inverter, power: 4 kVA, phases: 1, disconnects_itself: yes}\n")


def _generator_beside(text: str) -> str:
    """A generator takes the place of the hybrid inverter behind a changeover that leaves the neutral closed, and has no N–E link of its own."""
    text = with_backup(text).replace("feeds: BB}}}\ntypes:", "feeds: QA9.normal}}}\ntypes:")
    out = "{in_line: [breaker: 25 A C 2P 6 kA, cable: 6 mm² 2C+6E Cu PVC 3 m in wall], feeds: QA9.alternative}"
    return _swap(text, r"^(devices:\n)", rf"\1  G9: {{kind: generator inlet, rating: 32 A, phase: L1, ne_link: no, ports: {{out: {out}}}}}\n"
                 "  QA9: {kind: changeover, operated: interlocked, rating: 40 A, poles: 1P solid-N, ports: {load: {feeds: BB}}}\n")


def _british(text: str) -> str:
    said = "".join(f"  {id_}: {{value: {value}, reason: a slip, by: A. Example, role: licensed electrician, date: 2026-01-05}}\n"
                   for id_, value in BRITISH.items())
    return _swap(re.sub(r"busbar: \d+ A", "busbar: 9000 A", text), r"^(supply:)$", rf"profile: [uk]\nlimits: {{phase_difference: 900 kVA}}\nlimits_override:\n{said}\1")


def _all_at_once(text: str) -> str:
    """Every board says that all its loads run together, and the operator has set 1 A aside."""
    text = _swap(text, r"^(  SB1:)$", r"\1").replace("  allocation: 63 A\n", "  allocation: 1 A\n")
    return re.sub(r"^    busbar:", "    diversity: 100 %\n    busbar:", text, flags=re.M)


def _high_strings(text: str) -> str:
    """String inverters whose arrays have more volts than their inputs take stand in the place of the module-level inverters."""
    text, number = re.subn(r"module_inverters: \{id: (\w+), type: module-410, number: \d+, phase: (L\d), trunk: .*\}\}$",
                           r"inverter: {id: \1, type: small, phase: \2, arrays: [{power: 1 kW, open_circuit: 640 V}]}}", text, flags=re.M)
    if not number:
        raise ValueError("nothing to change: no module-level inverters")
    return f"{text}types:\n  small: {{kind: inverter, power: 1 kVA, phases: 1, dc_voltage: 600 V, disconnects_itself: yes}}\n"


def _inlet_on_a_breaker(text: str) -> str:
    """An inlet for a generator behind a plain circuit-breaker of the first solar board; the main switch leaves the neutral closed."""
    text = last_way(text, "breaker: 16 A C 2P 6 kA, cable: 2.5 mm² 2C+2.5E Cu PVC 3 m in wall", "feeds: G1.out")
    text = re.sub(r"(\{id: Q1, rating: \d+ A) 2P", r"\1 1P", text) if "  system: 1/" in text else text
    return f"{text}devices:\n  G1: {{kind: generator inlet, rating: 16 A, phase: L1, ne_link: no}}\n"


def _no_electrode(text: str) -> str:
    """A site with backup that relies on the distributor's earth."""
    return _british(with_backup(text)).replace("ne_link: {id: NE1, electrode: rod 6 mm²}", "ne_link: {id: NE1}")


def _marked(text: str) -> str:
    """Line and load are marked on the breaker of the first storage unit."""
    return _british(_swap(text, r"breaker: 25 A C 2P 6 kA((?:\n.*rcd:.*)?\n.*id: KS1,)", r"breaker: {rating: 25 A C 2P 6 kA, sides_marked: yes}\1"))


def _left_alone(text: str) -> str:
    """The first storage unit feeds without the supply, behind a contactor that opens then."""
    text = _swap(text, r"^( +)(- isolator: \{id: QS1,.*\})$", r"\1- contactor: {id: KC1, rating: 32 A 2P, opens: on loss of supply}\n\1\2")
    text = _swap(text, r"(storage: \{id: BAT1, type: )storage-ac-b", r"\1own")
    return f"{text}types:\n  own: {{kind: storage, power: 2.7 kVA, energy: 6 kWh, phases: 1, disconnects_itself: no, opens: L N, forms_grid: yes}}\n"


def _outbuilding(device: str, ohm: int, load: str) -> Slip:
    """A slip that adds an outbuilding, without ohms on the site's protective conductor, else on an electrode of its own."""
    def slip(text: str) -> str:
        text = last_way(text, f"{device}, cable: 6 mm² 2C{'' if ohm else '+6E'} Cu PVC 3 m in wall", "feeds: OB", guarded=not ohm)
        board = ("  OB:\n    name: Outbuilding\n    busbar: 63 A\n    circuits:\n      - {way: 1, name: Lamp, in_line: [" + load
                 + ", cable: 2.5 mm² 2C+2.5E Cu PVC 3 m in wall], load: lighting 0.2 kW}\n")
        text = _swap(text, r"^(controllers:)$", rf"{board}\1")
        if not ohm:
            return text
        bar = f"  MET9: {{kind: main earth terminal, place: OB, electrode: rod 10 mm² {ohm} ohm}}\n"
        return _swap(text, r"^(earthing:\n)", rf"\1{bar}") if "\nearthing:\n" in text else f"{text}earthing:\n{bar}"
    return slip


def _as_built(text: str) -> str:
    text = _swap(text, r"^  SB1:\n", "  SB1:\n    status: new\n")
    return _swap(text, r"^(supply:)$", r"drawing: {status: as-built}\n\1")


def _said_backed_up(text: str) -> str:
    return _swap(last_way(text, f"{RCBO}, cable: 2.5 mm² 2C+2.5E Cu PVC 3 m in wall", "load: heater 1 kW"), r"(phase: L1, )(name: Slip)", r"\1backed_up: yes, \2")


BACKUP: dict[str, Slip] = {
    "allocation-exceeded": _all_at_once, "array-voltage-too-high": _high_strings, "earth-resistance-too-high": _outbuilding("breaker: 25 A C 2P 6 kA, rcd: 40 A 2P 300 mA type A", 190, "breaker: 16 A C 1P+N 6 kA"),
    "tt-circuit-without-rcd": _outbuilding("breaker: 25 A C 2P 6 kA", 80, "breaker: 16 A C 1P+N 6 kA"), "as-built-differs": _as_built,
    "backup-other-than-said": _said_backed_up, "upstream-may-trip-first": _outbuilding("breaker: 16 A C 2P 6 kA", 0, RCBO), "back-feed": _inlet_on_a_breaker,
    "island-without-electrode": _no_electrode, "link-lost-with-source": _generator_beside, "marked-device-fed-from-behind": _marked,
    "rcd-missing-in-backup": lambda text: with_backup(text, "breaker: 16 A C 1P 6 kA"), "storage-phase-without-backed-up-load": _left_alone}
"""For each rule a slip that makes it speak, and no other. Each raises ValueError where there is nothing to change."""
