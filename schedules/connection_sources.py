# SPDX-License-Identifier: MIT
"""Sources in the connection summary: each on a line with what a form asks of it, then sums of existing, new and all, and the difference between phases."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from topology import conductors
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.generation import given_by, parallel_sources, worst_difference
from topology.site import Array, Battery, HybridInverter, Inlet, Inverter, ModuleInverters
from topology.totals import SourceShare, at_supply, per_phase, source_shares, total

from .columns import Cell, dotted, given
from .connection_line import Line, amount, extra, said
from .isolating import source_switches, surroundings
from .walk import kind_of

__all__ = ["NEW", "sources_of"]

NEW = ("new", "altered", "relocated")
"""Statuses of what this application is about; the rest is there already."""
SIDE_BY_SIDE = ("solar", "storage", "hybrid")
"""Groups of sources that run in parallel with the supply; a generator takes over from it and is not added."""

def sources_of(flows: Flows) -> Iterator[Line]:
    """Each source, existing ones first, then sums of the existing, of the new and of all."""
    shares = source_shares(flows)
    groups = (("existing sources", [s for s in shares if s.status not in NEW]), ("new sources", [s for s in shares if s.status in NEW]))
    for section, own in groups:
        for share in own:
            yield from (_source(flows, share, section), *_facts(flows, share, section), *_direct_current(flows, share, section))
    for section, own in (*groups, ("all sources", list(shares))):
        yield _sum(flows, section, [share for share in own if share.group in SIDE_BY_SIDE])
    yield from _imbalance(flows, [share for share in shares if share.group in SIDE_BY_SIDE])


def _source(flows: Flows, share: SourceShare, section: str) -> Line:
    obj, kind = flows.obj(share.id), kind_of(flows, flows.obj(share.id))
    if isinstance(obj, Inlet):  # what is plugged in is no part of the site
        return Line(share.id, section, obj.word, f"{amount(obj.rating, 'A')}, for a portable generator", 1, status=obj.status)
    count = obj.number if isinstance(obj, ModuleInverters) else 1
    each = dotted(kind, "power") if kind is not None else given(obj, "power")
    nameplate, limited = _open(share.nameplate, obj, f"nameplate of {share.id}"), _open(share.limited, obj, f"limit of {share.id}")
    energy = _open(share.energy, obj, f"usable energy of {share.id}") if share.energy != 0 else None
    return Line(share.id, section, obj.word, _make_of(flows, obj), count, each, nameplate, limited, _by_phase([share], "nameplate", obj),
                 _by_phase([share], "limited", obj), energy, obj.status)


def _make_of(flows: Flows, obj: Any) -> Any:
    """Maker and model of a thing; its type where that names neither."""
    kind = kind_of(flows, obj)
    words = " ".join(str(w) for w in (dotted(kind, "maker"), dotted(kind, "model")) if isinstance(w, str) and w)
    type_ = getattr(obj, "type_", None)
    return words or (said(type_) if type_ is not None else None)


def _facts(flows: Flows, share: SourceShare, section: str) -> Iterator[Line]:
    """What forms ask of a source besides its figures; a new one is commissioned when the application says."""
    obj, kind = flows.obj(share.id), kind_of(flows, flows.obj(share.id))
    if isinstance(kind, Unknown):  # of a type that is TBC only what the form asks for
        kind = Unknown(kind.mark, kind.what, given=False)
    facts = [("series", dotted(kind, "series")), ("commissioning date", _commissioned(flows, obj, section)), ("technology code", dotted(kind, "technology")),
             ("demand response", dotted(kind, "demand_response")), ("chemistry", dotted(kind, "chemistry"))]
    for item, value in facts:
        if value is not None:
            yield extra(share.id, section, f"{item} of {share.id}", value, f"source: {item}", obj.status)
    where = surroundings(flows, share.id) or Unknown(obj.mark, f"location of {share.id}")
    yield extra(share.id, section, f"location of {share.id}", where, "source: location", obj.status, derived=True)


def _commissioned(flows: Flows, obj: Any, section: str) -> Any:
    """The day of commissioning as the file has it; what the application plans, of a source that is new."""
    on = getattr(obj, "commissioned", None)
    planned = dotted(flows.site.application, "commissioning")
    if isinstance(on, Unknown) and not on.given and section == "new sources" and planned is not None and not isinstance(planned, Unknown):
        return f"{planned}, planned"
    return on


def _by_phase(shares: list[SourceShare], name: str, obj: Any) -> dict[str, Cell]:
    return {phase: _open(value, obj, f"{name} on {phase}") for phase, value in per_phase(shares, name).items()}


def _open(value: float | None, obj: Any, what: str) -> Cell:
    return Unknown(obj.mark, what) if value is None else value


def _direct_current(flows: Flows, share: SourceShare, section: str) -> Iterator[Line]:
    """Arrays and battery of an inverter: they are devices of the form, their power is no second source."""
    obj = flows.obj(share.id)
    if isinstance(obj, Inverter | HybridInverter):
        leaves = (*(obj.arrays if isinstance(obj.arrays, tuple) else ()), getattr(obj, "battery", None))
        for leaf in leaves:
            if isinstance(leaf, Array):
                answer = amount(leaf.power, "W")
                answer = f"{leaf.module}, {answer}" if isinstance(leaf.module, str) and isinstance(answer, str) else answer
                yield Line(leaf.id, section, f"photovoltaic modules of {share.id}", answer, _said_number(leaf.modules), status=leaf.status)
            elif isinstance(leaf, Battery):
                yield Line(leaf.id, section, f"battery of {share.id}", _make_of(flows, leaf), 1, status=leaf.status)
                yield extra(leaf.id, section, f"chemistry of {leaf.id}", dotted(kind_of(flows, leaf), "chemistry"), "source: chemistry", leaf.status)


def _said_number(value: Any) -> Any:
    return Unknown(value.mark, value.what) if isinstance(value, Unknown) else value


def _sum(flows: Flows, section: str, shares: list[SourceShare]) -> Line:
    """Sums over sources that run in parallel with the supply, with the number of their connections."""
    connections = {s.main or s.source for s in source_switches(flows) if s.source in {share.id for share in shares}}
    sums = {name: _open(total(shares, name), flows.site, f"sum of {name}") for name in ("nameplate", "limited", "energy")}
    words = f"{len(connections)} connection{'' if len(connections) == 1 else 's'} for alternating current"
    return Line("site", section, "sum", words, _devices(flows, shares), None, sums["nameplate"], sums["limited"],
                 _by_phase(shares, "nameplate", flows.site), _by_phase(shares, "limited", flows.site), sums["energy"])


def _devices(flows: Flows, shares: Iterable[SourceShare]) -> Cell:
    """Number of inverters and storage units."""
    numbers = [flows.obj(s.id).number if isinstance(flows.obj(s.id), ModuleInverters) else 1 for s in shares]
    unknown = next((n for n in numbers if isinstance(n, Unknown)), None)
    return sum(numbers) if unknown is None else unknown


def _imbalance(flows: Flows, shares: list[SourceShare]) -> Iterator[Line]:
    """Largest difference between two phases of the supply, by nameplate and by limited power."""
    root = flows.root
    arriving = conductors.phase_names(at_supply(flows))
    if root is None or len(arriving) < 2:
        return
    for name in ("nameplate", "limited"):
        sums = {phase: 0.0 for phase in arriving} | per_phase(shares, name)
        values = [value for value in sums.values() if value is not None]
        difference = max(values) - min(values) if len(values) == len(sums) else None
        wide = _open(difference, flows.site, f"difference between the phases, {name}")
        yield Line(root, "all sources", "largest difference between two phases, " + name, **{name: wide})
    try:
        worst, off = worst_difference([given_by(flows, node) for node in parallel_sources(flows)], arriving)
    except CannotTell:
        return
    if off:
        yield Line(root, "all sources", "largest difference between two phases, nameplate, one source off", f"{off} off", nameplate=worst)
