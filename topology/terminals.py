# SPDX-License-Identifier: MIT
"""Devices with named terminals: changeovers, bus couplers, hybrid inverters, generators and their inlets."""
from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import ClassVar

from .chains import Terminal
from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Day, Each, Free, Nested, PhaseSet, Ref, Said, Table, YesNo
from .parts import POLES, Thing
from .records import SETTING, Setting
from .sources import Array, Battery, Source

__all__ = ["DEVICES", "Changeover", "Coupler", "Generator", "HybridInverter", "Inlet", "Ported"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Ported(Thing):
    """A device with more than two sides. ports: what is wired to its terminals; others feed a terminal by `feeds: QA1.normal`."""

    terminals: ClassVar[tuple[str, ...]] = ()
    """the names of its terminals"""
    ports: Mapping[str, Terminal] = say(Table(Nested(Terminal), ids=True), "terminals", default={})
    settings: Mapping[str, Setting] = say(Table(Nested(Setting), names=SETTING), "settings", default={})


@dataclass(frozen=True, eq=False, kw_only=True)
class Changeover(Ported):
    """A changeover: `load` is joined to `normal` or to `alternative`, never to both. rating [A]; poles: what it opens."""

    word: ClassVar[str] = "changeover"
    terminals: ClassVar[tuple[str, ...]] = ("normal", "alternative", "load")
    kind: str = say(Choice("changeover"), "kind", required=True)
    operated: str = say(Choice("manual", "automatic", "interlocked"), "way of operation")
    rating: float = say(Amount("A", "63 A", 0.1, 10_000, only=("A",)), "rating")
    poles: str = say(Choice(*POLES), "poles")
    ne_relay: bool = say(YesNo(), "N–E link in backup", default=False)

    @property
    def symbol(self) -> str:  # type: ignore[override]
        """Symbol by the way of operation."""
        operated = self.operated if isinstance(self.operated, str) else "manual"
        return f"changeover-{operated}"


@dataclass(frozen=True, eq=False, kw_only=True)
class Coupler(Ported):
    """A bus coupler between two boards. rating [A]."""

    word: ClassVar[str] = "bus coupler"
    symbol: ClassVar[str] = "switch-disconnector"
    terminals: ClassVar[tuple[str, ...]] = ("a", "b")
    kind: str = say(Choice("bus coupler"), "kind", required=True)
    rating: float = say(Amount("A", "63 A", 0.1, 10_000, only=("A",)), "rating")
    poles: str = say(Choice(*POLES), "poles")
    stands: str = say(Choice("open", "closed"), "normal position")


@dataclass(frozen=True, eq=False, kw_only=True)
class HybridInverter(Source, Ported):
    """An inverter with arrays and a battery on its direct-current side and a terminal for backed-up circuits.

    Its relay between `grid` and `backup` opens when the supply fails, the neutral too unless `poles` say otherwise; the inverter
    itself stands at `backup`.
    """

    word: ClassVar[str] = "hybrid inverter"
    symbol: ClassVar[str] = "inverter-hybrid"
    terminals: ClassVar[tuple[str, ...]] = ("grid", "backup")
    kind: str = say(Choice("hybrid inverter"), "kind", required=True)
    type_: Said = say(Ref("type", example="hybrid-5"), "type", required=True)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    address: str = say(Free("12"), "address on its bus")
    commissioned: datetime.date = say(Day(), "date of commissioning")
    arrays: tuple[Array, ...] = say(Each(Nested(Array)), "arrays", default=())
    battery: Battery | None = say(Nested(Battery, "battery"), "battery", default=None)
    poles: str = say(Choice(*POLES), "poles of its relay to the grid", default=None)
    ne_relay: bool = say(YesNo(), "N–E link in backup")


@dataclass(frozen=True, eq=False, kw_only=True)
class Generator(Source, Ported):
    """A generator that stands on site. power [VA]."""

    word: ClassVar[str] = "generator"
    symbol: ClassVar[str] = "generator"
    terminals: ClassVar[tuple[str, ...]] = ("out",)
    kind: str = say(Choice("generator"), "kind", required=True)
    power: float = say(Amount("VA", "8 kVA", 0, 1e9), "rated power")
    commissioned: datetime.date = say(Day(), "date of commissioning")
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    starts: str = say(Choice("manual", "automatic"), "way of starting")
    ne_link: bool = say(YesNo(), "N–E link in the generator")


@dataclass(frozen=True, eq=False, kw_only=True)
class Inlet(Source, Ported):
    """An inlet for a portable generator. rating [A]."""

    word: ClassVar[str] = "generator inlet"
    symbol: ClassVar[str] = "inlet"
    terminals: ClassVar[tuple[str, ...]] = ("out",)
    kind: str = say(Choice("generator inlet"), "kind", required=True)
    rating: float = say(Amount("A", "32 A", 0.1, 10_000, only=("A",)), "rating")
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    ne_link: bool = say(YesNo(), "N–E link in the generator")


DEVICES: dict[str, type[Ported]] = {"changeover": Changeover, "bus coupler": Coupler, "hybrid inverter": HybridInverter, "generator": Generator,
                                    "generator inlet": Inlet}
"""Devices with terminals, by their kind."""
