# SPDX-License-Identifier: MIT
"""What the checks of generation share: the phases, devices and circuit of a source."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..conductors import bits, phase_names
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..site import (Circuit, DisconnectionDevice, EquipmentType, HybridInverter, Inverter, Load, ModuleInverters, Source, Storage,
                    Supply, Switching)

__all__ = ["AcSource", "behind", "devices_to", "ensure_devices", "ensure_phases", "is_outermost", "phases_of", "poles_of", "rating_of", "spare", "type_or_none", "units"]

AcSource = ModuleInverters | Inverter | Storage | HybridInverter
"""Sources that feed into the installation in normal operation"""


def phases_of(source: Any, site: Flows) -> tuple[str, ...]:
    """The phases that a source is wired to: those that it names, else all that arrive. Raises CannotTell where its phase is TBC."""
    if source.phase is None:
        ensure_phases(source.id, site)
        return phase_names(site.phases_at(source.id))
    return tuple(source.phase)  # an Unknown raises


def devices_to(source: Any, phase: str, site: Flows) -> list[str]:
    """The nodes that every path from the point of supply to a source leads through on one phase, both left out; nearest to the source first."""
    if site.root is None or source.id not in site.graph:
        return []
    return site.net(bits([phase])).path(site.root, source.id)[-2:0:-1]


def type_or_none(thing: Any, site: Flows) -> EquipmentType | None:
    """The type of a thing, None where it has none. Raises CannotTell where it is TBC."""
    return None if thing.type_ is None else site.type_of(thing)


def poles_of(device: Switching, site: Flows) -> str:
    """The poles of a device, by its type where the device itself does not say. Raises CannotTell where nobody says."""
    if isinstance(device.poles, Unknown) and isinstance(device, DisconnectionDevice) and not isinstance(device.type_, Unknown):
        type_ = site.type_of(device)
        if isinstance(type_.poles, str):
            return type_.poles
    if isinstance(device.poles, Unknown):
        raise CannotTell(device.poles)
    return device.poles


def rating_of(device: DisconnectionDevice, site: Flows) -> float:
    """The rating of a disconnection device as the file says it, else that of its type [A]. Raises CannotTell."""
    if not isinstance(device.rating, Unknown):
        return device.rating
    rating = Unknown(device.mark, "") if isinstance(device.type_, Unknown) else site.type_of(device).rating
    if isinstance(rating, Unknown):
        raise CannotTell(device.rating)
    return rating


def ensure_phases(node: str, site: Flows) -> None:
    """Raises CannotTell where nobody knows which phases arrive at a node: the system of the supply, or the phase of a circuit above, is TBC."""
    supply = site.site.supply
    system = supply.system if isinstance(supply, Supply) else supply
    code = system if isinstance(system, Unknown) else system.code
    seen: set[str] = set()
    while isinstance(code, tuple) and node not in seen:
        seen.add(node)
        circuit = site.circuit_of.get(node)
        if circuit is not None and isinstance(circuit.phase, Unknown):
            raise CannotTell(circuit.phase)
        feeders = site.feeders(node)
        node = feeders[0][0] if feeders else node
    if isinstance(code, Unknown):
        raise CannotTell(code)


def ensure_devices(node: str, site: Flows) -> None:
    """Raises CannotTell where a device in line between a node and the supply is TBC: it may be the one that is missed."""
    seen: set[str] = set()
    while node not in seen:
        seen.add(node)
        circuit = site.circuit_of.get(node)
        items = () if circuit is None else circuit.in_line if isinstance(circuit.in_line, tuple) else (circuit.in_line,)
        for item in items:
            if isinstance(item, Unknown):
                raise CannotTell(item)
        feeders = site.feeders(node)
        node = feeders[0][0] if feeders else node


def spare(obj: Any) -> bool:
    """Whether an object is a spare way."""
    return isinstance(obj, Load) and isinstance(obj.kind, str) and obj.kind == "spare"


def units(source: Any) -> int:
    """How many units a source consists of. Raises CannotTell where the number is TBC."""
    return source.number + 0 if isinstance(source, ModuleInverters) else 1


def is_outermost(circuit: Circuit, site: Flows) -> bool:
    """Whether a circuit stands on a board, the supply or a terminal, not on the local bar of another circuit."""
    return circuit.id not in site.inner_circuits


def behind(circuit: Circuit) -> Iterator[Any]:
    """The loads and equipment at the ends of a circuit, those of its local bars included; what stands behind further boards is left out."""
    stack = [circuit]
    while stack:
        here = stack.pop()
        if not isinstance(here, Circuit):
            continue
        if here.load is not None and not isinstance(here.load, Unknown):
            yield here.load
        if isinstance(here.feeds, Source):
            yield here.feeds
        if isinstance(here.circuits, tuple):
            stack.extend(reversed(here.circuits))
