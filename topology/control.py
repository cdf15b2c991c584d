# SPDX-License-Identifier: MIT
"""Controllers, their inputs and leads, and the buses between devices."""
from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from .dataclass import dataclass
from .devices import LeadPart
from .errors import Unknown
from .fields import say
from .kinds import Amount, Choice, Each, Free, Nested, OneOrMore, Ref, Said, Table
from .parts import Part, Thing

__all__ = ["MEDIA", "Bus", "Controller", "Input", "Segment", "Tap"]

MEDIA = ("shielded twisted pair", "unshielded twisted pair", "shielded two pairs", "unshielded two pairs", "other cable")
"""What a bus can run on."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Input(Part):
    """A controller's input: the sensor it reads and the phase of its voltage reference."""

    word: ClassVar[str] = "input"
    sensor: Said = say(Ref("sensor", example="CT1"), "sensor", short=True, required=True)
    reference: str = say(Choice("L1", "L2", "L3", before="on"), "phase of the voltage reference", short=True, asked=True)


@dataclass(frozen=True, eq=False, kw_only=True)
class Controller(Thing):
    """A gateway, bus adapter or other controller. lead: its device lead to the one it is joined to; a second part extends it."""

    word: ClassVar[str] = "controller"
    kind: str = say(Choice("gateway", "bus adapter", "controller"), "kind", required=True)
    inputs: Mapping[str, Input] = say(Table(Nested(Input, "input"), names=r"[A-Za-z0-9]{1,8}"), "inputs", default={})
    joined_to: Said | None = say(Ref("controller", example="GW1"), "what it is joined to", default=None)
    type_: Said = say(Ref("type", example="gateway-6"), "type", default=None)
    lead: tuple[LeadPart, ...] = say(OneOrMore(Nested(LeadPart)), "device lead")
    address: str = say(Free("12"), "address on its bus")

    @property
    def lead_length(self) -> float | Unknown:
        """Length of the device lead with its extensions [m], or what of it is not known."""
        lengths = [part if isinstance(part, Unknown) else part.length for part in ([self.lead] if isinstance(self.lead, Unknown) else self.lead)]
        return next((length for length in lengths if isinstance(length, Unknown)), sum(length for length in lengths if isinstance(length, float)))

    @property
    def symbol(self) -> str:  # type: ignore[override]
        """Symbol by kind; a controller of a kind that is not known is drawn as just that."""
        return self.kind.replace(" ", "-") if isinstance(self.kind, str) else "controller"


@dataclass(frozen=True, eq=False, kw_only=True)
class Segment(Part):
    """A piece of bus cable between two devices. length [m]."""

    word: ClassVar[str] = "segment"
    registered: ClassVar[bool] = True
    named_by: ClassVar[tuple[str, ...]] = ("from", "to")
    from_: Said = say(Ref("bus device", example="BA1"), "start", required=True)
    to: Said = say(Ref("bus device", example="BAT1"), "end", required=True)
    length: float = say(Amount("m", "9 m", 0.01, 10_000), "length")
    medium: str = say(Choice(*MEDIA), "medium", default=None)
    shield_bond: tuple[Said, ...] = say(OneOrMore(Ref("bus device", example="BA1")), "shield bond", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class Tap(Thing):
    """A terminal block where bus cables meet without a device."""

    word: ClassVar[str] = "tap"
    symbol: ClassVar[str] = "terminal"


@dataclass(frozen=True, eq=False, kw_only=True)
class Bus(Thing):
    """A communications bus: its segments as they are wired, and the devices that carry a terminator. rate: at which it runs [bit/s]."""

    word: ClassVar[str] = "bus"
    type_: Said = say(Ref("type", example="bus-shielded-pair-60"), "type", required=True)
    segments: tuple[Segment, ...] = say(Each(Nested(Segment)), "segments", default=())
    terminators: tuple[Said, ...] = say(OneOrMore(Ref("bus device", example="BA1")), "terminators", default=())
    taps: Mapping[str, Tap] = say(Table(Nested(Tap), ids=True), "taps", default={})
    rate: float = say(Amount("bit/s", "9600 bit/s", 1, 1e9), "bit rate", default=None)
    polarised_at: Said | None = say(Ref("bus device", example="BA1"), "device that polarises the bus", default=None)
