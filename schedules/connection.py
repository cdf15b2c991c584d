# SPDX-License-Identifier: MIT
"""Connection summary in the order that application forms use: site, people, supply, existing and new sources, totals, limits, storage, declaration."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.records import Setting
from topology.site import Battery, DisconnectionDevice, InterfaceProtection, Person, Storage
from topology.totals import at_supply, source_shares

from .columns import ID, SIGN_HERE, STATUS, Cell, Column, Table, build, dotted
from .connection_head import asked_besides, people_of, site_of, supply_of
from .connection_line import Line, amount, extra, said
from .connection_sources import sources_of
from .forms import asked_by_form, form_sources, place_in_form, section_in_form, words_of_form
from .isolating import in_full, source_switches, surroundings
from .walk import kind_of

__all__ = ["connection"]

PHASES = ("L1", "L2", "L3")


def connection(flows: Flows) -> Table:
    """The connection summary. Existing sources and new ones stand on lines of their own, and so do their sums."""
    lines = [*site_of(flows), *people_of(flows), *asked_besides(flows), *supply_of(flows), *sources_of(flows), *_limits(flows), *_protection(flows),
             *_documents(flows), *_declaration(flows)]
    lines = [line for line in lines if not line.if_asked or asked_by_form(flows, line.kin or line.section, line.item)]
    lines.sort(key=lambda line: place_in_form(flows, line.section, line.item))
    called = [replace(line, section=section_in_form(flows, line.section, line.item), item=words_of_form(flows, line.kin or line.section, line.item)) for line in lines]
    notes = ("Sums of nameplates: no diversity and no limit of software is taken off. A source on several phases counts in equal parts.", *form_sources(flows))
    return build("connection", "Connection summary", COLUMNS, called, notes)


def _limits(flows: Flows) -> Iterator[Line]:
    limits = flows.site.limits
    asked = [("generation limit", "generation", "VA"), ("export limit", "export", "W")]
    yield extra("site", "limits", "nameplate limit", _said_amount(limits))
    if len(conductors.phase_names(at_supply(flows))) != 1:
        asked.append(("limit of the difference between phases", "phase_difference", "VA"))
    for item, name, unit in asked:
        yield Line("site", "limits", item, amount(dotted(limits, name), unit))
    by = dotted(limits, "enforced_by")
    yield Line(str(by) if not isinstance(by, Unknown) and by is not None else "site", "limits", "limits are held by", said(by))
    yield Line("site", "operation", "operating mode", said(dotted(flows.site.operation, "mode")))
    charged = dotted(flows.site.operation, "charge_from_grid")
    stored = any(isinstance(obj, Storage | Battery) for obj in flows.objects.values())
    yield Line("site", "operation", "charging from the grid", said(charged)) if stored else extra("site", "operation", "charging from the grid", charged)
    islands = ", ".join(flows.backs_up)
    yield Line("site", "operation", "feeds without the supply", f"yes: {islands}" if islands else "no")


def _said_amount(limits: Any) -> Any:
    """The limit of the nameplates in words, where the operator has set one."""
    value = dotted(limits, "nameplate")
    return show_quantity(value, "VA") if isinstance(value, float) else value


def _protection(flows: Flows) -> Iterator[Line]:
    devices = [o for o in flows.objects.values() if isinstance(o, InterfaceProtection)]
    yield Line(devices[0].id if devices else "site", "protection", "interface protection of the site",
                ", ".join(o.id for o in devices) or "none")
    yield from (line for device in devices for line in _settings(device))
    for s in source_switches(flows):
        found = [node for node in (s.source, *flows.upstream_to_bar(s.source)) if isinstance(flows.obj(node), DisconnectionDevice)]
        own = dotted(kind_of(flows, flows.obj(s.source)), "disconnects_itself")
        answer = ", ".join(found) or (said(own) if isinstance(own, Unknown) else "built in" if own else "none found")
        yield Line(s.source, "protection", "disconnection when the supply fails", answer)
        points = [_point(flows, node) for node in dict.fromkeys((s.local, s.main)) if node]
        yield Line(s.source, "protection", "point of isolation", "; ".join(points) or "none found")


def _point(flows: Flows, node: str) -> str:
    """A switch with its name and where it stands."""
    name, where = getattr(flows.obj(node), "name", ""), surroundings(flows, node)
    own = f" '{name}'" if isinstance(name, str) and name else ""
    return f"{in_full(flows, node)}{own}{f' at {where}' if where else ''}"


def _settings(device: InterfaceProtection) -> Iterator[Line]:
    """The settings of an interface protection as they were made."""
    made = device.settings if isinstance(device.settings, dict) else {}
    for name, setting in made.items():
        if isinstance(setting, Setting):
            delay = f", {show_quantity(setting.delay, 's')}" if isinstance(setting.delay, float) else ""
            yield Line(device.id, "settings of the interface protection", name, f"{setting.value}{delay}", status=device.status)


def _documents(flows: Flows) -> Iterator[Line]:
    drawing = flows.site.drawing
    for item, name in (("drawing number", "number"), ("drawing status", "status")):
        yield Line("site", "documents", item, said(dotted(drawing, name)))
    for share in source_shares(flows):
        reference = dotted(kind_of(flows, flows.obj(share.id)), "certificate")
        open_ = Unknown(flows.obj(share.id).mark, f"certificate of {share.id}")
        yield Line(share.id, "documents", "certificate", said(reference) if isinstance(reference, str) and reference else open_)
        standard = dotted(kind_of(flows, flows.obj(share.id)), "standard")
        open_ = Unknown(flows.obj(share.id).mark, f"standard of {share.id}")
        yield Line(share.id, "documents", "standard", said(standard) if isinstance(standard, str) and standard else open_)


def _declaration(flows: Flows) -> Iterator[Line]:
    """Room to sign for who installs and for the customer, with what the file has of them."""
    people = flows.site.people
    role = next((role for role in ("installer", "designer") if isinstance(dotted(people, role), Person)), "installer")
    facts = {"name": dotted(people, role, "name"), "licence number": dotted(people, role, "licence"), "accreditation number": dotted(people, role, "accreditation")}
    for item, value in facts.items():
        yield Line("site", "declaration", f"{role}: {item}", value if isinstance(value, str) and value else SIGN_HERE)
    yield Line("site", "declaration", f"{role}: signature and date", SIGN_HERE)
    customer = dotted(people, "customer")
    yield Line("site", "declaration", "customer: name", customer if isinstance(customer, str) and customer else SIGN_HERE)
    yield Line("site", "declaration", "customer: signature and date", SIGN_HERE)


def _on(name: str, phase: str) -> Callable[[Line], Cell]:
    return lambda line: getattr(line, name).get(phase)


COLUMNS: tuple[tuple[Column, Callable[[Line], Any]], ...] = (
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
