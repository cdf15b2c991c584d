# SPDX-License-Identifier: MIT
"""The standard library's dataclass, whose methods are written when they are first called.

A command makes about two hundred of these classes and uses a third of them. Writing and compiling all their methods took a quarter
of the time of a whole command; this takes a fifth of that. Fields, `replace`, `fields` and pickles are those of the standard
library, and type checkers take it for that.
"""
from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass"]

if TYPE_CHECKING:
    from dataclasses import dataclass
else:
    def dataclass(cls: type | None = None, /, **options: bool) -> Any:
        """As in the standard library; options are frozen, slots, eq and kw_only."""
        def made(plain: type) -> type:
            return _made(plain, **options)

        return made if cls is None else made(cls)


def _made(plain: type, frozen: bool = False, slots: bool = False, eq: bool = True, kw_only: bool = False) -> type:
    """Fields by the standard library, then its methods, but for those that the class defines itself."""
    own = frozenset(vars(plain))
    cls = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)(plain)
    _later(cls, "__init__", own, frozen)
    if "__repr__" not in own:
        cls.__repr__ = _repr  # type: ignore[method-assign]
    if eq:
        _later(cls, "__eq__", own)
        if frozen:
            _later(cls, "__hash__", own)
        elif "__hash__" not in own:
            cls.__hash__ = None  # type: ignore[assignment]
    if frozen:
        cls.__setattr__, cls.__delattr__ = _no_change, _no_removal  # type: ignore[method-assign]
        if slots and "__getstate__" not in own:
            cls.__getstate__, cls.__setstate__ = _state, _restore  # type: ignore[attr-defined, method-assign]
    return cls


def _later(cls: Any, name: str, own: frozenset[str], frozen: bool = False) -> None:
    """A method that writes the real one into the class at its first call."""
    if name in own and vars(cls)[name] is not None:  # a class that defines __eq__ has None as __hash__
        return

    def first(self: Any, *args: Any, **named: Any) -> Any:
        setattr(cls, name, _WRITERS[name](cls, frozen))
        return getattr(cls, name)(self, *args, **named)

    first.__name__, first.__qualname__ = name, f"{cls.__qualname__}.{name}"
    setattr(cls, name, first)


def _init(cls: Any, frozen: bool) -> Any:
    """The constructor: an argument for each field, then __post_init__ where there is one."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_none": object()}
    positional, named, body = ["self"], [], []
    for at, field in enumerate(dataclasses.fields(cls)):
        value = _argument(at, field, known, named if field.kw_only else positional)
        if value:
            body.append(f"_set(self, {field.name!r}, {value})" if frozen else f"self.{field.name} = {value}")
    if hasattr(cls, "__post_init__"):
        body.append("self.__post_init__()")
    arguments = ", ".join([*positional, *(["*", *named] if named else [])])
    return _compiled(cls, "__init__", arguments, body or ["pass"], known)


def _argument(at: int, field: dataclasses.Field[Any], known: dict[str, Any], arguments: list[str]) -> str:
    """Adds the argument of a field, and its default to what the constructor knows; returns what the field is set to, "" for nothing."""
    if field.default_factory is not dataclasses.MISSING:
        known[f"_make{at}"] = field.default_factory
        if not field.init:
            return f"_make{at}()"
        arguments.append(f"{field.name}=_none")
        return f"_make{at}() if {field.name} is _none else {field.name}"
    if not field.init:
        return ""
    if field.default is dataclasses.MISSING:
        arguments.append(field.name)
    else:
        known[f"_usual{at}"] = field.default
        arguments.append(f"{field.name}=_usual{at}")
    return field.name


def _eq(cls: Any, frozen: bool) -> Any:
    mine, others = (_tuple(cls, "compare", who) for who in ("self", "other"))
    return _compiled(cls, "__eq__", "self, other", [f"return {mine} == {others} if other.__class__ is self.__class__ else NotImplemented"], {})


def _hash(cls: Any, frozen: bool) -> Any:
    return _compiled(cls, "__hash__", "self", [f"return hash({_tuple(cls, 'compare', 'self')})"], {})


_WRITERS: Mapping[str, Callable[[Any, bool], Any]] = {"__init__": _init, "__eq__": _eq, "__hash__": _hash}


def _tuple(cls: Any, wanted: str, who: str) -> str:
    return "(" + "".join(f"{who}.{field.name}, " for field in dataclasses.fields(cls) if getattr(field, wanted)) + ")"


def _compiled(cls: Any, name: str, arguments: str, body: list[str], known: dict[str, Any]) -> Any:
    space = {**known, "__name__": cls.__module__}
    exec(f"def {name}({arguments}):\n " + "\n ".join(body), space)  # noqa: S102, names of fields only
    space[name].__qualname__ = f"{cls.__qualname__}.{name}"
    return space[name]


def _repr(self: Any) -> str:
    return f"{type(self).__qualname__}({', '.join(f'{f.name}={getattr(self, f.name)!r}' for f in dataclasses.fields(self) if f.repr)})"


def _no_change(self: Any, name: str, value: Any) -> None:
    if _is_field(self, name):
        raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")
    object.__setattr__(self, name, value)


def _no_removal(self: Any, name: str) -> None:
    if _is_field(self, name):
        raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")
    object.__delattr__(self, name)


def _is_field(self: Any, name: str) -> bool:
    """Whether an attribute is frozen: all of a dataclass, the fields only in what a plain class adds to one."""
    return "__dataclass_fields__" in vars(type(self)) or name in self.__dataclass_fields__


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state):
        object.__setattr__(self, field.name, value)
