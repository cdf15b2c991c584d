# SPDX-License-Identifier: MIT
"""The one kind of chain: devices and cables in line, then what they lead to. Circuits and terminals are chains."""
from __future__ import annotations

from typing import ClassVar

from .dataclass import dataclass
from .devices import IN_LINE
from .fields import say
from .kinds import Amount, Each, Nested, OneOf, OneOrMore, PhaseSet, Ref, Said, Way, WayKind, YesNo
from .parts import Own, Part
from .sources import EQUIPMENT, Equipment, Load

__all__ = ["Chain", "Circuit", "CombinedNeutral", "Terminal"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Chain(Own):
    """Devices and cables in physical order, then what they lead to: exactly one of feeds, circuits, load."""

    in_line: tuple[Own, ...] = say(IN_LINE, "devices in line", default=())
    feeds: Said | Equipment | None = say(OneOf(EQUIPMENT, or_else=Ref("board", "controller", "terminal", example="SB")), "what it feeds",
                                         default=None)
    circuits: tuple[Circuit, ...] = say(Each(Nested(lambda: Circuit)), "circuits", default=())
    load: Load | None = say(Nested(Load, "load"), "load", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class CombinedNeutral(Part):
    """A neutral that the circuits of a local bar share. combined [mm²]; largest: what the smallest terminal on it takes [mm²]."""

    word: ClassVar[str] = "neutral"
    combined: float = say(Amount("mm2", "10 mm²", 0.5, 500), "combined neutral", short=True, asked=True)
    largest: float = say(Amount("mm2", "16 mm²", 0.5, 500), "largest conductor that the terminal takes")


@dataclass(frozen=True, eq=False, kw_only=True)
class Circuit(Chain):
    """A circuit of a board or of a local bar.

    backed_up: what is meant; what the wiring does follows from the graph. neutral: of the circuits behind it, where they share one. shares_neutral_with: circuits through whose neutral its own current returns.
    neutral_moved: of a circuit that was moved from another board: whether its neutral came along.
    """

    word: ClassVar[str] = "circuit"
    named_by: ClassVar[tuple[str, ...]] = ("way",)
    way: Way = say(WayKind(), "way", default=None)
    phase: tuple[str, ...] = say(PhaseSet(), "phase", default=None)
    backed_up: bool = say(YesNo(), "whether it is to be backed up", default=None)
    ring: bool = say(YesNo(), "ring final", default=False)
    neutral: CombinedNeutral | None = say(Nested(CombinedNeutral, "neutral"), "neutral", default=None)
    shares_neutral_with: tuple[Said, ...] = say(OneOrMore(Ref("circuit", example="MSB.3")), "circuits that it shares a neutral with", default=())
    moved_from: Said | None = say(Ref("board", example="MSB"), "board that it was moved from", default=None)
    neutral_moved: bool = say(YesNo(), "whether its neutral was moved too", default=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Terminal(Chain):
    """A terminal of a device, and what is wired to it. A terminal that others feed says nothing."""

    word: ClassVar[str] = "terminal"
    symbol: ClassVar[str] = "terminal"
    named_within: ClassVar[bool] = True
