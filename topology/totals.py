# SPDX-License-Identifier: MIT
"""What the sources of a site add up to, phase by phase: nameplate, limited power, usable energy."""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from . import conductors
from .dataclass import dataclass
from .errors import Unknown
from .flow import Flows
from .kinds import Said
from .site import Equipment, Generator, HybridInverter, Inlet, Inverter, ModuleInverters, Storage

__all__ = ["GROUPS", "SourceShare", "at_supply", "per_phase", "source_shares", "total"]

GROUPS = ("solar", "storage", "hybrid", "generator")
"""Kinds of source. A generator takes over from the supply and is never added to what runs in parallel with it."""
_KINDS = {ModuleInverters: "solar", Inverter: "solar", Storage: "storage", HybridInverter: "hybrid", Generator: "generator",
          Inlet: "generator"}


@dataclass(frozen=True, slots=True)
class SourceShare:
    """One source. None stands for what the site file does not tell.

    phases : on which it feeds; None where that is open
    nameplate, limited : apparent power of all its units [VA]; limited is the nameplate where its type has no limit of its own
    energy : usable energy [Wh]; 0 for a source that stores none
    """

    id: str
    group: str
    status: str
    phases: tuple[str, ...] | None
    nameplate: float | None
    limited: float | None
    energy: float | None


def source_shares(flows: Flows) -> tuple[SourceShare, ...]:
    """Every source that stays on site, in the order of the graph: one whose status is removed is left out."""
    found = (flows.obj(node) for node in flows.sources)
    return tuple(_share(flows, obj) for obj in found if isinstance(obj.status, Unknown) or obj.status != "removed")


def per_phase(shares: Iterable[SourceShare], field: str) -> dict[str, float | None]:
    """A field summed on each phase on which one of them feeds, a source on several phases in equal parts.

    A phase is None where a share of it is not known; so are all three where the phases of a source are not known.
    """
    sums: dict[str, float | None] = {}
    for share in shares:
        value = getattr(share, field)
        phases = share.phases if share.phases is not None else ("L1", "L2", "L3")
        for phase in phases:
            known = share.phases is not None and value is not None and sums.get(phase, 0.0) is not None
            sums[phase] = (sums.get(phase) or 0.0) + value / len(phases) if known else None
    return dict(sorted(sums.items()))


def total(shares: Iterable[SourceShare], field: str) -> float | None:
    """A field summed over all phases; None where one of the sources does not tell."""
    values = [getattr(share, field) for share in shares]
    return None if None in values else sum(values, 0.0)


def _share(flows: Flows, obj: Any) -> SourceShare:
    group = _KINDS.get(type(obj), "generator")
    kind = flows.types.get(obj.type_.id) if isinstance(getattr(obj, "type_", None), Said) else None
    count = _known(obj.number) if isinstance(obj, ModuleInverters) else 1
    power = _known(obj.power if isinstance(obj, Generator) else getattr(kind, "power", None))
    limit = getattr(kind, "limit", None)
    limited = power if limit is None or isinstance(limit, Unknown) and not limit.given else _known(limit)
    return SourceShare(obj.id, group, str(obj.status), _phases(flows, obj, kind), _times(count, power), _times(count, limited),
                       _energy(obj, kind, group, count))


def _known(value: Any) -> float | None:
    return None if isinstance(value, Unknown) or value is None else float(value)


def _times(count: float | None, value: float | None) -> float | None:
    return None if count is None or value is None else round(count * value, 6)


def _energy(obj: Any, kind: Any, group: str, count: float | None) -> float | None:
    """Of a storage unit by its type; of a battery behind an inverter by itself, else by its own type."""
    if isinstance(obj, HybridInverter):
        return 0.0 if obj.battery is None else _known(getattr(obj.battery, "energy", None))
    return _times(count, _known(getattr(kind, "energy", None))) if group == "storage" else 0.0


def _phases(flows: Flows, obj: Any, kind: Any) -> tuple[str, ...] | None:
    """As said, else those that arrive; None where these are more than the type has."""
    if isinstance(obj.phase, tuple):
        return obj.phase
    if isinstance(obj.phase, Unknown):
        return None
    arriving = conductors.phase_names(flows.phases_at(obj.id))
    wanted = _known(getattr(kind, "phases", None))
    fits = arriving and (len(arriving) == 1 if wanted is None and isinstance(obj, Equipment) else wanted in (None, len(arriving)))
    return arriving if fits else None


def at_supply(flows: Flows) -> int:
    """Phases at the point of supply, as a mask."""
    mask = 0
    for _, _, data in flows.graph.out_edges(flows.root, data=True) if flows.root else ():
        mask |= data["obj"].conductors & conductors.PHASES if data["layer"] == "power" else 0
    return mask
