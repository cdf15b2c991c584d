# SPDX-License-Identifier: MIT
"""Slips of generated sites that make exactly one check of facts and earthing speak."""
from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["FACTS"]

WIDE = {"voltage-rise-total": "90 %", "voltage-drop": "90 %", "ambient-air-temperature": "30 degC", "ambient-ground-temperature": "20 degC",
        "generation-total-1ph": "900 kVA", "export-default-1ph": "900 kW"}
"""Australian limits that the slip is not about, set out of reach."""


def _bare_frames(text: str) -> str:
    """String inverters whose frames are bonded nowhere stand in the place of the module-level inverters, by Australian figures."""
    text, number = re.subn(r"module_inverters: \{id: (\w+), type: module-410, number: \d+, phase: (L\d), trunk: .*\}\}$",
                           r"inverter: {id: \1, type: small, phase: \2, arrays: [{power: 1 kW}]}}", text, flags=re.M)
    if not number:
        raise ValueError("nothing to change: no module-level inverters")
    limits = "".join(f"  {id_}: {{value: {value}, reason: a slip, by: A. Example, role: licensed electrician, date: 2026-01-05}}\n" for id_, value in WIDE.items())
    head = f"profile: [au]\nlimits: {{phase_difference: 900 kVA}}\nlimits_override:\n{limits}supply:\n"
    text = re.sub(r"busbar: \d+ A", "busbar: 9000 A", text).replace("supply:\n", head, 1)
    return f"{text}types:\n  small: {{kind: inverter, power: 1 kVA, phases: 1, disconnects_itself: yes}}\n"


def _left_neutral(text: str) -> str:
    """A circuit on the first solar board whose neutral stayed on the main switchboard, outside its own residual current device."""
    board = re.search(r"^  SB1:\n(?:    .*\n)*?    ways: (\d+)\n(?:    .*\n)*?    circuits:\n", text, re.M)
    if board is None:
        raise ValueError("nothing to change: no solar board")
    circuit = (f"      - {{way: {board[1]}, phase: L1, name: Slip, moved_from: MSB, neutral_moved: no, in_line: [rcbo: 10 A C 1P+N 30 mA type A 6 kA, "
               "cable: 2.5 mm² 2C+2.5E Cu PVC 3 m in wall], load: heater 1 kW}\n")
    return text[:board.end()] + circuit + text[board.end():]


def _bare_strings(text: str) -> str:
    """String inverters with four strings and no string fuse stand in the place of the module-level inverters."""
    text, number = re.subn(r"module_inverters: \{id: (\w+), type: module-410, number: \d+, phase: (L\d), trunk: .*\}\}$",
                           r"inverter: {id: \1, type: small, phase: \2, arrays: [{power: 1 kW, strings: 4, string_current: 14 A, largest_fuse: 25 A}]}}",
                           text, flags=re.M)
    if not number:
        raise ValueError("nothing to change: no module-level inverters")
    return f"{text}types:\n  small: {{kind: inverter, power: 1 kVA, phases: 1, disconnects_itself: yes}}\n"


FACTS: dict[str, Callable[[str], str]] = {"array-not-bonded": _bare_frames, "dc-string-not-protected": _bare_strings,
                                           "neutral-borrowed": _left_neutral}
"""For each rule a slip that makes it speak, and no other. Each raises ValueError where there is nothing to change."""
