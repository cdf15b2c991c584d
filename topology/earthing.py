# SPDX-License-Identifier: MIT
"""Earth bars, main earth and bonding."""
from __future__ import annotations

from typing import ClassVar

from .dataclass import dataclass
from .devices import Electrode
from .fields import say
from .kinds import Amount, Choice, Each, Free, Nested, OneOrMore, Ref, Said
from .parts import Part, Thing

__all__ = ["Bond", "EarthBar"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Bond(Part):
    """Bonding of a conductive part. conductor [mm²]."""

    word: ClassVar[str] = "bond"
    part: str = say(Free("water pipe"), "bonded part", required=True)
    conductor: float = say(Amount("mm2", "6 mm²", 0.5, 500), "bonding conductor")


@dataclass(frozen=True, eq=False, kw_only=True)
class EarthBar(Thing):
    """An earth bar or the main earth terminal. place: the board whose protective conductors it holds. conductor [mm²]: to the bars it is joined to."""

    word: ClassVar[str] = "earth bar"
    symbol: ClassVar[str] = "protective-earth"
    kind: str = say(Choice("main earth terminal", "earth bar"), "kind", default="earth bar")
    electrode: Electrode | None = say(Nested(Electrode, "electrode"), "electrode", default=None)
    bonding: tuple[Bond, ...] = say(Each(Nested(Bond)), "bonding", default=())
    joined_to: tuple[Said, ...] = say(OneOrMore(Ref("earth bar", "N–E link", example="MET")), "what it is joined to", default=())
    conductor: float = say(Amount("mm2", "16 mm²", 0.5, 500), "earthing conductor", default=None)
