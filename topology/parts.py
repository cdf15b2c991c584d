# SPDX-License-Identifier: MIT
"""What every object of a site has: an id and a place in the file; every thing also a name, status, owner, place and what was found."""
from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import ClassVar

from .dataclass import dataclass
from .errors import Mark
from .fields import say
from .kinds import Choice, Day, Free, Ident, Nested, OneOrMore, Ref, Said

__all__ = ["POLES", "STATUS", "Found", "Own", "Part", "Thing"]

POLES = ("1P solid-N", "1P+N", "1P", "2P", "3P+N", "3P", "4P")
"""What a device opens; a solid neutral is looped through."""
STATUS = ("existing", "new", "altered", "relocated", "removed")


@dataclass(frozen=True, eq=False, kw_only=True)
class Part:
    """Anything that is read from the file. marks: where each given field stands."""

    id: str
    mark: Mark
    marks: Mapping[str, Mark]
    word: ClassVar[str] = "part"
    """what the object is called in messages"""
    registered: ClassVar[bool] = False
    """can be found by its id"""
    named_by: ClassVar[tuple[str, ...]] = ()
    """keys from which the automatic id is made"""
    symbol: ClassVar[str] = "unknown"
    """the kind of symbol that stands for it"""


@dataclass(frozen=True, eq=False, kw_only=True)
class Found(Part):
    """What was seen on site, with the evidence for it."""

    word: ClassVar[str] = "what was found"
    seen: str = say(Free("label illegible"), "what was seen", required=True)
    evidence: str = say(Choice("seen", "measured", "photo", "document", "told"), "evidence")
    date: datetime.date = say(Day(), "date")
    by: str = say(Free("A. Example"), "who found it", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Thing(Part):
    """A part with an id of its own, unique on the site."""

    registered: ClassVar[bool] = True
    name: str = say(Free("Main switch"), "name", default="")
    status: str = say(Choice(*STATUS), "status", default="existing")
    owner: str = say(Choice("customer", "distributor", "others"), "owner", default="customer")
    place: Said | None = say(Ref("place", "board", example="MSB"), "place", default=None)
    found: Found | None = say(Nested(lambda: Found), "what was found", default=None)
    serial: tuple[str, ...] = say(OneOrMore(Free("S 0000")), "serial number", default=())


@dataclass(frozen=True, eq=False, kw_only=True)
class Own(Thing):
    """A thing that may carry an id of the user's own."""

    own_id: str | None = say(Ident(), "id", default=None)
