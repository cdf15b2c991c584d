# SPDX-License-Identifier: MIT
"""Protection settings: what each protective device is rated for, and the settings of what disconnects sources, beside those made."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from topology.electrical import solve
from topology.dataclass import dataclass
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.quantity import QuantityError, parse_quantity, show_quantity
from topology.records import Setting
from topology.results import setting_unit
from topology.selectivity import holds_up_to
from topology.site import Device, Equipment, Generator, Inlet, InterfaceProtection, Ported, Source

from .article import ratings
from .columns import BOARD, CIRCUIT, ID, NAME, STATUS, Cell, Column, Table, build, dotted, given
from .sourced import facts_of, profiles_of
from .walk import Found, find

__all__ = ["protection"]

RESPONSES = ("P(", "Q(", "cos ", "ramp", "export limit")
"""How functions begin that make an inverter give more or less; an interface protection only disconnects."""


@dataclass(frozen=True, eq=False)
class _Row:
    """A rating or a setting. proposed: by the profile; made: the setting that the site file says was made."""

    found: Found
    function: str
    fixed: Cell = None
    proposed: Cell = None
    delay: Cell = None
    source: str = ""
    seen: str = ""
    made: Any = None
    before: Cell = None
    alone: Cell = None


def protection(flows: Flows) -> Table:
    """The protection schedule: ratings of protective devices, and settings by the site's first profile for what disconnects sources."""
    profile = next(iter(profiles_of(flows)), "iec")
    proposed = (f"Proposed settings: profile {profile}. The network operator's approval and the makers' instructions prevail; "
                "what is known from memory alone has to be looked up before it is used.")
    notes = ("Selective: up to this fault current the device opens alone, by the bands of IEC 60898-1; beyond it, and for fuses, by the makers' tables.",)
    return build("protection", "Protection settings", COLUMNS, _rows(flows, profile), notes, {"values to set": (proposed,)})


def _rows(flows: Flows, profile: str) -> Iterator[_Row]:
    for found in find(flows, Device):
        if getattr(found.obj, "limits_current", False) or hasattr(found.obj, "residual"):
            yield _Row(found, "ratings", ratings(found.obj) or None, **_selective(flows, found.obj))
        yield from _settings(found, profile if isinstance(found.obj, InterfaceProtection) else "")
    for cls in (Equipment, Ported):
        for found in find(flows, cls):
            inverter = isinstance(found.obj, Source) and not isinstance(found.obj, Generator | Inlet)
            yield from _settings(found, profile if inverter else "")


def _selective(flows: Flows, device: Any) -> dict[str, Cell]:
    """The next device towards the supply that limits current, and up to which fault current this one opens before it."""
    solved = solve(flows)
    upstream = solved.faults.device(solved.node(device.id)) if device.id in solved.tree.index and getattr(device, "limits_current", False) else None
    if upstream is None:
        return {}
    try:
        alone = holds_up_to(solved.given.tables, upstream, device)
    except CannotTell as error:
        return {"before": upstream.id, "alone": error.unknown}
    return {"before": upstream.id, "alone": "maker's table" if alone is None else alone or "not selective"}


def _settings(found: Found, profile: str) -> Iterator[_Row]:
    """The settings that a profile proposes, with what was made of each; then those that only the file has."""
    made = dict(found.obj.settings) if isinstance(given(found.obj, "settings"), dict) else {}
    for row in facts_of("settings") if profile else ():
        if row["profile"] == profile and not (isinstance(found.obj, InterfaceProtection) and row["function"].startswith(RESPONSES)):
            own = made.pop(row["function"], None) or made.pop(row["function"].partition(" (")[0], None)
            yield _Row(found, row["function"], None, row["value"] or None, row["delay"] or None, row["source"], row["found"], own)
    for function, setting in made.items():
        yield _Row(found, function, made=setting)


def _made(row: _Row, name: str) -> Cell:
    value = dotted(row.made, name) if isinstance(row.made, Setting) else row.made
    return value if value is None or isinstance(value, Unknown) else str(value)


def _beside(row: _Row) -> Cell:
    """That a voltage or frequency was set otherwise than the profile proposes; nothing where it is as proposed or cannot be compared."""
    made, unit = _made(row, "value"), setting_unit(row.function)
    if not unit or not isinstance(made, str) or not isinstance(row.proposed, str):
        return None
    try:
        return "DIFFERS" if parse_quantity(made, unit) != parse_quantity(row.proposed, unit) else None
    except QuantityError:
        return None


def _made_delay(row: _Row) -> Cell:
    delay = dotted(row.made, "delay") if isinstance(row.made, Setting) else None
    return show_quantity(delay, "s") if isinstance(delay, float) else delay


COLUMNS: tuple[tuple[Column, Callable[[_Row], Any]], ...] = (
    (replace(ID, part="ratings"), lambda r: r.found.obj.id),
    (replace(NAME, part="ratings"), lambda r: r.found.obj.name),
    (Column("device", part="ratings", key=True), lambda r: r.found.obj.word),
    (replace(BOARD, part="ratings", key=True), lambda r: r.found.board),
    (replace(CIRCUIT, part="ratings", key=True), lambda r: r.found.circuit),
    (replace(STATUS, part="ratings", key=True), lambda r: r.found.obj.status),
    (Column("fixed value", part="ratings", tells=True), lambda r: r.fixed),
    (Column("device before it", part="ratings", tells=True), lambda r: r.before),
    (Column("selective with it up to", "A", digits=0, part="ratings", tells=True), lambda r: r.alone),
    (Column("function", part="values to set"), lambda r: r.function),
    (Column("proposed value", part="values to set", tells=True, aside=True, brief=24), lambda r: r.proposed),
    (Column("proposed delay", part="values to set", tells=True), lambda r: r.delay),
    (Column("source", part="values to set", aside=True, tells=True), lambda r: r.source),
    (Column("source seen as", part="values to set"), lambda r: r.seen),
    (Column("as set", part="values to set", room=10, tells=True), lambda r: _made(r, "value")),
    (Column("delay as set", part="values to set", room=8, tells=True), _made_delay),
    (Column("beside the proposal", part="values to set"), _beside),
    (Column("set by", part="values to set", room=10), lambda r: _made(r, "by")),
    (Column("date", part="values to set", room=10), lambda r: _made(r, "date")),
)
