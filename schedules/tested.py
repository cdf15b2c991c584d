# SPDX-License-Identifier: MIT
"""What inspection and tests are for: the objects of each row of `facts/tests.csv`, with what the words of the row leave open."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Bond, Changeover, Electrode, NeutralEarthLink, SurgeArrester
from topology.soil import guarded, soil_part, touch_voltage

from .tested_circuits import at_boards, boards, ring_finals, with_cable, with_capacity, with_loop
from .tested_on import On
from .tested_signals import buses, grid_sensors, sensors, shielded
from .tested_sources import arrays, backup, batteries, by_itself, feeding, limited, paralleled, storage

__all__ = ["FOR"]


def _of(cls: Any) -> Callable[[Flows], Iterator[On]]:
    return lambda flows: (On(o.id) for o in flows.objects.values() if isinstance(o, cls))


def _bonds(flows: Flows) -> Iterator[On]:
    yield from (On(node, {"part": obj.part if isinstance(obj.part, str) else "TBC"}) for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Bond))


def _residual(flows: Flows) -> Iterator[On]:
    for obj in flows.objects.values():
        if hasattr(obj, "residual"):
            delayed = isinstance(obj.type_, str) and obj.type_ in ("S", "A-S")
            rated = "TBC" if isinstance(obj.residual, Unknown) else show_quantity(obj.residual, "A")
            yield On(obj.id, {"residual": rated, "rcd": "≥ 130 ms, ≤ 500 ms" if delayed else "≤ 300 ms"})


def _electrodes(flows: Flows) -> Iterator[On]:
    for node, obj in flows.graph.nodes(data="obj"):
        if isinstance(obj, Electrode):
            most = _most_to_earth(flows, node)
            fills = ("", "", "value by the system of earthing: ask local rules", "memory") if most is None else (
                "" if isinstance(obj.resistance, Unknown) else f"{show_quantity(obj.resistance, 'ohm')} as the file says", *most)
            yield On(node, dict(zip(("ra", "ra_most", "ra_source", "found"), fills, strict=True)))


def _most_to_earth(flows: Flows, electrode: str) -> tuple[str, str, str] | None:
    """The largest resistance that an electrode may have where the earth-fault current returns through the soil, in words, its source and how that was
    found; None elsewhere. The coarsest residual current device decides.
    """
    part = soil_part(electrode, flows)
    residuals = [flows.objects[name].residual for name, behind in guarded(flows).items() if part is not None and soil_part(behind[0], flows) is part]
    if part is None or not residuals or any(isinstance(r, Unknown) for r in residuals):
        return None
    entry = touch_voltage(flows)
    return f"≤ {entry.si / max(residuals):.0f} ohm", entry.reference, entry.found


def _three_phases(flows: Flows) -> Iterator[On]:
    for board in boards(flows):
        if board.id in flows.graph and len(conductors.phase_names(flows.phases_at(board.id))) == 3:
            yield board


def _with_sources(flows: Flows) -> Iterator[On]:
    """The point of supply of a site that has sources."""
    if flows.root is not None and flows.sources:
        yield On(flows.root)


def _papers(flows: Flows) -> Iterator[On]:
    """The point of supply of a site that has sources, with the days that the profile leaves for the papers."""
    days = {name: flows.profiles.peek(entry) for name, entry in (("register", "register-days"), ("operator", "certificate-days-network"))}
    said = {name: "TBC" if entry is None or entry.value is None else f"{entry.value:g}" for name, entry in days.items()}
    yield from (On(on.id, said) for on in _with_sources(flows))


FOR: dict[str, Callable[[Flows], Iterator[On]]] = {
    "board": boards, "board in the network": at_boards, "main earth": _of(NeutralEarthLink), "bond": _bonds, "circuit with cable": with_cable,
    "ring final": ring_finals, "circuit with loop": with_loop, "circuit with breaking capacity": with_capacity, "residual": _residual,
    "surge arrester": _of(SurgeArrester), "electrode": _electrodes, "three phases": _three_phases, "site with sources": _with_sources,
    "source": feeding, "array": arrays, "strings in parallel": paralleled, "battery": batteries, "storage": storage, "backup": backup,
    "backup by itself": by_itself, "changeover": _of(Changeover),
    "sensor": sensors, "grid sensor": grid_sensors, "bus": buses, "shielded bus": shielded, "site with limit": limited, "papers of a site with sources": _papers}
"""What tests are for, by the words of `facts/tests.csv`."""
