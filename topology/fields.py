# SPDX-License-Identifier: MIT
"""Declared fields: one line in `site.py` gives reading, shorthand, printing and schema of a value.

A dataclass field is declared with `say(kind, what)`. The kind (see `kinds.py`) knows how to read a node and print a
value; `what` names the value in messages.
"""
from __future__ import annotations

import dataclasses
import re
from functools import cache
from typing import TYPE_CHECKING, Any

from .dataclass import dataclass
from .errors import Unknown

if TYPE_CHECKING:
    from .kinds import Kind

__all__ = ["NOT_GIVEN", "Field", "field_by_key", "fields_of", "owners_of", "say", "shorthand_of", "show_object"]

NOT_GIVEN: Any = object()
"""Default of a field that reads as Unknown when the file does not give it."""


@dataclass(frozen=True, slots=True)
class Field:
    """One declared field.

    what     : its name in messages ("rated residual current")
    short    : has a place in the shorthand
    asked    : a lone TBC in the shorthand may stand for it
    required : its absence is a fault
    default  : what it reads as when it is not given
    """

    name: str
    kind: Kind
    what: str
    short: bool
    asked: bool
    required: bool
    default: Any

    @property
    def key(self) -> str:
        """The key in the file: the name less what Python asks for (`from_` is `from`, `own_id` is `id`)."""
        return "id" if self.name == "own_id" else self.name.rstrip("_")


def say(kind: Kind, what: str, *, short: bool = False, asked: bool = False, required: bool = False, default: Any = NOT_GIVEN) -> Any:
    """Declare a field of the site file."""
    return dataclasses.field(default=NOT_GIVEN, metadata={"say": (kind, what, short, asked, required, default)})


@cache
def fields_of(cls: type) -> tuple[Field, ...]:
    """The declared fields of a class, in order."""
    return tuple(Field(f.name, *f.metadata["say"]) for f in dataclasses.fields(cls) if "say" in f.metadata)


@cache
def field_by_key(cls: type) -> dict[str, Field]:
    """Declared fields of a class by their key in the file."""
    return {f.key: f for f in fields_of(cls)}


def owners_of(cls: type, key: str) -> tuple[str, ...]:
    """The words for the other classes of its family that have such a key, each once, in the order of declaration."""
    found: dict[str, None] = {}
    waiting = [cls.__mro__[-2]]  # the oldest ancestor below `object`
    while waiting:
        other = waiting.pop(0)
        if key in field_by_key(other) and "word" in vars(other):
            found[other.word] = None  # type: ignore[attr-defined]
        waiting += other.__subclasses__()
    return tuple(found)


@cache
def shorthand_of(cls: type) -> re.Pattern[str] | None:
    """The union of the tokens of a class, one named group a field, greedy kinds last; None where the class has no shorthand."""
    short = sorted((f for f in fields_of(cls) if f.short), key=lambda f: f.kind.greedy)
    parts = [f"(?P<{f.name}>{f.kind.token})" for f in short]
    return re.compile(rf"(?:{'|'.join(parts)})(?=[\s,]|$)") if parts else None


def show_object(obj: Any) -> Any:
    """The object as the site file would say it: by shorthand where that says all, else as a mapping of what was given.

    Returns text, or a dict of text, lists and dicts; "TBC" for what nobody knows.
    """
    if isinstance(obj, Unknown):
        return "TBC"
    given = [f for f in fields_of(type(obj)) if f.name in obj.marks]
    plain = [f for f in given if f.short and not isinstance(getattr(obj, f.name), Unknown)]
    if given and len(plain) == len(given):
        return " ".join(_show_token(f, getattr(obj, f.name)) for f in given)
    return {f.key: _show_value(f, getattr(obj, f.name)) for f in given} or "TBC"


def _show_token(f: Field, value: Any) -> str:
    return f"{f.kind.before} {f.kind.show(value)}".strip()


def _show_value(f: Field, value: Any) -> Any:
    return "TBC" if isinstance(value, Unknown) else f.kind.show(value)
