# SPDX-License-Identifier: MIT
"""Head of the connection summary: the site, what the form asks for besides, people, supply with its meters and fault levels."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.electrical import solve
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Array, Battery, Generator, HybridInverter, Inlet, Inverter, Meter, ModuleInverters, Person, Storage
from topology.totals import source_shares

from .columns import dotted
from .connection_line import Line, amount, extra, said

__all__ = ["asked_besides", "people_of", "site_of", "supply_of"]

COUNTS = {"import": "import", "export": "export", "both": "import and export"}
"""Directions of a meter as a form says them."""
KINDS = (("solar", (Inverter, ModuleInverters)), ("storage", (Storage,)), ("generator", (Generator, Inlet)))
"""Kinds of generation, by the classes that are it whatever stands behind them."""


def site_of(flows: Flows) -> Iterator[Line]:
    """Where the site is, and who has approved what."""
    site, approval = flows.site.site, flows.site.approval
    for item, value in (("site", dotted(site, "name")), ("address", dotted(site, "address")), ("connection identifier", dotted(site, "connection")),
                        ("network operator", dotted(approval, "operator")), ("reference of the approval", dotted(approval, "reference"))):
        yield Line("site", "site", item, said(value))
    yield extra("site", "site", "date of the approval", dotted(approval, "date"))
    yield Line("site", "site", "work begins", said(dotted(site, "work_begins")))


def asked_besides(flows: Flows) -> Iterator[Line]:
    """What forms ask for and no drawing shows; the kinds of generation follow from the site."""
    for item, name in (("retailer", "retailer"), ("account number", "account"), ("application fee", "fee"), ("existing connection agreement", "agreement"),
                       ("pole or pillar of the network", "pole"), ("planned commissioning", "commissioning")):
        yield extra("site", "application", item, dotted(flows.site.application, name))
    yield Line("site", "application", "kinds of generation", ", ".join(_kinds(flows)) or "none")


def _kinds(flows: Flows) -> Iterator[str]:
    sources = [flows.obj(node) for node in flows.sources]
    leaves = [leaf for obj in sources if isinstance(obj, HybridInverter) for leaf in (*(obj.arrays if isinstance(obj.arrays, tuple) else ()), obj.battery)]
    inside = {"solar": Array, "storage": Battery}
    for kind, classes in KINDS:
        if any(isinstance(obj, classes) for obj in sources) or kind in inside and any(isinstance(leaf, inside[kind]) for leaf in leaves):
            yield kind


def people_of(flows: Flows) -> Iterator[Line]:
    """Customer and owner, designer and installer with all that a form asks of them."""
    people = flows.site.people
    yield Line("site", "people", "customer", said(dotted(people, "customer")))
    yield extra("site", "people", "customer, contact", dotted(people, "customer_contact"))
    yield extra("site", "people", "owner of the premises", dotted(people, "owner"))
    for role in ("installer", "designer"):
        person = dotted(people, role)
        if isinstance(person, Person):
            for words, value in (("", person.name), (", licence", person.licence), (", accreditation", person.accreditation)):
                yield Line("site", "people", f"{role}{words}", said(value))
            for word in ("company", "contact"):
                yield extra("site", "people", f"{role}, {word}", getattr(person, word))
        else:
            yield Line("site", "people", role, said(person))


def supply_of(flows: Flows) -> Iterator[Line]:
    """The supply, its meters and fault levels."""
    supply = flows.site.supply
    root = flows.root or "supply"
    code = dotted(supply, "system", "code")
    with_sources = sorted({phase for share in source_shares(flows) for phase in share.phases or ()})
    facts = [("phases available", str(code[0]) if isinstance(code, tuple) else said(code)),
             ("conductors", f"{code[0]}/{code[1]}" if isinstance(code, tuple) else said(code)),
             ("phases with generation", f"{len(with_sources)}: {' '.join(with_sources)}" if with_sources else "none"),
             ("allocation", amount(dotted(supply, "allocation"), "A")),
             ("largest prospective fault current", _level(flows, "largest", "A")),
             ("earth-fault loop impedance", _level(flows, "loop", "ohm"))]
    for item, value in facts:
        yield Line(root, "supply", item, value)
    yield from _meters(flows)


def _meters(flows: Flows) -> Iterator[Line]:
    """Number and direction of each meter; of a meter that is not the distributor's only where the file has them."""
    for meter in flows.objects.values():
        if isinstance(meter, Meter):
            counts = said(meter.direction)
            if isinstance(meter.owner, str) and meter.owner == "distributor":
                yield Line(meter.id, "supply", "meter number", said(meter.number), status=meter.status)
            else:
                yield extra(meter.id, "supply", "meter number", meter.number, status=meter.status)
            yield Line(meter.id, "supply", "meter counts", COUNTS[counts] if isinstance(counts, str) else counts, status=meter.status)


def _level(flows: Flows, name: str, unit: str) -> Any:
    """A fault level as the file has it, else what follows from the transformer and the service cable."""
    value = dotted(flows.site.supply, "faults", name)
    made = dotted(flows.site.supply, "faults", "transformer")
    if not isinstance(value, Unknown) or made is None or isinstance(made, Unknown):
        return said(value)
    try:
        level = solve(flows).faults.level(cold=name == "largest")
    except CannotTell as error:
        return said(error.unknown)
    return f"{show_quantity(float(f'{level.value:.3g}'), unit)} {level.how} at point of supply"
