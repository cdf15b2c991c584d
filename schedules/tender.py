# SPDX-License-Identifier: MIT
"""Who does what with a thing: supply new, reuse, remove, by others; and whether that is provisional."""
from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import Any, TypeVar

from topology.errors import CannotTell, Unknown
from topology.fields import fields_of
from topology.flow import Flows
from topology.records import Ordering

from .columns import Cell

__all__ = ["SUPPLY", "action", "first_totals", "not_nothing", "ordered", "provisional", "taken_for_existing"]

SUPPLY = "supply new"
ACTIONS = {"new": SUPPLY, "existing": "reuse", "altered": "reuse, alter", "relocated": "reuse, move", "removed": "remove"}
T = TypeVar("T")


def action(obj: Any) -> Cell:
    """What a tender asks for: by others where it is not the customer's, else what the status says; an unknown one where that is open."""
    owner, status = obj.owner, obj.status
    for said in (owner, status):
        if isinstance(said, Unknown):
            return said
    return ACTIONS[status] if owner == "customer" else "by others"


def provisional(*objects: Any) -> str:
    """`provisional` where the file leaves a fact of one of the objects open (TBC), else nothing."""
    return "provisional" if any(_open(obj) for obj in objects) else ""


def _open(obj: Any) -> bool:
    if isinstance(obj, Unknown):
        return True
    values = (getattr(obj, f.name) for f in fields_of(type(obj)) if f.name in obj.marks)
    return any(isinstance(value, Unknown) for value in values)


def ordered(flows: Flows, obj: Any, length: Any) -> Any:
    """A length [m] to order of what is supplied new, with the allowance of the site file; 0 of anything else, an unknown one where it is open."""
    if str(action(obj)) != SUPPLY:
        return 0.0
    said = flows.site.ordering
    more = said.allowance if isinstance(said, Ordering) else 0.0
    if isinstance(more, Unknown) and not more.given:
        more = 0.0
    try:
        return length * (1 + more / 100)
    except CannotTell as error:
        return error.unknown


def taken_for_existing(pairs: Iterable[tuple[Any, Iterable[Any]]]) -> Iterator[str]:
    """A sentence on things without a status of their own that count as existing though what they are joined to is new: an order would lack them.

    pairs : each thing with what it is joined to
    """
    found = [thing.id for thing, others in pairs if "status" not in thing.marks and str(thing.status) == "existing"
             and any(str(getattr(other, "status", "")) == "new" for other in others)]
    if found:
        yield f"Taken for existing, as the file gives no status, though joined to what is new: {', '.join(found)}. Nothing of it is ordered."


def not_nothing(length: Any) -> Cell:
    """A length, an unknown one, or nothing where it is 0."""
    return length if isinstance(length, Unknown) else length or None


def first_totals(rows: Iterable[T], kind: Callable[[T], Hashable], amount: Callable[[T], Any]) -> dict[int, Cell]:
    """For the first row of each kind, by its place: the sum of the amounts of that kind, or what of it is not known."""
    sums: dict[Hashable, tuple[int, Any]] = {}
    for place, row in enumerate(rows):
        first, so_far = sums.get(kind(row), (place, 0))
        sums[kind(row)] = first, _plus(so_far, amount(row))
    return dict(sums.values())


def _plus(a: Any, b: Any) -> Any:
    try:
        return a + b
    except CannotTell as error:
        return error.unknown
