# SPDX-License-Identifier: MIT
"""The trunk of a row of module-level inverters: a row of taps behind the place where the computation of the site ends."""
from __future__ import annotations

from ..demand import taps_rise
from ..site import CablePart, ModuleInverters
from .conductors_of import part_z, parts_of
from .given import Given, known
from .operating import rated_va

__all__ = ["trunk_current", "trunk_part_rise", "trunk_rise"]


def trunk_current(given: Given, row: ModuleInverters) -> float:
    """Current in the first piece of a trunk with all inverters at their nameplate [A]."""
    return rated_va(given, row) / given.u0


def trunk_part_rise(given: Given, row: ModuleInverters, part: CablePart) -> float:
    """Rise along one part of a trunk whose taps divide it evenly [V]: to the last tap, at rated current and unity power factor."""
    number = int(known(row.number))
    length = float(known(part.length))
    return taps_rise(number, trunk_current(given, row) / number, part_z(given, part) / length * 1000, length)


def trunk_rise(given: Given, row: ModuleInverters) -> float:
    """Rise along a whole trunk [V]. Raises CannotTell where the trunk is not known."""
    return sum(trunk_part_rise(given, row, part) for part in parts_of(known(row.trunk)))
