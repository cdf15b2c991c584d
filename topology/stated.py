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
from .kinds import Amount, Choice, ManyWords, Nested
from .parts import Part

__all__ = ["UnlessStated", "by_class", "stated_words"]


@dataclass(frozen=True, eq=False, kw_only=True)
class StatedCable(Part):
    """What holds for every cable, and part of a cable, that does not say it itself."""

    word: ClassVar[str] = "cable unless stated otherwise"
    material: str = say(Choice("Cu", "Al"), "conductor material", short=True)
    insulation: str = say(Choice("PVC", "XLPE", "EPR", "V-75", "V-90", "X-90"), "insulation", short=True)
    installed: tuple[str, ...] = say(ManyWords(
        "in conduit", "in air", "underground", "in duct", "in trunking", "on tray", "clipped direct", "in wall", "in insulation",
        "on surface", "in ceiling", example="in conduit in air"), "way of laying", short=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class StatedBreaker(Part):
    """What holds for every circuit-breaker and RCBO that does not say it itself. breaking [A]."""

    word: ClassVar[str] = "circuit-breaker unless stated otherwise"
    curve: str = say(Choice("B", "C", "D"), "curve", short=True)
    breaking: float = say(Amount("A", "6 kA", 100, 1e6, only=("kA",)), "breaking capacity", short=True)


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
            yield f"{what}: {' '.join(f.kind.show(values[f.name]) for f in fields_of(type(part)) if f.name in values)}"
