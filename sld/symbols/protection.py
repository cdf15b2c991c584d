# SPDX-License-Identifier: MIT
"""Protective devices."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn
from sld.symbols.contacts import FIXED, HEIGHT, PIVOT, TIP, actuator, arm, bar, cross

__all__: list[str] = []

TALL = 15.0


def ring(s: Sketch) -> None:
    """The residual current sensor round the conductor, tied to the arm."""
    y = (FIXED + PIVOT) / 2
    s.circle(0, 11.5, 1.5)
    s.line((1.5, 11.5), (3.75, 11.5), (3.75, y), (TIP / 2, y), dash=True)


@drawn("breaker", "Circuit-breaker")
def breaker(s: Sketch) -> None:
    arm(s)
    cross(s)


@drawn("rcd", "Residual current device (RCD)")
def rcd(s: Sketch) -> None:
    arm(s, TALL)
    ring(s)


@drawn("rcbo", "Circuit-breaker with residual current protection (RCBO)")
def rcbo(s: Sketch) -> None:
    arm(s, TALL)
    cross(s)
    ring(s)


@drawn("fuse", "Fuse")
def fuse(s: Sketch) -> None:
    s.line((0, 0), (0, HEIGHT))
    s.box(-1.25, 2.5, 1.25, 10)
    s.inline(HEIGHT)


@drawn("fuse-switch", "Fuse-switch")
def fuse_switch(s: Sketch) -> None:
    """The fuse is the arm: a rectangle along it."""
    arm(s)
    x, y = TIP / 2, (FIXED + PIVOT) / 2
    along, across = (-0.95, -1.64), (0.78, -0.45)  # half its length and breadth, 30 degrees off the axis
    corners = ((1, 1), (1, -1), (-1, -1), (-1, 1))
    s.shape(*((x + a * along[0] + b * across[0], y + a * along[1] + b * across[1]) for a, b in corners))


@drawn("surge-arrester", "Surge arrester")
def surge_arrester(s: Sketch) -> None:
    s.line((0, 0), (0, 5))
    s.head(0, 6.5, "down", 2, 1.5)
    s.box(-1.25, 2.5, 1.25, 10)
    s.line((0, 10), (0, HEIGHT))
    s.inline(HEIGHT)


@drawn("disconnection-device", "Disconnection device of a source", OWN)
def disconnection_device(s: Sketch) -> None:
    arm(s)
    bar(s)
    actuator(s, "U")


@drawn("interface-protection", "Interface protection with the breaker that it trips", OWN)
def interface_protection(s: Sketch) -> None:
    arm(s)
    cross(s)
    actuator(s, "U", "f")
