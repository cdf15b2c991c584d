# SPDX-License-Identifier: MIT
"""Connection summary in the order that application forms use: site, people, supply, existing and new sources, totals, limits, storage."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import field, replace
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.electrical import solve
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Array, Battery, DisconnectionDevice, HybridInverter, InterfaceProtection, Inverter, ModuleInverters, Person
from topology.totals import SourceShare, per_phase, source_shares, total

from .columns import ID, STATUS, Cell, Column, Table, build, dotted, given
from .forms import form_sources, place_in_form, words_of_form
from .isolating import called, source_switches, surroundings
from .walk import kind_of

__all__ = ["connection"]

NEW = ("new", "altered", "relocated")
"""Statuses of what this application is about; the rest is there already."""
PHASES = ("L1", "L2", "L3")
SIDE_BY_SIDE = ("solar", "storage", "hybrid")
"""Groups of sources that run in parallel with the supply; a generator takes over from it and is not added."""


@dataclass(frozen=True, eq=False)
class _Line:
    """A field of the form, or a source. Powers are of all units of the row [VA], energy [Wh]; phases, limits: power by phase [VA]."""

    id: str
    section: str
    item: str
    answer: Cell = None
    count: Cell = None
    each: Cell = None
    nameplate: Cell = None
    limited: Cell = None
    phases: dict[str, Cell] = field(default_factory=dict)
    limits: dict[str, Cell] = field(default_factory=dict)
    energy: Cell = None
    status: Cell = None


def connection(flows: Flows) -> Table:
    """The connection summary. Existing sources and new ones stand on lines of their own, and so do their sums."""
    lines = [*_site(flows), *_people(flows), *_supply(flows), *_sources(flows), *_limits(flows), *_protection(flows), *_documents(flows)]
    lines.sort(key=lambda line: place_in_form(flows, line.section, line.item))
    called = [replace(line, item=words_of_form(flows, line.section, line.item)) for line in lines]
    notes = ("Sums of nameplates: no diversity and no limit of software is taken off. A source on several phases counts in equal parts.", *form_sources(flows))
    return build("connection", "Connection summary", COLUMNS, called, notes)


def _said(value: Any) -> Any:
    """A fact as text; what the form asks for and the file does not give is open."""
    if isinstance(value, Unknown):
        return Unknown(value.mark, value.what)
    return None if value is None else ("yes" if value else "no") if isinstance(value, bool) else str(value)


def _amount(value: Any, unit: str) -> Any:
    return show_quantity(value, unit) if isinstance(value, float) else _said(value)


def _site(flows: Flows) -> Iterator[_Line]:
    site = flows.site
    for item, value in (("site", dotted(site.site, "name")), ("address", dotted(site.site, "address")),
                        ("connection identifier", dotted(site.site, "connection")), ("network operator", dotted(site.approval, "operator")),
                        ("reference of the approval", dotted(site.approval, "reference")),
                        ("work begins", dotted(site.site, "work_begins"))):
        yield _Line("site", "site", item, _said(value))


def _people(flows: Flows) -> Iterator[_Line]:
    people = flows.site.people
    yield _Line("site", "people", "customer", _said(dotted(people, "customer")))
    for role in ("designer", "installer"):
        person = dotted(people, role)
        if isinstance(person, Person):
            facts = [("", person.name), (", licence", person.licence), (", accreditation", person.accreditation)]
            for words, value in facts:
                yield _Line("site", "people", f"{role}{words}", _said(value))
        else:
            yield _Line("site", "people", role, _said(person))


def _supply(flows: Flows) -> Iterator[_Line]:
    supply = flows.site.supply
    root = flows.root or "supply"
    system = dotted(supply, "system")
    code = dotted(system, "code")
    with_sources = sorted({phase for share in source_shares(flows) for phase in share.phases or ()})
    facts = [("phases available", str(code[0]) if isinstance(code, tuple) else _said(code)),
             ("conductors", f"{code[0]}/{code[1]}" if isinstance(code, tuple) else _said(code)),
             ("phases with generation", f"{len(with_sources)}: {' '.join(with_sources)}" if with_sources else "none"),
             ("allocation", _amount(dotted(supply, "allocation"), "A")),
             ("largest prospective fault current", _level(flows, "largest", "A")),
             ("earth-fault loop impedance", _level(flows, "loop", "ohm"))]
    for item, value in facts:
        yield _Line(root, "supply", item, value)


def _level(flows: Flows, name: str, unit: str) -> Any:
    """A fault level as the file has it, else what follows from the transformer and the service cable."""
    value = dotted(flows.site.supply, "faults", name)
    made = dotted(flows.site.supply, "faults", "transformer")
    if not isinstance(value, Unknown) or made is None or isinstance(made, Unknown):
        return _said(value)
    try:
        level = solve(flows).faults.level(cold=name == "largest")
    except CannotTell as error:
        return _said(error.unknown)
    return f"{show_quantity(float(f'{level.value:.3g}'), unit)} {level.how} at point of supply"


# ---- sources ---------------------------------------------------------------------------------------------------------

def _sources(flows: Flows) -> Iterator[_Line]:
    """Each source, existing ones first, then sums of the existing, of the new and of all."""
    shares = source_shares(flows)
    groups = (("existing sources", [s for s in shares if s.status not in NEW]), ("new sources", [s for s in shares if s.status in NEW]))
    for section, own in groups:
        yield from (_source(flows, share, section) for share in own)
        yield from (line for share in own for line in _direct_current(flows, share, section))
    for section, own in (*groups, ("all sources", list(shares))):
        yield _sum(flows, section, [share for share in own if share.group in SIDE_BY_SIDE])
    yield from _imbalance(flows, [share for share in shares if share.group in SIDE_BY_SIDE])


def _source(flows: Flows, share: SourceShare, section: str) -> _Line:
    obj, kind = flows.obj(share.id), kind_of(flows, flows.obj(share.id))
    count = obj.number if isinstance(obj, ModuleInverters) else 1
    each = dotted(kind, "power") if kind is not None else given(obj, "power")
    words = " ".join(str(w) for w in (dotted(kind, "maker"), dotted(kind, "model")) if isinstance(w, str) and w)
    said = getattr(obj, "type_", None)
    answer = words or (_said(said) if said is not None else None)
    nameplate, limited = _open(share.nameplate, obj, f"nameplate of {share.id}"), _open(share.limited, obj, f"limit of {share.id}")
    energy = _open(share.energy, obj, f"usable energy of {share.id}") if share.energy != 0 else None
    return _Line(share.id, section, obj.word, answer, count, each, nameplate, limited, _by_phase([share], "nameplate", obj),
                 _by_phase([share], "limited", obj), energy, obj.status)


def _by_phase(shares: list[SourceShare], name: str, obj: Any) -> dict[str, Cell]:
    return {phase: _open(value, obj, f"{name} on {phase}") for phase, value in per_phase(shares, name).items()}


def _open(value: float | None, obj: Any, what: str) -> Cell:
    return Unknown(obj.mark, what) if value is None else value


def _direct_current(flows: Flows, share: SourceShare, section: str) -> Iterator[_Line]:
    """Arrays and battery of an inverter: they are devices of the form, their power is no second source."""
    obj = flows.obj(share.id)
    if isinstance(obj, Inverter | HybridInverter):
        leaves = (*(obj.arrays if isinstance(obj.arrays, tuple) else ()), getattr(obj, "battery", None))
        for leaf in leaves:
            if isinstance(leaf, Array):
                answer = _amount(leaf.power, "W")
                yield _Line(leaf.id, section, f"photovoltaic modules of {share.id}", answer, _said_number(leaf.modules), status=leaf.status)
            elif isinstance(leaf, Battery):
                yield _Line(leaf.id, section, f"battery of {share.id}", _said(leaf.type_), 1, status=leaf.status)


def _said_number(value: Any) -> Any:
    return Unknown(value.mark, value.what) if isinstance(value, Unknown) else value


def _sum(flows: Flows, section: str, shares: list[SourceShare]) -> _Line:
    """Sums over sources that run in parallel with the supply, with the number of their connections."""
    connections = {s.main or s.source for s in source_switches(flows) if s.source in {share.id for share in shares}}
    sums = {name: _open(total(shares, name), flows.site, f"sum of {name}") for name in ("nameplate", "limited", "energy")}
    words = f"{len(connections)} connection{'' if len(connections) == 1 else 's'} for alternating current"
    return _Line("site", section, "sum", words, _devices(flows, shares), None, sums["nameplate"], sums["limited"],
                 _by_phase(shares, "nameplate", flows.site), _by_phase(shares, "limited", flows.site), sums["energy"])


def _devices(flows: Flows, shares: Iterable[SourceShare]) -> Cell:
    """Number of inverters and storage units."""
    numbers = [flows.obj(s.id).number if isinstance(flows.obj(s.id), ModuleInverters) else 1 for s in shares]
    unknown = next((n for n in numbers if isinstance(n, Unknown)), None)
    return sum(numbers) if unknown is None else unknown


def _imbalance(flows: Flows, shares: list[SourceShare]) -> Iterator[_Line]:
    """Largest difference between two phases of the supply, by nameplate and by limited power."""
    root = flows.root
    arriving = conductors.phase_names(_at_supply(flows))
    if root is None or len(arriving) < 2:
        return
    for name in ("nameplate", "limited"):
        sums = {phase: 0.0 for phase in arriving} | per_phase(shares, name)
        values = [value for value in sums.values() if value is not None]
        difference = max(values) - min(values) if len(values) == len(sums) else None
        wide = _open(difference, flows.site, f"difference between the phases, {name}")
        yield _Line(root, "all sources", "largest difference between two phases, " + name, **{name: wide})


def _at_supply(flows: Flows) -> int:
    """Phases at the point of supply, as a mask."""
    mask = 0
    for _, _, data in flows.graph.out_edges(flows.root, data=True) if flows.root else ():
        mask |= data["obj"].conductors & conductors.PHASES if data["layer"] == "power" else 0
    return mask


# ---- limits and papers -----------------------------------------------------------------------------------------------

def _limits(flows: Flows) -> Iterator[_Line]:
    limits = flows.site.limits
    asked = [("nameplate limit", "nameplate", "VA"), ("generation limit", "generation", "VA"), ("export limit", "export", "W")]
    if len(conductors.phase_names(_at_supply(flows))) != 1:
        asked.append(("limit of the difference between phases", "phase_difference", "VA"))
    for item, name, unit in asked:
        yield _Line("site", "limits", item, _amount(dotted(limits, name), unit))
    by = dotted(limits, "enforced_by")
    yield _Line(str(by) if not isinstance(by, Unknown) and by is not None else "site", "limits", "export limit is enforced by", _said(by))
    yield _Line("site", "operation", "operating mode", _said(dotted(flows.site.operation, "mode")))
    yield _Line("site", "operation", "charging from the grid", _said(dotted(flows.site.operation, "charge_from_grid")))
    islands = ", ".join(flows.backs_up)
    yield _Line("site", "operation", "feeds without the supply", f"yes: {islands}" if islands else "no")


def _protection(flows: Flows) -> Iterator[_Line]:
    devices = [o for o in flows.objects.values() if isinstance(o, InterfaceProtection)]
    yield _Line(devices[0].id if devices else "site", "protection", "interface protection of the site",
                ", ".join(o.id for o in devices) or "none")
    for s in source_switches(flows):
        found = [node for node in (s.source, *flows.upstream_to_bar(s.source)) if isinstance(flows.obj(node), DisconnectionDevice)]
        own = dotted(kind_of(flows, flows.obj(s.source)), "disconnects_itself")
        answer = ", ".join(found) or (_said(own) if isinstance(own, Unknown) else "built in" if own else "none found")
        yield _Line(s.source, "protection", "disconnection when the supply fails", answer)
        node = s.local or s.main
        where = surroundings(flows, node)
        answer = f"{called(flows, node)}{f' at {where}' if where else ''}" if node else "none found"
        yield _Line(s.source, "protection", "point of isolation", answer)


def _documents(flows: Flows) -> Iterator[_Line]:
    drawing = flows.site.drawing
    for item, name in (("drawing number", "number"), ("drawing status", "status")):
        yield _Line("site", "documents", item, _said(dotted(drawing, name)))
    for share in source_shares(flows):
        reference = dotted(kind_of(flows, flows.obj(share.id)), "certificate")
        open_ = Unknown(flows.obj(share.id).mark, f"certificate of {share.id}")
        yield _Line(share.id, "documents", "certificate", _said(reference) if isinstance(reference, str) and reference else open_)
        standard = dotted(kind_of(flows, flows.obj(share.id)), "standard")
        open_ = Unknown(flows.obj(share.id).mark, f"standard of {share.id}")
        yield _Line(share.id, "documents", "standard", _said(standard) if isinstance(standard, str) and standard else open_)
    yield _Line("site", "declaration", "name, signature, date")


def _on(name: str, phase: str) -> Callable[[_Line], Cell]:
    return lambda line: getattr(line, name).get(phase)


COLUMNS: tuple[tuple[Column, Callable[[_Line], Any]], ...] = (
    (ID, lambda n: n.id),
    (Column("section", over="{}"), lambda n: n.section),
    (Column("item"), lambda n: n.item),
    (Column("answer"), lambda n: n.answer),
    (Column("count"), lambda n: n.count),
    (Column("nameplate each", "kVA", -3), lambda n: n.each),
    (Column("nameplate", "kVA", -3), lambda n: n.nameplate),
    (Column("limited by software", "kVA", -3), lambda n: n.limited),
    *((Column(f"nameplate on {phase}", "kVA", -3), _on("phases", phase)) for phase in PHASES),
    *((Column(f"limited on {phase}", "kVA", -3), _on("limits", phase)) for phase in PHASES),
    (Column("usable energy", "kWh", -3), lambda n: n.energy),
    (STATUS, lambda n: n.status),
)
