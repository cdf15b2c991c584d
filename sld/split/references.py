# SPDX-License-Identifier: MIT
"""References between drawings: each names the sheet and zone of the other one, and leads there."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sld.font import text_box
from sld.primitives import Label, Sheet
from sld.sheet import zone_of
from sld.split.model import PLACE

__all__ = ["resolved"]


def resolved(sheets: Sequence[Sheet], pairs: Mapping[str, str]) -> tuple[Sheet, ...]:
    """The same sheets with all places filled in. pairs: a reference and the one at which it is continued, by their ids."""
    places = {placed.id: (sheet.number, zone_of(sheet, *placed.at)) for sheet in sheets for placed in sheet.symbols if placed.id in pairs}
    return tuple(replace(sheet, labels=tuple(told(label, pairs, places) if PLACE in label.text.text else label for label in sheet.labels))
                 for sheet in sheets)


def told(label: Label, pairs: Mapping[str, str], places: Mapping[str, tuple[int, str]]) -> Label:
    """A label of a reference with its place, and a link to it."""
    other = pairs[label.of]
    number, zone = places[other]
    text = replace(label.text, text=label.text.text.replace(PLACE, f"sheet {number}/{zone}" if zone else f"sheet {number}"))
    return replace(label, text=text, bbox=text_box(text), link=(number, other))
