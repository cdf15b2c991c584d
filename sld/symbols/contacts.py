# SPDX-License-Identifier: MIT
"""What the symbols of switchgear are made of: leads and arm of a contact, and the signs of its functions at the fixed contact."""
from __future__ import annotations

from sld.symbols.base import Sketch

__all__ = ["FIXED", "HEIGHT", "PIVOT", "TIP", "actuator", "arm", "bar", "bowl", "cross"]

HEIGHT = 12.5
FIXED = 3.75  # height of the fixed contact
PIVOT = 8.75
TIP = -2.9  # the open arm ends level with the fixed contact, 30 degrees off the axis


def arm(s: Sketch, height: float = HEIGHT) -> None:
    """Leads and open arm of a contact in line."""
    s.line((0, 0), (0, FIXED))
    s.line((TIP, FIXED), (0, PIVOT), (0, height))
    s.inline(height)


def cross(s: Sketch) -> None:
    """Circuit-breaker."""
    s.line((-1, FIXED - 1), (1, FIXED + 1))
    s.line((-1, FIXED + 1), (1, FIXED - 1))


def bar(s: Sketch) -> None:
    """Disconnector."""
    s.line((-1.25, FIXED), (1.25, FIXED))


def bowl(s: Sketch) -> None:
    """Contactor."""
    s.arc(0, FIXED - 1, 1, 90, 270)


def actuator(s: Sketch, *letters: str) -> None:
    """A relay or drive left of the arm, its letters below each other, tied to the arm by a dashed line."""
    y, half = (FIXED + PIVOT) / 2, 0.5 + 1.75 * len(letters)
    s.line((TIP / 2, y), (-4.0, y), dash=True)
    s.box(-7.5, y - half, -4.0, y + half)
    for place, letter in enumerate(letters):
        s.text(-5.75, y + 1.25 + 3.5 * (place - (len(letters) - 1) / 2), letter)
