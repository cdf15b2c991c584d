# SPDX-License-Identifier: MIT
"""Point of supply, meters, current transformers, filters, transformers."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []

H = 12.5


@drawn("supply", "point of supply")
def supply(s: Sketch) -> None:
    s.circle(0, 3.75, 3.75)
    s.arc(-1.25, 3.75, 1.25, 180, 360)
    s.arc(1.25, 3.75, 1.25, 0, 180)
    s.line((0, 7.5), (0, 10))
    s.port("out", 0, 10, "down")


def meter(s: Sketch, towards: str) -> None:
    """A meter for energy; arrows show the direction that it counts."""
    s.line((0, 0), (0, 2))
    s.box(-5, 2, 5, 10.5)
    s.line((-5, 4), (5, 4))
    s.text(-0.5, 8.6, "Wh", 2.5)
    s.line((0, 10.5), (0, H))
    s.inline(H)
    if "down" in towards:
        s.line((3, 5), (3, 9.5))
        s.line((2.5, 8.2), (3, 9.5), (3.5, 8.2), fill=True)
    if "up" in towards:
        s.line((4.2, 5), (4.2, 9.5))
        s.line((3.7, 6.3), (4.2, 5), (4.7, 6.3), fill=True)


@drawn("meter-import", "energy meter, import")
def meter_import(s: Sketch) -> None:
    meter(s, "down")


@drawn("meter-export", "energy meter, export")
def meter_export(s: Sketch) -> None:
    meter(s, "up")


@drawn("meter-both", "energy meter, import and export")
def meter_both(s: Sketch) -> None:
    meter(s, "down up")


def ct(s: Sketch, p1: str) -> None:
    """A ring round the conductor, two secondary strokes, P1 on its side and an arrow from P1 to P2."""
    s.line((0, 0), (0, H))
    s.circle(0, 6.25, 2.5)
    s.line((2.5, 6.25), (5, 6.25))
    s.line((3.2, 7.1), (3.8, 5.4))
    s.line((4.0, 7.1), (4.6, 5.4))
    s.inline(H)
    s.port("secondary", 5, 6.25, "right")
    if p1 == "up":
        s.text(-3.2, 3.4, "P1", 1.8)
        s.line((-3.4, 4.6), (-3.4, 9))
        s.line((-3.9, 7.7), (-3.4, 9), (-2.9, 7.7), fill=True)
    elif p1 == "down":
        s.text(-3.2, 10.8, "P1", 1.8)
        s.line((-3.4, 8), (-3.4, 3.6))
        s.line((-3.9, 4.9), (-3.4, 3.6), (-2.9, 4.9), fill=True)


@drawn("ct-p1-up", "current transformer, P1 to the supply")
def ct_p1_up(s: Sketch) -> None:
    ct(s, "up")


@drawn("ct-p1-down", "current transformer, P1 to the load")
def ct_p1_down(s: Sketch) -> None:
    ct(s, "down")


@drawn("ct", "current transformer")
def ct_plain(s: Sketch) -> None:
    ct(s, "")


@drawn("filter", "line filter")
def line_filter(s: Sketch) -> None:
    s.line((0, 0), (0, 2.5))
    s.box(-3, 2.5, 3, 10)
    s.arc(-1, 5.2, 1, 180, 360)
    s.arc(1, 5.2, 1, 180, 360)
    s.line((-1.5, 7.2), (1.5, 7.2))
    s.line((-1.5, 8.2), (1.5, 8.2))
    s.line((0, 10), (0, H))
    s.inline(H)


@drawn("filter-ferrite", "ferrite on the line")
def ferrite(s: Sketch) -> None:
    s.line((0, 0), (0, H))
    s.box(-2.5, 3.5, -1, 9)
    s.box(1, 3.5, 2.5, 9)
    s.inline(H)


@drawn("transformer", "transformer")
def transformer(s: Sketch) -> None:
    s.line((0, 0), (0, 1.5))
    s.circle(0, 4.5, 3)
    s.circle(0, 8.5, 3)
    s.line((0, 11.5), (0, 13))
    s.inline(13)


@drawn("gateway", "gateway", OWN)
def gateway(s: Sketch) -> None:
    box_with(s, "GW")


@drawn("bus-adapter", "bus adapter", OWN)
def bus_adapter(s: Sketch) -> None:
    box_with(s, "BA")


def box_with(s: Sketch, text: str) -> None:
    """A controller: a box with letters, bus at the left, lead at the right."""
    s.box(-5, 0, 5, 10)
    s.text(0, 6.25, text)
    s.port("in", 0, 0, "up")
    s.port("out", 0, 10, "down")
    s.port("bus", -5, 5, "left")
    s.port("lead", 5, 5, "right")
