# SPDX-License-Identifier: MIT
"""Facts that who reads drawing and schedules needs and that the site file leaves out: the survey list asks for them.

Ratings and kinds of devices, size and length of cables, rating and energy of sources (after the lists of operators: Western Power, page on
technical diagrams for inverter energy systems). What is TBC is said, so that it is not asked for twice.
"""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .errors import Unknown
from .flow import Flows
from .kinds import Said
from .site import (Battery, Breaker, Cable, DisconnectionDevice, EquipmentType, Fuse, FuseSwitch, Generator, HybridInverter, Inverter, Isolator,
                   ModuleInverters, Rcd, Storage, Switch, Thing)

__all__ = ["unsaid_facts"]

NEEDED: tuple[tuple[type | tuple[type, ...], tuple[str, ...]], ...] = (
    (Breaker, ("rating", "poles", "curve", "breaking", "residual", "type_")), (Rcd, ("rating", "poles", "residual", "type_")),
    ((Fuse, FuseSwitch), ("rating",)), ((Switch, Isolator), ("rating", "poles")), (Generator, ("power",)))
"""What a thing itself says; a field that its class has not is passed over. Cables and typed equipment are asked apart."""


def unsaid_facts(flows: Flows) -> Iterator[tuple[Thing, Unknown]]:
    """Each fact that is needed and not said, with its thing, in the order of the file. The distributor's things and removed ones are not asked."""
    for thing in flows.objects.values():
        if isinstance(thing, Thing) and _says(thing.owner) != "distributor" and _says(thing.status) != "removed":
            yield from ((thing, value) for value in _values(thing, flows) if isinstance(value, Unknown) and not value.given and not value.silent)


def _says(word: Any) -> str:
    """A word as the file says it, nothing where it is TBC: then the thing is asked."""
    return word if isinstance(word, str) else ""


def _values(thing: Thing, flows: Flows) -> Iterator[Any]:
    for classes, names in NEEDED:
        if isinstance(thing, classes):
            yield from (getattr(thing, name, None) for name in names)
    if isinstance(thing, Cable) and not isinstance(thing.parts, Unknown):
        yield from (getattr(part, name) for part in thing.runs for name in ("area", "cores", "material", "length") if not isinstance(part, Unknown))
    if isinstance(thing, Inverter | HybridInverter | ModuleInverters | Storage):
        yield from _of_type(thing, flows, "power")
    if isinstance(thing, Storage):
        yield from _of_type(thing, flows, "energy")
    if isinstance(thing, DisconnectionDevice) and isinstance(thing.rating, Unknown):
        yield from _of_type(thing, flows, "rating")
    if isinstance(thing, Battery) and isinstance(thing.energy, Unknown):
        yield thing.energy if not isinstance(thing.type_, Said) else next(_of_type(thing, flows, "energy"), None)


def _of_type(thing: Any, flows: Flows, name: str) -> Iterator[Any]:
    """A fact that the thing's type says, where the type is known."""
    type_ = flows.types.get(thing.type_.id) if isinstance(thing.type_, Said) else None
    if isinstance(type_, EquipmentType):
        yield getattr(type_, name)
