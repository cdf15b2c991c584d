# SPDX-License-Identifier: MIT
"""What stands at the end of a final subcircuit: all equally high, so that the texts below them stand on one row."""
from __future__ import annotations

from sld.symbols.base import IEC, OWN, Sketch, drawn

__all__: list[str] = []


@drawn("motor", "Motor")
def motor(s: Sketch) -> None:
    s.circle(0, 5, 5)
    s.text(0, 5.25, "M")
    s.tilde(0, 7.4, 0.8)
    s.end()


@drawn("ev-supply", "Supply point for electric vehicles", OWN)
def ev_supply(s: Sketch) -> None:
    s.line((0, 0), (0, 2.5))
    s.box(-4, 2.5, 4, 10)
    s.text(0, 7.5, "EV")
    s.end()


@drawn("lighting", "Lighting")
def lighting(s: Sketch) -> None:
    s.line((0, 0), (0, 2))
    s.circle(0, 6, 4)
    for side in (-2.8284, 2.8284):
        s.line((-side, 3.1716), (side, 8.8284))
    s.end()


@drawn("sockets", "Socket outlets")
def sockets(s: Sketch) -> None:
    """With protective contact: the line across."""
    s.line((0, 0), (0, 6))
    s.line((-4, 6), (4, 6))
    s.arc(0, 10, 4, 180, 360)
    s.end()


@drawn("heater", "Heater")
def heater(s: Sketch) -> None:
    s.line((0, 0), (0, 5.5))
    s.box(-5, 5.5, 5, 10)
    for x in (-2.5, 0, 2.5):
        s.line((x, 5.5), (x, 10))
    s.end()


@drawn("load", "Load")
def load(s: Sketch) -> None:
    s.line((0, 0), (0, 7.5))
    s.head(0, 10, "down", 3, 2.5)
    s.end()


@drawn("spare", "Spare way", IEC + " (terminal); its meaning is our own")
def spare(s: Sketch) -> None:
    s.line((0, 0), (0, 8.5))
    s.circle(0, 9.25, 0.75)
    s.end()
