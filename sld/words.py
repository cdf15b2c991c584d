# SPDX-License-Identifier: MIT
"""What the drawing writes beside an object: its designation and its ratings, TBC where they are not known."""
from __future__ import annotations

from typing import Any

from topology.errors import Unknown
from topology.fields import fields_of
from topology.graph import Bar, Joint
from topology.site import Board, Cable, CablePart, Controller, CurrentTransformer, Equipment, EquipmentType, Load, Meter, ModuleInverters, Thing
from topology.quantity import show_quantity

__all__ = ["cable_lines", "device_lines", "given", "ratings"]


def given(value: Any) -> bool:
    """Whether a value says something: known, or known to be open (TBC), but not simply left out."""
    return value is not None and value != "" if not isinstance(value, Unknown) else value.given


def ratings(obj: Any) -> str:
    """The short facts of an object as the trade writes them: 16 A 1P C 6 kA."""
    words = []
    for f in fields_of(type(obj)):
        if f.short and f.name in obj.marks:
            value = getattr(obj, f.name)
            words.append("TBC" if isinstance(value, Unknown) else f"{f.kind.before} {f.kind.show(value)}".strip())
    return " ".join(words)


def cable_lines(cable: Cable) -> tuple[str, ...]:
    """The cable's id where the user gave one, then each of its parts."""
    name = (cable.id,) if "." not in cable.id else ()
    if isinstance(cable.parts, Unknown):
        return (*name, "cable TBC")
    return (*name, *(ratings(run) or "cable TBC" for run in cable.runs if isinstance(run, CablePart)))


def device_lines(obj: Any, types: dict[str, EquipmentType]) -> tuple[str, ...]:
    """Designation, name, facts: one entry a line."""
    if isinstance(obj, Bar | Joint):
        return (obj.name,) if obj.name else ()
    lines = [obj.id] if "." not in obj.id else []
    if isinstance(obj, Thing) and given(obj.name):
        lines.append(str(obj.name))
    if isinstance(obj, Equipment):
        lines += _equipment_lines(obj, types)
    elif isinstance(obj, CurrentTransformer):
        lines += _sensor_lines(obj)
    elif isinstance(obj, Meter):
        lines.append(f"energy meter, {'import and export' if str(obj.direction) == 'both' else obj.direction}")
    elif isinstance(obj, Controller):
        lines += [str(obj.kind)]
    elif isinstance(obj, Board):
        lines += [f"busbar {_amount(obj.busbar, 'A')}"]
    else:
        facts = ratings(obj)
        lines += [f"{obj.kind} {_power(obj)}".strip() if isinstance(obj, Load) else facts] if facts else []
    return tuple(lines) or (getattr(obj, "word", ""),)


def _amount(value: Any, unit: str) -> str:
    return "TBC" if isinstance(value, Unknown) else show_quantity(value, unit)


def _power(load: Load) -> str:
    return _amount(load.power, "W") if given(load.power) else ""


def _equipment_lines(obj: Equipment, types: dict[str, EquipmentType]) -> list[str]:
    kind = types.get(getattr(obj.type_, "id", ""))
    power = kind.power if kind is not None else obj.type_
    count = f"{obj.number} × " if isinstance(obj, ModuleInverters) else ""
    lines = [str(obj.type_), f"{count}{_amount(power, 'VA')}"]
    if kind is not None and given(kind.energy):
        lines.append(_amount(kind.energy, "Wh"))
    if isinstance(obj.phase, tuple):
        lines.append(" ".join(obj.phase))
    if isinstance(obj, ModuleInverters) and isinstance(obj.trunk, Cable):
        lines += ["trunk", *cable_lines(obj.trunk)]
    return lines


def _sensor_lines(obj: CurrentTransformer) -> list[str]:
    phase = " ".join(obj.phase) if isinstance(obj.phase, tuple) else "TBC"
    lines = [f"{obj.measures} {phase}"]
    if given(obj.primary):
        lines.append(f"{_amount(obj.primary, 'A')} / {obj.secondary}")
    return lines
