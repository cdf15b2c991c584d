# SPDX-License-Identifier: MIT
"""Difference list: what the work changes on a site, by status; and what differs between two site files."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from topology.compare import Difference
from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.fields import show_object
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Bus, Chain, Segment, Thing

from .columns import ID, NAME, STATUS, Cell, Column, Table, build
from .equipment import location
from .tender import action

__all__ = ["between", "differences"]

NOT_SHOWN = ("status", "id", "name", "owner", "place")
CHANGES = {"new": "added", "altered": "altered", "relocated": "moved", "removed": "taken away"}


@dataclass(frozen=True, eq=False)
class _Change:
    thing: Thing
    location: Cell

    @property
    def after(self) -> str:
        """The thing as the file has it, nothing for what is taken away."""
        return "" if str(self.thing.status) == "removed" else self.now

    @property
    def before(self) -> str:
        """The same for what was there before."""
        return {"removed": self.now, "new": ""}.get(str(self.thing.status), "as found")

    @property
    def now(self) -> str:
        """The thing in nearly the words of the site file, without what stands in it."""
        shown = show_object(self.thing)
        if isinstance(shown, dict):
            kept = ((key, _words(value)) for key, value in shown.items() if key not in NOT_SHOWN)
            shown = ", ".join([*(_fact(key, words) for key, words in kept if words), *_pieces(self.thing)])
        return str(shown)


def _pieces(thing: Thing) -> list[str]:
    """The segments of a bus, which have no row of their own."""
    segments = thing.segments if isinstance(thing, Bus) and isinstance(thing.segments, tuple) else ()
    shown = ((s, s.length) for s in segments if isinstance(s, Segment))
    return [f"segment {s.from_} to {s.to} {'TBC' if isinstance(length, Unknown) else show_quantity(length, 'm')}" for s, length in shown]


def _fact(key: str, words: str) -> str:
    """A fact as a reader of the list says it: frame bonded to MSB, N–E link yes; the parts of a cable and a main switch speak for themselves."""
    called = key.replace("_", " ")
    called = f"N–E {called[3:]}" if key.startswith("ne_") else called
    if key == "parts":
        return words
    return f"main {words}" if key == "main_switch" and words.startswith("switch") else f"{called} {words}"


def _words(value: Any) -> str:
    """Text, or a list of texts; nothing for what stands in a thing and has a row of its own."""
    if isinstance(value, list):
        return "; ".join(value) if all(isinstance(item, str) for item in value) else ""
    return value if isinstance(value, str) else ""


def differences(flows: Flows) -> Table:
    """What the work adds, alters, moves and takes away; what stays as it is, is left out."""
    notes = ("State before the work against state after it, by the status in the site file.",)
    return build("differences", "Difference list", COLUMNS, _changes(flows), notes)


def _changes(flows: Flows) -> Iterator[_Change]:
    for thing in flows.objects.values():
        if not isinstance(thing, Thing) or isinstance(thing, Chain) and not thing.marks:
            continue  # a terminal that the file says nothing of
        if isinstance(thing.status, Unknown) or thing.status in CHANGES:
            yield _Change(thing, location(flows, thing))


def between(found: Iterable[Difference]) -> Table:
    """What differs between two site files (see topology.compare)."""
    return build("differences", "Differences of two site files", BETWEEN, found)


def _change(change: _Change) -> Cell:
    return change.thing.status if isinstance(change.thing.status, Unknown) else CHANGES[change.thing.status]


COLUMNS: tuple[tuple[Column, Callable[[_Change], Any]], ...] = (
    (ID, lambda c: c.thing.id),
    (NAME, lambda c: c.thing.name),
    (Column("item"), lambda c: c.thing.word),
    (Column("change"), _change),
    (Column("before"), lambda c: c.before),
    (Column("after"), lambda c: c.after),
    (Column("location"), lambda c: c.location),
    (Column("tender"), lambda c: None if isinstance(c.thing, Chain) else action(c.thing)),
    (STATUS, lambda c: c.thing.status),
)

BETWEEN: tuple[tuple[Column, Callable[[Difference], Any]], ...] = (
    (ID, lambda d: d.id),
    (Column("item"), lambda d: d.word),
    (Column("change"), lambda d: d.change),
    (Column("fact"), lambda d: d.fact),
    (Column("before"), lambda d: d.old),
    (Column("after"), lambda d: d.new),
    (Column("place before"), lambda d: d.place_old),
    (Column("place after"), lambda d: d.place_new),
)
