# SPDX-License-Identifier: MIT
"""What the sources of a site can give: nameplate for each phase, by solar, storage and both, as operators' limits count it."""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from .conductors import phase_names
from .dataclass import dataclass
from .errors import CannotTell, Unknown
from .flow import Flows
from .site import Equipment, HybridInverter, ModuleInverters, Storage

__all__ = ["Given", "given_by", "parallel_sources", "per_phase", "total", "worst_difference"]


@dataclass(frozen=True)
class Given:
    """One source. nameplate, limited: apparent power [VA], as built and as its own software limits it; solar, storage: what it counts as."""

    id: str
    nameplate: float
    limited: float
    phases: tuple[str, ...]
    solar: bool
    storage: bool


def parallel_sources(site: Flows) -> list[str]:
    """Ids of the sources that run beside the supply, in the order of the graph; generators and inlets, which stand in for it, and removed
    equipment are left out."""
    return [n for n in site.sources if isinstance(site.obj(n), Equipment | HybridInverter) and site.obj(n).status != "removed"]


def given_by(site: Flows, node: str) -> Given:
    """What a source can give. Raises CannotTell where its type, number or phase is not known."""
    obj = site.obj(node)
    kind = site.type_of(obj)
    number = obj.number if isinstance(obj, ModuleInverters) else 1
    nameplate = _known(kind.power) * _known(number)
    limited = nameplate if isinstance(kind.limit, Unknown) else min(nameplate, kind.limit * number)
    hybrid = isinstance(obj, HybridInverter)
    storage = isinstance(obj, Storage) or hybrid and obj.battery is not None
    solar = not isinstance(obj, Storage) and not (hybrid and not obj.arrays)
    return Given(node, nameplate, limited, _phases(site, node, obj, kind), solar, storage)


def _phases(site: Flows, node: str, obj: Any, kind: Any) -> tuple[str, ...]:
    """The phases that a source stands on."""
    if isinstance(obj.phase, Unknown):
        raise CannotTell(obj.phase)
    if obj.phase is not None:
        return tuple(obj.phase)
    at = f"{node}.grid" if isinstance(obj, HybridInverter) else node
    arriving = phase_names(site.phases_at(at) if at in site.graph else 0)
    if not isinstance(kind.phases, Unknown) and len(arriving) > kind.phases:
        raise CannotTell(Unknown(obj.mark, f"phase of {node}"))
    return arriving


def _known(value: Any) -> float:
    if isinstance(value, Unknown):
        raise CannotTell(value)
    return float(value)


def total(sources: Iterable[Given]) -> float:
    """Nameplates together [VA]."""
    return sum(s.nameplate for s in sources)


def per_phase(sources: Iterable[Given]) -> dict[str, float]:
    """Nameplates on each phase [VA]; a source on several phases gives the same on each."""
    sums: dict[str, float] = {}
    for s in sources:
        for phase in s.phases:
            sums[phase] = sums.get(phase, 0.0) + s.nameplate / len(s.phases)
    return dict(sorted(sums.items()))


def worst_difference(sources: list[Given], phases: Iterable[str]) -> tuple[float, str]:
    """The largest difference between two phases [VA], all sources on or any one of them off; with the id of that one, empty where all are on."""
    names = tuple(phases)

    def spread(some: list[Given]) -> float:
        sums = per_phase(some)
        values = [sums.get(p, 0.0) for p in names]
        return max(values) - min(values) if values else 0.0

    rest = [(spread([s for s in sources if s is not off]), off.id) for off in sources]
    return max([(spread(sources), ""), *rest], key=lambda pair: (round(pair[0], 6), pair[1] == ""))
