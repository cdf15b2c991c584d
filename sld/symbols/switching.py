# SPDX-License-Identifier: MIT
"""Devices that open a line: switches, breakers, fuses, residual current devices."""
from __future__ import annotations

from sld.symbols.base import OWN, Sketch, drawn

__all__: list[str] = []

H = 12.5


def arm(s: Sketch) -> None:
    """Leads and slanted arm of a contact; the fixed contact is above, at y = 3.5."""
    s.line((0, 0), (0, 3.5))
    s.line((-3, 4.0), (0, 9.5))
    s.line((0, 9.5), (0, H))
    s.inline(H)


def cross(s: Sketch) -> None:
    """The breaker's cross at the fixed contact."""
    s.line((-1, 2.5), (1, 4.5))
    s.line((-1, 4.5), (1, 2.5))


def bar(s: Sketch) -> None:
    """The disconnector's bar at the fixed contact."""
    s.line((-1.25, 3.5), (1.25, 3.5))


def ring(s: Sketch) -> None:
    """The residual current sensor round the conductor, tied to the arm."""
    s.circle(0, 11, 1.25)
    s.line((1.25, 11), (3.75, 11), (3.75, 6.75), (-1.5, 6.75), dash=True)


@drawn("breaker", "circuit-breaker")
def breaker(s: Sketch) -> None:
    arm(s)
    cross(s)


@drawn("rcd", "residual current device (RCD)")
def rcd(s: Sketch) -> None:
    arm(s)
    ring(s)


@drawn("rcbo", "circuit-breaker with residual current protection (RCBO)")
def rcbo(s: Sketch) -> None:
    arm(s)
    cross(s)
    ring(s)


@drawn("fuse", "fuse")
def fuse(s: Sketch) -> None:
    s.line((0, 0), (0, H))
    s.box(-1.5, 3, 1.5, 9.5)
    s.inline(H)


@drawn("fuse-switch", "fuse-switch")
def fuse_switch(s: Sketch) -> None:
    arm(s)
    s.line((-2.6, 7.2), (-0.9, 6.3), (0.5, 8.6), (-1.2, 9.5), closed=True)


@drawn("switch", "switch")
def switch(s: Sketch) -> None:
    arm(s)


@drawn("disconnector", "disconnector")
def disconnector(s: Sketch) -> None:
    arm(s)
    bar(s)


@drawn("switch-disconnector", "switch-disconnector")
def switch_disconnector(s: Sketch) -> None:
    arm(s)
    bar(s)
    s.circle(0, 4.25, 0.75)


@drawn("contactor", "contactor")
def contactor(s: Sketch) -> None:
    arm(s)
    s.arc(0, 3.5, 1.0, 0, 180)


def changeover(s: Sketch) -> None:
    """Two fixed contacts above, one arm."""
    s.line((0, 0), (0, 3.5))
    s.line((5, 0), (5, 3.5))
    s.line((0, 3.5), (2.5, 9.5))
    s.line((2.5, 9.5), (2.5, H))
    s.port("in", 0, 0, "up")
    s.port("alternative", 5, 0, "up")
    s.port("out", 2.5, H, "down")


@drawn("changeover-manual", "changeover switch, manual")
def changeover_manual(s: Sketch) -> None:
    changeover(s)
    s.line((1.5, 6.75), (-2.5, 6.75), dash=True)
    s.line((-2.5, 5.5), (-2.5, 8))


@drawn("changeover-automatic", "changeover switch, automatic")
def changeover_automatic(s: Sketch) -> None:
    changeover(s)
    s.line((1.5, 6.75), (-1, 6.75), dash=True)
    s.box(-4, 5, -1, 8.5)


@drawn("changeover-interlocked", "changeover, mechanically interlocked")
def changeover_interlocked(s: Sketch) -> None:
    changeover(s)
    s.line((1.5, 6.75), (-1.5, 6.75), dash=True)
    s.line((-3, 5.5), (-1.5, 6.75), (-3, 8), closed=True)


@drawn("disconnection-device", "disconnection device of one source", OWN)
def disconnection_device(s: Sketch) -> None:
    arm(s)
    bar(s)
    s.line((-1.5, 6.75), (-4, 6.75), dash=True)
    s.box(-7.5, 5, -4, 8.5)
    s.text(-5.75, 7.9, "U", 2.5)


@drawn("interface-protection", "interface protection", OWN)
def interface_protection(s: Sketch) -> None:
    arm(s)
    cross(s)
    s.line((-1.5, 6.75), (-4, 6.75), dash=True)
    s.box(-9, 4.5, -4, 9)
    s.text(-6.5, 8, "U f", 2.5)
