# SPDX-License-Identifier: MIT
"""What a site file says once for all cables and circuit-breakers, as a drawing's general note does: "unless stated otherwise"."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from .cables import Cable, CablePart
from .dataclass import dataclass
from .devices import Breaker, Rcbo
from .errors import Unknown
from .fields import fields_of, say
from .kinds import Nested
from .parts import Part

__all__ = ["UnlessStated", "by_class", "stated_words"]


def _as_in(cls: type, name: str, *, short: bool = True) -> Any:
    """Declare a field with the kind and the noun that it has in a class."""
    declared = next(f for f in fields_of(cls) if f.name == name)
    return say(declared.kind, declared.what, short=short)


@dataclass(frozen=True, eq=False, kw_only=True)
class StatedCable(Part):
    """What holds for every cable, and part of a cable, that does not say it itself."""

    word: ClassVar[str] = "cable unless stated otherwise"
    material: str = _as_in(CablePart, "material")
    insulation: str = _as_in(CablePart, "insulation")
    installed: tuple[str, ...] = _as_in(CablePart, "installed")


@dataclass(frozen=True, eq=False, kw_only=True)
class StatedBreaker(Part):
    """What holds for every circuit-breaker and RCBO that does not say it itself. breaking [A]."""

    word: ClassVar[str] = "circuit-breaker unless stated otherwise"
    curve: str = _as_in(Breaker, "curve")
    breaking: float = _as_in(Breaker, "breaking")
    energy_class: str = _as_in(Breaker, "energy_class", short=False)


@dataclass(frozen=True, eq=False, kw_only=True)
class UnlessStated(Part):
    """What holds where a cable or circuit-breaker does not say otherwise; a TBC in its place stays TBC."""

    word: ClassVar[str] = "what holds unless stated otherwise"
    cable: StatedCable = say(Nested(StatedCable), "cables")
    breaker: StatedBreaker = say(Nested(StatedBreaker), "circuit-breakers")


CLASSES: Mapping[str, tuple[type, ...]] = {"cable": (Cable, CablePart), "breaker": (Breaker, Rcbo)}
"""The classes of objects that take what is stated under a key."""


def by_class(stated: UnlessStated | Unknown | None) -> dict[type, dict[str, Any]]:
    """The values that objects of a class take where the file does not give them, by field name."""
    if not isinstance(stated, UnlessStated):
        return {}
    return {cls: dict(_values(getattr(stated, key))) for key, classes in CLASSES.items() for cls in classes}


def _values(stated: Part | Unknown) -> Iterator[tuple[str, Any]]:
    if isinstance(stated, Part):
        yield from ((name, value) for name in stated.marks if not isinstance(value := getattr(stated, name), Unknown))


def stated_words(stated: UnlessStated | Unknown | None) -> Iterator[str]:
    """As a note says it: "cables: Cu PVC in conduit in air"; nothing where nothing is stated."""
    for key, what in (("cable", "cables"), ("breaker", "circuit-breakers")):
        part = getattr(stated, key) if isinstance(stated, UnlessStated) else None
        if isinstance(part, Part) and (values := dict(_values(part))):
            said = (f"{'' if f.short else f'{f.what} '}{f.kind.show(values[f.name])}" for f in fields_of(type(part)) if f.name in values)
            yield f"{what}: {' '.join(said)}"
