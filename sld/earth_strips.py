# SPDX-License-Identifier: MIT
"""Earth bars and electrodes on the single-line diagram: a line of its own from the board whose protective conductors they hold."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.site import EarthBar, Electrode

from sld.facts import amount
from sld.layout import Feed, Strip
from sld.pens import pen_of, revised, status_of
from sld.primitives import Pen

__all__ = ["EARTH_DASH", "earth_strips"]

EARTH_DASH = (4.0, 1.0)  # strokes and gaps of protective conductors [mm]: two strokes on the shortest wire


def earth_strips(flows: Flows, boards: list[str], revision: str) -> Iterator[tuple[str, Strip]]:
    """Each earth bar with its electrode, and the board at which its line begins.

    boards   : those that are drawn; the first is the main one, where a bar begins that is said to be in none of them
    revision : letter for what is altered
    """
    for bar in flows.objects.values():
        if isinstance(bar, EarthBar) and bar.id in flows.graph and boards:
            home = bar.place.id if isinstance(bar.place, Said) else ""
            board = home if home in boards else boards[0]
            yield board, _bar(flows, bar, board if home == board else None, revision)


def _bar(flows: Flows, bar: EarthBar, enclosure: str | None, revision: str) -> Strip:
    """The bar as a terminal, and its electrode below it."""
    pen, ends = pen_of(bar), tuple(_electrode(bar.electrode, bar)) if bar.electrode is not None else ()
    lines = (f"{bar.id} {bar.name or bar.kind}".strip(), *_joined(bar))
    wire = Feed(f"{bar.id}.in", bar.id, "earth", conductors="PE", pen=_earth(pen))
    return Strip(bar.id, bar.id, "terminal" if ends else "protective-earth", lines, " ".join(lines), pen, wire, ends, enclosure,
                 crossed=status_of(bar) == "removed", revised=revised(bar, revision))


def _electrode(electrode: Any, bar: EarthBar) -> Iterator[Strip]:
    """The electrode with the earthing conductor that leads to it; one that is not known is drawn as such."""
    if isinstance(electrode, Unknown) and not electrode.given:
        return
    known = isinstance(electrode, Electrode)
    name, kind = (electrode.id, electrode.kind) if known else (f"{bar.id}.electrode", electrode)
    size = amount(electrode.conductor, "mm2") if known else "TBC"
    wire = Feed(f"{name}.in", bar.id, "earth", lines=(f"earthing conductor {size}",), pen=_earth(pen_of(bar)))
    yield Strip(name, bar.id, "electrode", (f"electrode {'TBC' if isinstance(kind, Unknown) else kind}",), "Earth electrode", pen_of(bar), wire)


def _joined(bar: EarthBar) -> Iterator[str]:
    names = [said.id for said in bar.joined_to if isinstance(said, Said)] if isinstance(bar.joined_to, tuple) else []
    if names:
        yield f"to {', '.join(names)} {amount(bar.conductor, 'mm2') if bar.conductor is not None else 'TBC'}"


def _earth(pen: Pen) -> Pen:
    return Pen(pen.width, EARTH_DASH)
