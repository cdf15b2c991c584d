# SPDX-License-Identifier: MIT
"""A line of the connection summary: a field of an application form, or a source; and facts of the site file as answers."""
from __future__ import annotations

from dataclasses import field
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.quantity import show_quantity

from .columns import Cell

__all__ = ["Line", "amount", "extra", "said"]


@dataclass(frozen=True, eq=False)
class Line:
    """A field of the form, or a source. Powers are of all units of the row [VA], energy [Wh]; phases, limits: power by phase [VA].

    kin: what the form names it under where that is not its section; if_asked: it is on the list only where the form asks for it.
    """

    id: str
    section: str
    item: str
    answer: Cell = None
    count: Cell = None
    each: Cell = None
    nameplate: Cell = None
    limited: Cell = None
    phases: dict[str, Cell] = field(default_factory=dict)
    limits: dict[str, Cell] = field(default_factory=dict)
    energy: Cell = None
    status: Cell = None
    kin: str = ""
    if_asked: bool = False


def said(value: Any) -> Any:
    """A fact as text; what the form asks for and the file does not give is open."""
    if isinstance(value, Unknown):
        return Unknown(value.mark, value.what)
    return None if value is None else ("yes" if value else "no") if isinstance(value, bool) else str(value)


def amount(value: Any, unit: str) -> Any:
    """A quantity with its unit."""
    return show_quantity(value, unit) if isinstance(value, float) else said(value)


def extra(id_: str, section: str, item: str, value: Any, kin: str = "", status: Cell = None, derived: bool = False) -> Line:
    """A line for a fact that not every form asks for: where the file does not speak of it, or where it only follows from the file (derived),
    it is on the list only if the form asks.
    """
    spoken = value.given or value.silent if isinstance(value, Unknown) else value not in (None, "")
    return Line(id_, section, item, said(value) if spoken or isinstance(value, Unknown) else None, status=status, kin=kin, if_asked=derived or not spoken)
