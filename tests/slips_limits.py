# SPDX-License-Identifier: MIT
"""Slips of generated sites that make exactly one check of limits speak; profiles, limits and overrides are put at the head of the file."""
from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["LIMITS", "THREE_PHASE"]

WIDE = {"generation-total-1ph": "900 kVA", "generation-total-3ph": "900 kVA", "generation-per-phase": "900 kVA", "generation-solar-1ph": "900 kVA",
        "generation-storage-1ph": "900 kVA", "generation-solar-3ph": "900 kVA", "generation-storage-3ph": "900 kVA", "generation-limit": "900 kVA",
        "export-1ph": "900 kW", "export-default-1ph": "900 kW", "voltage-rise-total": "90 %", "voltage-drop": "90 %", "ambient-air-temperature": "30 degC",
        "ambient-ground-temperature": "20 degC"}
"""Limits that the slip is not about, set out of reach."""
COUNTRY = ("voltage-rise-total", "voltage-drop", "ambient-air-temperature", "ambient-ground-temperature")
"""What a country has and the international profile has otherwise."""
THREE_PHASE = frozenset(["phase-difference-over-limit"])
"""Slips that a single-phase site cannot have."""


def _set(id_: str, value: str) -> str:
    return f"  {id_}: {{value: {value}, reason: a slip, by: A. Example, role: licensed electrician, date: 2026-01-05}}"


def _head(limits: str = "", profile: str = "", wide: tuple[str, ...] = (), then: Callable[[str], str] = str, **own: str) -> Callable[[str], str]:
    """A slip that puts limits, a profile and overrides before the supply. own: overrides, with _ for -."""
    overrides = [_set(id_, WIDE[id_]) for id_ in wide] + [_set(id_.replace("_", "-"), value) for id_, value in own.items()]
    lines = [*([f"limits: {{{limits}}}"] if limits else []), *([f"profile: [{profile}]"] if profile else []),
             *(["limits_override:", *overrides] if overrides else [])]

    def slip(text: str) -> str:
        if "module_inverters" not in text:
            raise ValueError("nothing to change: no source")
        return then(text.replace("supply:\n", "\n".join([*lines, "supply:\n"]), 1))
    return slip


def _small_bar(text: str) -> str:
    """The busbar of the first solar board carries 10 A."""
    return re.sub(r"(  SB1:\n    name: .*\n    busbar: )\d+ A", r"\g<1>10 A", text, count=1)


def _large_bars(text: str) -> str:
    return text.replace("busbar: 100 A", "busbar: 9000 A")


def _wrong_rcd(text: str) -> str:
    return _large_bars(text).replace("type A 6 kA", "type AC 6 kA", 1)


def _large_arrays(text: str) -> str:
    """String inverters with large arrays stand where the module-level inverters were."""
    swapped = re.sub(r"module_inverters: \{id: (\w+), type: module-410, number: \d+, phase: (L\d), trunk: .*\}\}$",
                     r"inverter: {id: \1, type: small, phase: \2, arrays: [{power: 90 kW}]}}", text, flags=re.M)
    return f"{swapped}types:\n  small: {{kind: inverter, power: 1 kVA, phases: 1, disconnects_itself: yes}}\n"


LIMITS: dict[str, Callable[[str], str]] = {
    "application-field-missing": _head(then=lambda text: text.replace("supply:\n", "drawing: {status: for application}\nsupply:\n", 1)),
    "array-over-inverter": _head(profile="iec, operator/endeavour", wide=("generation-total-1ph", "generation-total-3ph", "export-1ph"), then=_large_arrays),
    "danger-limit-lifted": _head("phase_difference: 900 kVA", "uk", COUNTRY, _large_bars, busbar_sum_factor="1.1"),
    "busbar-overfed-far-end": _head(profile="iec, us", then=_small_bar),
    "export-limit-not-enforced": _head("export: 0.1 kW"),
    "export-over-limit": _head(profile="iec, operator/sapn", export_per_phase="0.1 kW"),
    "generation-limit-not-held": _head("generation: 0.1 kVA"),
    "generation-over-limit": _head("nameplate: 0.1 kVA"),
    "interface-protection-missing": _head(profile="iec, operator/evoenergy", wide=("generation-total-1ph", "generation-per-phase"), interface_threshold="0.1 kVA"),
    "limit-override-idle": _head(no_such_limit="1"),
    "main-switch-not-allocation": _head(profile="iec, operator/western-power", wide=tuple(id_ for id_ in WIDE if id_ not in (
        "generation-total-3ph", "export-default-1ph", *COUNTRY[1:]))),
    "meter-one-way": _head(then=lambda text: text.replace("id: M1, direction: both", "id: M1, direction: import")),
    "phase-difference-over-limit": _head("phase_difference: 0.1 kVA"),
    "sensor-primary-low": _head(then=lambda text: re.sub(r"primary: \d+ A", "primary: 5 A", text, count=1)),
    "two-masters": _head(then=lambda text: text.replace("controllers:\n", "controllers:\n  GW0: {kind: gateway, joined_to: GW1, inputs: {1: CT0 on L1}}\n", 1).replace(
        "    - ct: {id: CT1,", "    - ct: {id: CT0, measures: grid, phase: L1, P1: to supply}\n    - ct: {id: CT1,", 1)),
    "rcd-type-ac": _head("phase_difference: 900 kVA", "au", wide=("generation-total-1ph", "export-default-1ph", *COUNTRY), then=_wrong_rcd)}
"""For each rule of limits a slip that makes it speak, and no other, on a site with sources. Each raises ValueError where there is none."""
