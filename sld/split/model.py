# SPDX-License-Identifier: MIT
"""What is split, and the pieces that it is split into."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from topology.dataclass import dataclass

from sld.layout.model import Enclosure, Net, Strip
from sld.split.kept import Kept

__all__ = ["Forest", "PLACE", "Piece", "Room"]

PLACE = "sheet 00/A00"
"""stands in the text of a reference until the place is known: no place that takes its stead is wider"""


@dataclass(frozen=True, slots=True)
class Forest:
    """All that one diagram shows: trees in the order in which they are read, nets between their strips, enclosures."""

    roots: tuple[Strip, ...]
    nets: tuple[Net, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """A tree that is drawn as a whole. order: its place among the pieces as they are read."""

    root: Strip
    order: tuple[int, int, int]
    nets: tuple[Net, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()


@dataclass(frozen=True, slots=True)
class Room:
    """What a piece may take at most [mm].

    channels : what of the height is taken below a piece, by the id of its first device
    narrower : what of the width is not to be used, by the id of a device
    corner   : left of here a sheet is `deep`, beside its title block, as long as nothing at the right is lower than `shallow`: the
               caution then stands above the title block
    kept     : where an earlier edition was cut
    """

    width: float
    height: float
    channels: Mapping[str, float] = field(default_factory=dict)
    narrower: Mapping[str, float] = field(default_factory=dict)
    corner: float = 0.0
    deep: float = 0.0
    shallow: float = 0.0
    kept: Kept | None = None
