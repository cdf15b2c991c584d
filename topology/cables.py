# SPDX-License-Identifier: MIT
"""Cables: of one or several parts, in parallel, with the conductors they carry."""
from __future__ import annotations

from typing import ClassVar

from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Cores, Each, Free, ManyWords, Nested, NumberOf, ParallelOf
from .parts import Own, Part

__all__ = ["Cable", "CablePart"]


@dataclass(frozen=True, eq=False, kw_only=True)
class CablePart(Part):
    """A length of cable of one make and one way of laying. area [mm²], length [m], cores: (number, earth core [mm²] or None)."""

    word: ClassVar[str] = "cable part"
    parallel: int = say(ParallelOf(), "number in parallel", short=True, default=1)
    area: float = say(Amount("mm2", "6 mm²", 0.2, 1000), "cross-section", short=True, asked=True)
    cores: tuple[int, float | None] = say(Cores(), "cores", short=True, asked=True)
    material: str = say(Choice("Cu", "Al"), "conductor material", short=True)
    insulation: str = say(Choice("PVC", "XLPE", "EPR", "V-75", "V-90", "X-90"), "insulation", short=True)
    length: float = say(Amount("m", "14 m", 0.01, 100_000), "length", short=True, asked=True)
    installed: tuple[str, ...] = say(ManyWords(
        "in conduit", "in air", "underground", "in duct", "in trunking", "on tray", "clipped direct", "in wall", "in insulation",
        "on surface", "in ceiling", "method A1", "method A2", "method B1", "method B2", "method C", "method D", "method E",
        example="in conduit in air", own=r"laid +[a-z][a-z0-9-]{0,30}"), "way of laying", short=True)
    grouped: int = say(NumberOf(1, 60, "3"), "number of circuits laid together, itself counted", default=1)
    capacity: float = say(Amount("A", "68 A", 0.1, 10_000, only=("A",)), "current-carrying capacity", default=None)
    capacity_source: str = say(Free("data sheet 4"), "source of the capacity", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Cable(CablePart, Own):
    """A cable between two devices, of one or several parts."""

    word: ClassVar[str] = "cable"
    parts: tuple[CablePart, ...] = say(Each(Nested(CablePart)), "parts", default=())
    conductors: tuple[str, ...] = say(ManyWords("L1", "L2", "L3", "N", "PE", "PEN", example="L1 N PE"), "conductors", default=())

    @property
    def runs(self) -> tuple[CablePart, ...]:
        """The parts that the cable consists of, at least one."""
        return self.parts or (self,)

    @property
    def total_length(self) -> float:
        """Length of all parts [m]."""
        return sum((run.length for run in self.runs), 0.0)
