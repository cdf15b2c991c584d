# SPDX-License-Identifier: MIT
"""JSON Schema of the site file, made from the same declarations as the reader, so that editors can complete and check it.

The schema is looser than the reader: it says nothing of ids that do not exist, of units that fit, or of one fact said twice.
"""
from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from .fields import Field, fields_of, shorthand_of
from .kinds import TBC, ByKind, Each, Kind, Nested, OneOf, Table
from .site import Site

__all__ = ["schema_json", "site_schema"]

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def site_schema() -> dict[str, Any]:
    """JSON Schema of a site file, draft 2020-12. Every class that a site can hold has its definition under `$defs`."""
    classes = sorted(_reached(Site), key=lambda cls: cls.__name__)
    return {"$schema": DIALECT, "title": "Site file", "description": _first_line(Site), **_object(Site),
            "$defs": {cls.__name__: _definition(cls) for cls in classes if cls is not Site}}


def schema_json() -> str:
    """The schema as JSON text that ends with a line feed."""
    return json.dumps(site_schema(), ensure_ascii=False, indent=1) + "\n"


def _reached(cls: type) -> set[type]:
    """A class and all classes that its fields can hold."""
    found, todo = {cls}, [cls]
    while todo:
        for f in fields_of(todo.pop()):
            new = set(_classes(f.kind)) - found
            found |= new
            todo += sorted(new, key=lambda c: c.__name__)
    return found


def _classes(kind: Kind) -> Iterator[type]:
    """The classes whose objects a kind holds."""
    if isinstance(kind, Nested):
        yield kind.cls
    elif isinstance(kind, OneOf | ByKind):
        yield from kind.classes.values()
    elif isinstance(kind, Each | Table):
        yield from _classes(kind.kind)


def _definition(cls: type) -> dict[str, Any]:
    """An object in its long form, by shorthand where it has one, or TBC."""
    short = {"type": "string", "pattern": r"\S", "examples": [_shorthand(cls)]} if shorthand_of(cls) else {"enum": list(TBC)}
    return {"description": _first_line(cls), "anyOf": [short, _object(cls)]}


def _object(cls: type) -> dict[str, Any]:
    """The long form: a mapping with the declared keys and no others."""
    fields = fields_of(cls)
    required = [f.key for f in fields if f.required and not _in_others(f, fields)]
    return {"type": "object", "properties": {f.key: _property(f, cls) for f in fields}, **({"required": required} if required else {}),
            "additionalProperties": False}


def _in_others(f: Field, fields: tuple[Field, ...]) -> bool:
    """Whether a fact can also be said in the value of another key (`rating: 63 A 1P` says the poles)."""
    return f.short and sum(other.short for other in fields) > 1


def _property(f: Field, cls: type) -> dict[str, Any]:
    """The value of a key; one of a shorthand may hold further words of it."""
    schema = {"description": f.what, **f.kind.schema()}
    if f.short and shorthand_of(cls) is not None and sum(other.short for other in fields_of(cls)) > 1:
        own = {key: value for key, value in schema.items() if key != "description"}
        return {"description": f.what, "anyOf": [own, {"type": "string", "pattern": rf"(?:^|[\s,])(?:{f.kind.token})(?:[\s,]|$)"}]}
    return schema


def _shorthand(cls: type) -> str:
    """An example of the shorthand, with every fact that has a place in it."""
    return " ".join(f"{f.kind.before} {f.kind.example}".strip() for f in fields_of(cls) if f.short)


def _first_line(cls: type) -> str:
    return (cls.__doc__ or "").strip().partition("\n")[0]
