# SPDX-License-Identifier: MIT
"""What can feed the installation: converters with what hangs on their DC side, arrays, generators."""
from __future__ import annotations

from sld.symbols.base import IEC, OWN, Sketch, drawn

__all__: list[str] = []

COMBINED = IEC + "; their combination in one outline is our own"
BOTTOM = 15.0


def converter(s: Sketch) -> None:
    """A square with the diagonal; alternating current on the side of the wire, direct current on the other."""
    s.box(-5, 0, 5, 10)
    s.line((5, 0), (-5, 10))
    s.tilde(-2.4, 2.9, 0.9)
    s.line((1, 6.9), (4, 6.9))
    for x in (1.0, 2.1, 3.2):
        s.line((x, 7.9), (x + 0.8, 7.9))
    s.end()
    s.port("bus", -5, 5, "left")


def compartment(s: Sketch) -> None:
    """Room below the converter within the same outline."""
    s.line((-5, 10), (-5, BOTTOM), (5, BOTTOM), (5, 10))


def cell(s: Sketch, x: float) -> None:
    """A cell of a battery: the long plate, then the short one."""
    s.line((x - 0.45, 10.9), (x - 0.45, 14.1))
    s.line((x + 0.45, 11.7), (x + 0.45, 13.3))


def triangle(s: Sketch, x: float, y: float, half: float, deep: float) -> None:
    """The mark of a photovoltaic module, hanging from its upper edge."""
    s.line((x - half, y), (x, y + deep), (x + half, y))


@drawn("inverter", "Inverter")
def inverter(s: Sketch) -> None:
    converter(s)


@drawn("inverter-hybrid", "Inverter for array and battery", COMBINED)
def inverter_hybrid(s: Sketch) -> None:
    converter(s)
    compartment(s)
    s.line((0, 10), (0, BOTTOM))
    triangle(s, -2.5, 10, 2.5, 2.5)
    s.line((0.9, 12.5), (2.05, 12.5))
    cell(s, 2.5)
    s.line((2.95, 12.5), (4.1, 12.5))


@drawn("storage", "Storage unit with its converter", COMBINED)
def storage(s: Sketch) -> None:
    converter(s)
    compartment(s)
    s.line((-3.75, 12.5), (-1.7, 12.5))
    cell(s, -1.25)
    s.line((-0.8, 12.5), (0.8, 12.5), dash=True)
    cell(s, 1.25)
    s.line((1.7, 12.5), (3.75, 12.5))


@drawn("module-inverters", "Row of module-level inverters with their modules", COMBINED)
def module_inverters(s: Sketch) -> None:
    converter(s)
    compartment(s)
    for x in (-10 / 3, 0.0, 10 / 3):
        triangle(s, x, 10, 5 / 3, 2)
    for x in (-5 / 3, 5 / 3):
        s.line((x, 10), (x, BOTTOM))


@drawn("array", "Photovoltaic array", "common practice, from memory")
def array(s: Sketch) -> None:
    s.box(-3.25, 0, 3.25, 10)
    triangle(s, 0, 0, 3.25, 3.75)
    s.end()


@drawn("battery", "Battery, on the direct-current side")
def battery(s: Sketch) -> None:
    """Two cells with others between them; the wire comes to the long plate."""
    s.line((0, 0), (0, 3))
    for y in (3.0, 7.0):
        s.line((-3, y), (3, y))
        s.line((-1.5, y + 1.25), (1.5, y + 1.25))
    s.line((0, 4.25), (0, 7), dash=True)
    s.end()


@drawn("generator", "Generator")
def generator(s: Sketch) -> None:
    s.circle(0, 5, 5)
    s.text(0, 5.25, "G")
    s.tilde(0, 7.4, 0.8)
    s.end()


@drawn("inlet", "Inlet for a generator", OWN)
def inlet(s: Sketch) -> None:
    """A pin within a shroud that is open to where the generator is plugged in; the installation begins below."""
    s.line((-3.5, 0), (-3.5, 7.5), (3.5, 7.5), (3.5, 0))
    s.box(-0.6, 1.5, 0.6, 6, fill=True)
    s.line((0, 6), (0, 10))
    s.port("out", 0, 10, "down")
