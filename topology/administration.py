# SPDX-License-Identifier: MIT
"""Who, what for and under which limits: people, approval, limits, operation, drawing, attachments, accepted findings, places."""
from __future__ import annotations

from datetime import date
from typing import ClassVar

from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Day, Each, FileName, Free, Nested, OneOrMore, Pattern, Ref, Said, YesNo
from .parts import STATUS, Part, Thing

__all__ = ["Acceptance", "Application", "Approval", "Attachment", "Drawing", "LimitOverride", "Limits", "Operation", "People", "Person", "Place", "Revision", "SiteFacts"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Person(Part):
    """A person with licence and accreditation. company: whom they work for."""

    word: ClassVar[str] = "person"
    name: str = say(Free("A. Example"), "name", required=True)
    company: str = say(Free("Example Electrical Ltd"), "company")
    licence: str = say(Free("EC 00000"), "licence")
    accreditation: str = say(Free("A 0000"), "accreditation")
    contact: str = say(Free("telephone"), "contact")


@dataclass(frozen=True, eq=False, kw_only=True)
class People(Part):
    """Who is who. owner: of the premises, where that is not the customer."""

    word: ClassVar[str] = "people"
    customer: str = say(Free("R. Example"), "customer")
    customer_contact: str = say(Free("telephone"), "contact of the customer")
    owner: str = say(Free("P. Example"), "owner of the premises")
    designer: Person = say(Nested(Person), "designer")
    installer: Person = say(Nested(Person), "installer")
    approver: Person = say(Nested(Person), "approver")


@dataclass(frozen=True, eq=False, kw_only=True)
class Limits(Part):
    """Limits that the operator set. nameplate, generation, export [W or VA]; phase difference [VA]."""

    word: ClassVar[str] = "limits"
    nameplate: float = say(Amount("VA", "15 kVA", 0, 1e9), "nameplate limit")
    generation: float = say(Amount("VA", "10 kVA", 0, 1e9), "generation limit")
    export: float = say(Amount("W", "5 kW", 0, 1e9), "export limit")
    phase_difference: float = say(Amount("VA", "5 kVA", 0, 1e9), "phase difference limit")
    enforced_by: Said = say(Ref("controller", "equipment", example="GW1"), "what enforces the export limit")


@dataclass(frozen=True, eq=False, kw_only=True)
class LimitOverride(Part):
    """A limit of a profile that a licensed person sets for this site. value: in the unit of the limit (3 %), or yes or no."""

    word: ClassVar[str] = "limit"
    value: str = say(Free("3 %"), "value", required=True)
    reason: str = say(Free("agreed with the operator"), "reason", required=True)
    by: str = say(Free("A. Example"), "who sets it", required=True)
    role: str = say(Free("licensed electrician"), "licensed role", required=True)
    date: date = say(Day(), "date", required=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Operation(Part):
    """How the system is run."""

    word: ClassVar[str] = "operation"
    mode: str = say(Free("self-consumption"), "mode")
    charge_from_grid: bool = say(YesNo(), "charging from the grid")
    backup: str = say(Choice("none", "part", "whole"), "backup")
    internet: bool = say(YesNo(), "internet connection")
    shared: bool = say(YesNo(), "power-sharing device between several customers", default=False)


@dataclass(frozen=True, eq=False, kw_only=True)
class Revision(Part):
    """One row of the revision table. was: the site file as it was before, in the same folder: what differs from it gets a cloud."""

    word: ClassVar[str] = "revision"
    rev: str = say(Free("A"), "revision", required=True)
    date: date = say(Day(), "date", required=True)
    note: str = say(Free("Issued for application"), "note", default="")
    by: str = say(Free("A. Example"), "who made the change", default="")
    was: Said | None = say(FileName("site-A.yaml"), "previous site file", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class Drawing(Part):
    """What the title block says, and how the drawing is made. paper: the smallest that fits where nothing is said."""

    word: ClassVar[str] = "drawing"
    number: str = say(Free("KLB-E-001"), "drawing number")
    title: str = say(Free("Solar and storage"), "title", default="")
    status: str = say(Choice("preliminary", "for application", "for tender", "for construction", "as-built"), "drawing status")
    language: str = say(Free("en"), "language", default="en")
    owner: str = say(Free("Example Electrical Ltd"), "legal owner of the drawing", default="")
    paper: str = say(Choice("A4", "A3", "A2", "A1", "A0"), "sheet size", default="")
    zones: bool = say(YesNo(), "zones along the frame of A4 sheets", default=True)
    designations: str = say(Choice("trade", "iec81346"), "kind of designations", default="trade")
    notes: tuple[str, ...] = say(Each(Free("a note")), "notes", default=())
    revisions: tuple[Revision, ...] = say(Each(Nested(Revision)), "revisions", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class SiteFacts(Part):
    """The head of the file. lowest_temperature: of the air, at which arrays have their highest voltage [degC]."""

    word: ClassVar[str] = "site"
    name: str = say(Free("Kelp Lane Boathouse"), "site name", required=True)
    address: str = say(Free("4 Kelp Lane, Port Example"), "address")
    connection: str = say(Free("4100 0000 01"), "connection identifier")
    status: str = say(Choice(*STATUS), "status", default="existing")
    work_begins: date = say(Day(), "date that work begins")
    lowest_temperature: float = say(Amount("degC", "-5 °C", -60, 40), "lowest temperature of the place")


@dataclass(frozen=True, eq=False, kw_only=True)
class Place(Thing):
    """A place on the site where things stand: a panel, a room, a wall."""

    word: ClassVar[str] = "place"


@dataclass(frozen=True, eq=False, kw_only=True)
class Approval(Part):
    """What the network operator has said."""

    word: ClassVar[str] = "approval"
    operator: str = say(Free("the network operator"), "network operator")
    reference: str = say(Free("A 0000"), "reference of the approval")
    date: date = say(Day(), "date of the approval")


@dataclass(frozen=True, eq=False, kw_only=True)
class Application(Part):
    """What an application form asks for and no drawing shows. fee: what was paid, when, with its receipt; agreement: an existing connection agreement."""

    word: ClassVar[str] = "application"
    retailer: str = say(Free("Example Energy"), "retailer (energy supplier)")
    account: str = say(Free("0000 0000"), "account number")
    fee: str = say(Free("paid 2026-03-16, receipt 0000"), "application fee or its payment reference")
    agreement: str = say(Free("none so far"), "existing connection agreement")
    pole: str = say(Free("pole 12"), "pole or pillar of the network")
    commissioning: date = say(Day(), "planned date of commissioning")


@dataclass(frozen=True, eq=False, kw_only=True)
class Attachment(Part):
    """A file that is bound into the set: a site plan, a photo, a data sheet. file: its name, in the folder of the site file.

    sha256: of the file that is meant; a set with another one is refused.
    """

    word: ClassVar[str] = "attachment"
    file: Said = say(FileName("plan.pdf"), "file", required=True)
    title: str = say(Free("Site plan"), "title", default="")
    kind: str = say(Choice("site plan", "photo", "data sheet", "approval", "other"), "kind", default="other")
    shows: tuple[Said, ...] = say(OneOrMore(Ref("thing", example="MSB")), "what it shows", default=())
    sha256: str = say(Pattern(r"[0-9A-Fa-f]{64}", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"), "SHA-256 of the file", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Acceptance(Part):
    """A finding that a licensed person takes upon themselves. object: the first id that the finding names."""

    word: ClassVar[str] = "acceptance"
    rule: str = say(Pattern(r"[a-z][a-z0-9-]*", "not-fed"), "rule", required=True)
    object: str = say(Free("MSB.3"), "object", required=True)
    reason: str = say(Free("agreed with the operator"), "reason", required=True)
    by: str = say(Free("A. Example"), "who accepts it", required=True)
    role: str = say(Free("licensed electrician"), "licensed role", required=True)
    date: date = say(Day(), "date", required=True)
