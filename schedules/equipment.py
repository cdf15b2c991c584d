# SPDX-License-Identifier: MIT
"""Equipment list: one row for each thing that is bought, kept or taken away, cables apart; with quantities for tender."""
from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from topology.dataclass import dataclass
from topology.errors import CannotTell, Unknown
from topology.fields import fields_of
from topology.flow import Flows
from topology.graph import Bar, Joint, Pass
from topology.kinds import Said
from topology.site import (Array, Battery, Bond, Bus, Cable, Chain, Controller, DisconnectionDevice, EarthBar, Electrode, EquipmentType,
                           InterfaceProtection, Load, Meter, ModuleInverters, Place, Ported, Segment, Source, Terminal, Thing)

from .article import article_facts
from .columns import CIRCUIT, ID, NAME, RATING, STATUS, TYPE, Cell, Column, Table, build, dotted, given, joined
from .tender import action, first_totals, provisional
from .walk import Found, find, kind_of

__all__ = ["equipment", "location"]

NO_EQUIPMENT = (Cable, Chain, Load, Bus, Place, Pass, Segment, Terminal)
"""What has schedules of its own, or is no thing that anyone buys."""
PLATED = (Array, Battery, Controller, DisconnectionDevice, InterfaceProtection, Meter, Ported, Source)
"""What has a serial number that goes on record (common practice, no source)."""
OF_PLATE = ("power each", "array power", "energy each", "certificate", "document", "serial number")
"""Headings of what stands on a plate or in papers."""


@dataclass(frozen=True, eq=False)
class _Item:
    """A thing with what its row asks for. total: of its kind, on the first row of that kind."""

    found: Found
    kind: EquipmentType | Unknown | None
    location: Cell
    facts: str
    """Ratings without a column of their own, as the trade writes them: C 6 kA, 30 mA type A."""
    total: Cell = None
    owner: Any = None
    """What an electrode or a bond belongs to, whose status and owner are its own."""

    @property
    def obj(self) -> Any:
        """The thing itself."""
        return self.found.obj

    @property
    def quantity(self) -> Cell:
        """How many pieces the row stands for: inverters of a row, modules of an array."""
        if isinstance(self.obj, ModuleInverters):
            return self.obj.number
        if not isinstance(self.obj, Array):
            return 1
        modules = self.obj.modules
        return Unknown(modules.mark, modules.what) if isinstance(modules, Unknown) else modules

    @property
    def power(self) -> Cell:
        """Rated apparent power of one piece [VA]."""
        own = getattr(self.obj, "power", None)
        return own if own is not None and not isinstance(self.obj, Array) else dotted(self.kind, "power")

    @property
    def energy(self) -> Cell:
        """Usable energy of one piece [Wh]."""
        own = given(self.obj, "energy")
        return own if own is not None else dotted(self.kind, "energy")

    @property
    def whose(self) -> Any:
        """What has its status and owner: itself, or what an electrode or a bond belongs to."""
        return self.obj if hasattr(self.obj, "owner") else self.owner


def equipment(flows: Flows) -> Table:
    """The equipment list. Quantities are pieces; the total of a kind stands on the first row of that kind."""
    things = sorted(_things(flows), key=lambda found: found.obj.mark)
    items = [_Item(found, kind_of(flows, found.obj), location(flows, found.obj), article_facts(flows, found.obj),
                   owner=flows.objects.get(found.obj.id.rpartition(".")[0])) for found in things]
    totals = first_totals(items, _kind, lambda item: item.quantity)
    rows = [replace(item, total=totals.get(place)) for place, item in enumerate(items)]
    notes = ("Quantities of what is provisional may change when open facts become known.",) if any(map(_provisional, items)) else ()
    whole = build("equipment", "Equipment list", COLUMNS, rows, notes)
    return replace(whole, on_paper=tuple(_on_paper(rows, notes)))


def _on_paper(items: Sequence[_Item], notes: tuple[str, ...]) -> Iterator[Table]:
    """The list in two: what every thing has, and what stands on the plates of some; as one it is wider than a sheet."""
    yield build("equipment", "Equipment list", [pair for pair in COLUMNS if pair[0].heading not in OF_PLATE], items, notes)
    names = ("id", "name", "item", "maker and model, or kind", *OF_PLATE)
    declared = [pair for pair in COLUMNS if pair[0].heading in names]
    if plates := [item for item in items if isinstance(item.obj, PLATED) or _says_of_plate(item)]:
        yield build("equipment", "Equipment list: plates, documents, serial numbers", declared, plates)


def _says_of_plate(item: _Item) -> bool:
    return any(column.show(cell(item)) for column, cell in COLUMNS if column.heading in OF_PLATE)


def _things(flows: Flows) -> Iterator[Found]:
    """Things of the file, then those that only the graph has: electrodes, bonds and joints."""
    yield from (found for found in find(flows, Thing) if not isinstance(found.obj, NO_EQUIPMENT))
    for _, obj in flows.graph.nodes(data="obj"):
        if isinstance(obj, Bar | Joint | Electrode | Bond) and obj.id not in flows.objects:
            yield Found(obj)


def location(flows: Flows, obj: Any) -> Cell:
    """The board or place that a thing stands in."""
    if obj.id in flows.graph:
        return flows.home(obj.id)
    place = given(obj, "place")
    return str(place) if isinstance(place, Said) else place


def _item(item: _Item) -> Cell:
    """What it is, in words."""
    if isinstance(item.obj, Array):
        return "photovoltaic modules"
    return item.obj.kind if isinstance(item.obj, Controller | EarthBar) else item.obj.word


def _said(value: Any) -> Any:
    return str(value) if isinstance(value, Said) else value


def _kind(item: _Item) -> tuple[str, ...]:
    """What makes two rows the same article: text, so that nothing unknown is compared."""
    facts = (_item(item), _said(_own_type(item)), item.facts, _rating(item), _poles(item), item.power, item.energy, _action(item))
    return tuple(str(fact) for fact in facts)


def _own_type(item: _Item) -> Any:
    """The library type, of a protective device its make; the type of an RCD stands among its facts."""
    if getattr(item.obj, "limits_current", False) or hasattr(item.obj, "residual"):
        return given(item.obj, "make")
    said = given(item.obj, "type_")
    return said if isinstance(said, Said | Unknown) and "type_" not in {f.name for f in fields_of(type(item.obj)) if f.short} else None


def _action(item: _Item) -> Cell:
    return action(item.whose) if hasattr(item.whose, "owner") else None


def _provisional(item: _Item) -> str:
    return provisional(item.obj) if isinstance(item.obj, Thing) else ""


def _rating(item: _Item) -> Cell:
    """Its own rating [A], of a board that of its busbar, else that of its type."""
    own = given(item.obj, "rating", given(item.obj, "busbar"))
    return own if own is not None else dotted(item.kind, "rating")


def _poles(item: _Item) -> Cell:
    own = given(item.obj, "poles")
    return own if own is not None else dotted(item.kind, "poles")


def _array_power(item: _Item) -> Cell:
    return item.obj.power if isinstance(item.obj, Array) else None


def _phase(item: _Item) -> Cell:
    return joined(given(item.obj, "phase"))


def _serial(item: _Item) -> Cell:
    return joined(given(item.obj, "serial"), ", ")


def _maker(item: _Item) -> Cell:
    """Maker and model of the type, where it says them, else its description."""
    try:
        words = [str(word) for word in (dotted(item.kind, "maker"), dotted(item.kind, "model")) if word]
        return " ".join(words) or dotted(item.kind, "description")
    except CannotTell as error:
        return error.unknown


COLUMNS: tuple[tuple[Column, Callable[[_Item], Any]], ...] = (
    (ID, lambda i: i.obj.id),
    (NAME, lambda i: given(i.obj, "name", "")),
    (Column("item"), _item),
    (TYPE, lambda i: _said(_own_type(i))),
    (Column("maker and model, or kind"), _maker),
    (Column("quantity"), lambda i: i.quantity),
    (Column("total of this article"), lambda i: i.total),
    (Column("tender"), _action),
    (Column("provisional"), _provisional),
    (RATING, _rating),
    (Column("poles"), _poles),
    (Column("other facts"), lambda i: i.facts),
    (Column("power each", "kVA", -3), lambda i: i.power),
    (Column("array power", "kW", -3), _array_power),
    (Column("energy each", "kWh", -3), lambda i: i.energy),
    (Column("phases"), _phase),
    (Column("certificate"), lambda i: dotted(i.kind, "certificate")),
    (Column("document"), lambda i: dotted(i.kind, "document")),
    (Column("serial number", room=12), _serial),
    (Column("location"), lambda i: i.location),
    (CIRCUIT, lambda i: i.found.circuit),
    (Column("owner"), lambda i: getattr(i.whose, "owner", None)),
    (STATUS, lambda i: getattr(i.whose, "status", None)),
)
