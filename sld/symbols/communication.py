# SPDX-License-Identifier: MIT
"""Controllers on a bus, and what ends the bus."""
from __future__ import annotations

from sld.symbols.base import IEC, OWN, Sketch, drawn

__all__: list[str] = []


def lettered(s: Sketch, letters: str) -> None:
    """A box with letters; the bus at the left, the lead to its companion at the right."""
    s.box(-5, 0, 5, 10)
    s.text(0, 6.25, letters)
    s.inline(10)
    s.port("bus", -5, 5, "left")
    s.port("lead", 5, 5, "right")


@drawn("gateway", "Gateway (GW)", OWN)
def gateway(s: Sketch) -> None:
    lettered(s, "GW")


@drawn("bus-adapter", "Bus adapter (BA)", OWN)
def bus_adapter(s: Sketch) -> None:
    lettered(s, "BA")


@drawn("controller", "Controller (C)", OWN)
def controller(s: Sketch) -> None:
    lettered(s, "C")


@drawn("terminator", "Terminator of a bus", IEC + " (resistor); its meaning is our own")
def terminator(s: Sketch) -> None:
    s.line((0, 0), (0, 1.25))
    s.box(-1, 1.25, 1, 6.25)
    s.end()
