# SPDX-License-Identifier: MIT
"""Sources and loads at the end of a line."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []


def converter(s: Sketch, y: float = 0.0) -> None:
    """A square with the diagonal, alternating current above, direct current below."""
    s.box(-5, y, 5, y + 10)
    s.line((5, y), (-5, y + 10))
    s.arc(-3, y + 3, 1, 180, 360)
    s.arc(-1, y + 3, 1, 0, 180)
    s.line((1, y + 7), (4, y + 7))
    s.line((1, y + 8), (1.8, y + 8))
    s.line((2.1, y + 8), (2.9, y + 8))
    s.line((3.2, y + 8), (4, y + 8))
    s.port("in", 0, y, "up")
    s.port("bus", -5, y + 5, "left")


def module(s: Sketch, x: float, y: float) -> None:
    """A photovoltaic module: a rectangle with the triangle."""
    s.box(x, y, x + 4, y + 2.5)
    s.line((x, y), (x + 1, y + 1.25), (x, y + 2.5))


@drawn("inverter", "inverter")
def inverter(s: Sketch) -> None:
    converter(s)


@drawn("inverter-hybrid", "inverter with array and battery", OWN)
def inverter_hybrid(s: Sketch) -> None:
    converter(s)
    s.line((0, 10), (0, 11.5))
    s.line((-2, 11.5), (2, 11.5))
    s.line((-1, 12.5), (1, 12.5))


@drawn("module-inverters", "row of module-level inverters", OWN)
def module_inverters(s: Sketch) -> None:
    converter(s)
    module(s, -5, 11)
    module(s, 1, 11)
    s.line((-3, 10), (-3, 11))
    s.line((3, 10), (3, 11))


@drawn("storage", "storage unit with converter", OWN)
def storage(s: Sketch) -> None:
    converter(s)
    s.line((0, 10), (0, 11.5))
    s.line((-2.5, 11.5), (2.5, 11.5))
    s.line((-1.25, 12.5), (1.25, 12.5))
    s.line((-2.5, 13.5), (2.5, 13.5))
    s.line((-1.25, 14.5), (1.25, 14.5))
    s.line((0, 14.5), (0, 15.5))


@drawn("array", "photovoltaic array")
def array(s: Sketch) -> None:
    s.box(-5, 0, 5, 6)
    s.line((-5, 0), (-2.5, 3), (-5, 6))
    s.port("in", 0, 0, "up")


def machine(s: Sketch, letter: str) -> None:
    """A circle with its letter."""
    s.circle(0, 5, 5)
    s.text(0, 6.25, letter)
    s.port("in", 0, 0, "up")


@drawn("generator", "generator")
def generator(s: Sketch) -> None:
    machine(s, "G")


@drawn("motor", "motor")
def motor(s: Sketch) -> None:
    machine(s, "M")


@drawn("inlet", "inlet for a generator")
def inlet(s: Sketch) -> None:
    s.line((0, 0), (0, 3))
    s.arc(0, 6, 3, 180, 360)
    s.line((-3, 6), (-3, 8))
    s.line((3, 6), (3, 8))
    s.port("in", 0, 0, "up")


@drawn("ev-supply", "supply point for electric vehicles", OWN)
def ev_supply(s: Sketch) -> None:
    s.box(-4, 0, 4, 10)
    s.text(0, 6.25, "EV")
    s.port("in", 0, 0, "up")


@drawn("lighting", "lighting")
def lighting(s: Sketch) -> None:
    s.circle(0, 3.5, 3.5)
    s.line((-2.47, 1.03), (2.47, 5.97))
    s.line((2.47, 1.03), (-2.47, 5.97))
    s.port("in", 0, 0, "up")


@drawn("sockets", "socket outlets")
def sockets(s: Sketch) -> None:
    s.line((0, 0), (0, 3))
    s.line((-4, 3), (4, 3))
    s.arc(0, 7, 4, 180, 360)
    s.line((0, 3), (0, 3.01))
    s.port("in", 0, 0, "up")


@drawn("heater", "heater")
def heater(s: Sketch) -> None:
    s.line((0, 0), (0, 1.5))
    s.box(-5, 1.5, 5, 6)
    for x in (-2.5, 0, 2.5):
        s.line((x, 1.5), (x, 6))
    s.port("in", 0, 0, "up")


@drawn("load", "load")
def load(s: Sketch) -> None:
    s.line((0, 0), (0, 5.5))
    s.line((-1.5, 5), (0, 8), (1.5, 5), fill=True)
    s.port("in", 0, 0, "up")


@drawn("spare", "spare way")
def spare(s: Sketch) -> None:
    s.line((0, 0), (0, 3))
    s.circle(0, 3.75, 0.75)
    s.port("in", 0, 0, "up")
