# SPDX-License-Identifier: MIT
"""Places in a site file, findings about it, and values that nobody knows yet."""
from __future__ import annotations

import dataclasses
from dataclasses import field
from typing import Any, NoReturn

from .dataclass import dataclass

__all__ = ["CannotTell", "Finding", "Mark", "Missing", "Number", "Related", "SiteError", "Unknown", "Unusable"]

SEVERITIES = ("error", "warning", "note", "observed")


@dataclasses.dataclass(frozen=True, slots=True, order=True)
class Mark:
    """A place in a file: line and column count from 1, in characters; width in characters."""

    file: str
    line: int
    column: int
    width: int = 1


@dataclass(frozen=True, slots=True)
class Number:
    """A number behind a finding; value None stands for "not known"."""

    value: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Missing:
    """Something that a check needed and did not get."""

    what: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Related:
    """A second place that a finding speaks of."""

    mark: Mark
    message: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check, or the reader, has to say about one place of the site file."""

    mark: Mark
    message: str
    next: str = ""
    rule: str = ""
    severity: str = "error"
    outcome: str = "finding"
    objects: tuple[str, ...] = ()
    numbers: dict[str, Number] = field(default_factory=dict)
    source: str = ""
    missing: tuple[Missing, ...] = ()
    related: tuple[Related, ...] = ()
    cause: int | None = None
    accepted: dict[str, str] | None = None


class SiteError(Exception):
    """Root of the exceptions that this program raises on purpose."""


class Unusable(SiteError):
    """The input cannot be used at all; carries the finding that says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


class CannotTell(SiteError):
    """A value that nobody knows was used; carries what is missing."""

    def __init__(self, unknown: Unknown) -> None:
        super().__init__(f"{unknown.what} is not known")
        self.unknown = unknown


class _NoAttribute(CannotTell, AttributeError):
    """An attribute of a value that nobody knows was used."""


class Unknown:
    """A value that is TBC, not given, or unreadable. Any use of it raises CannotTell.

    what   : what is missing, in the user's words ("length of cable SB.1.cable")
    silent : stems from a fault that is already reported, so nobody repeats it
    given  : the file says TBC; False where it says nothing
    key    : the key that says it, where the file says nothing; "" where it has none
    """

    __slots__ = ("given", "key", "mark", "silent", "what")

    def __init__(self, mark: Mark, what: str, *, silent: bool = False, given: bool = True, key: str = "") -> None:
        self.mark, self.what, self.silent, self.given, self.key = mark, what, silent, given, key

    def __repr__(self) -> str:
        return f"Unknown({self.what!r})"

    def __str__(self) -> str:
        return "TBC"

    def __format__(self, spec: str) -> str:
        return "TBC"

    def _use(self, *_: Any) -> NoReturn:
        raise CannotTell(self)

    def __getattr__(self, name: str) -> NoReturn:
        if name.startswith("_"):
            raise AttributeError(name)
        raise _NoAttribute(self)  # an AttributeError too: `getattr(x, name, default)` and `hasattr` answer as for anything without it

    __bool__ = __len__ = __iter__ = __contains__ = __getitem__ = __call__ = _use
    __float__ = __int__ = __index__ = __abs__ = __neg__ = __pos__ = __round__ = _use
    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __pow__ = __rpow__ = _use
    __truediv__ = __rtruediv__ = __floordiv__ = __rfloordiv__ = __mod__ = __rmod__ = _use
    __and__ = __rand__ = __or__ = __ror__ = __xor__ = __rxor__ = __invert__ = _use
    __eq__ = __ne__ = __lt__ = __le__ = __gt__ = __ge__ = _use  # type: ignore[assignment]
    __hash__ = object.__hash__
