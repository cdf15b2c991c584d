# SPDX-License-Identifier: MIT
"""Signals on the line of a bus: how long reflections last beside a bit, how long a line and a tee may be."""
from __future__ import annotations

from .dataclass import dataclass


__all__ = ["LIGHT_M_S", "TRIPS", "VELOCITY", "Reflections", "longest_line_m", "longest_tee_m", "reflections", "round_trip_s"]

LIGHT_M_S = 299_792_458.0
"""Speed of light [m/s]. Source: definition of the metre, SI brochure."""
VELOCITY = 0.66
"""Speed of a signal in a pair with polyethylene over that of light [-], where the type says none. Source: published application note on RS-485 lines."""
TRIPS = 3
"""Round trips after which a reflection has died out on a line without terminators. Source: the same note."""
REACH_M, REACH_BIT_S, REACH_PRODUCT = 1200.0, 100_000.0, 1e8
"""Reach of a balanced line at low rates [m], up to which rate [bit/s], and length × rate beyond it [m bit/s]. Source: annex of TIA-422-B, from memory."""


@dataclass(frozen=True, slots=True)
class Reflections:
    """How long reflections last on a line without terminators [s], beside a bit [s]. dead: they have died out before a bit is read, in its middle."""

    round_trip_s: float
    settled_s: float
    bit_s: float

    @property
    def dead(self) -> bool:
        """Whether they are gone by the middle of a bit."""
        return self.settled_s <= self.bit_s / 2

    @property
    def working(self) -> str:
        """In words: 3 × 6.16 µs = 18.5 µs, half a bit 52.1 µs."""
        return f"{TRIPS} × {self.round_trip_s * 1e6:.2f} µs = {self.settled_s * 1e6:.1f} µs, half a bit {self.bit_s * 5e5:.1f} µs"


def round_trip_s(length_m: float, velocity: float = VELOCITY) -> float:
    """Time for a signal to the far end of a line and back [s].

    length_m : 0 or more; velocity: that of the signal over that of light, above 0 to 1
    Formula: 2 l / (v c). Raises ValueError for a velocity outside. Law: distance is speed × time.
    """
    if not 0 < velocity <= 1:
        raise ValueError(f"a velocity of {velocity:g} of that of light is outside 0 to 1")
    return 2 * length_m / (velocity * LIGHT_M_S)


def reflections(length_m: float, rate_bit_s: float, velocity: float = VELOCITY) -> Reflections:
    """Whether reflections on a line without terminators die out before a bit is read [s].

    rate_bit_s : above 0; a bit is read in its middle. Formula: trips × round trip against 1 / (2 rate).
    Source: published application note on RS-485 lines (three round trips), see tests/published/test_signals.py.
    """
    once = round_trip_s(length_m, velocity)
    return Reflections(once, TRIPS * once, 1 / rate_bit_s)


def longest_line_m(rate_bit_s: float) -> float:
    """Longest balanced line at a rate [m]: 1200 m up to 100 kbit/s, then in proportion less.

    Source: annex of TIA-422-B, from memory: it warns. A thin pair reaches less.
    """
    return REACH_M if rate_bit_s <= REACH_BIT_S else min(REACH_M, REACH_PRODUCT / rate_bit_s)


def longest_tee_m(rise_s: float, velocity: float = VELOCITY) -> float:
    """Longest tee that the edges of a driver allow [m]: its round trip takes no more than a tenth of the rise time.

    rise_s : rise time of the driver [s]. Formula: v c t / 20. Source: published application notes on RS-485 lines, in the words of one;
    another takes the one-way time, which allows twice the length: the shorter one is taken here.
    """
    return 0.1 * rise_s * velocity * LIGHT_M_S / 2
