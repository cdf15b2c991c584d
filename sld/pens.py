# SPDX-License-Identifier: MIT
"""Pens of the diagrams: status as drafting draws it, buses, leads."""
from __future__ import annotations

from typing import Any

from sld.primitives import Pen

__all__ = ["BUS", "LEAD", "pen_as", "pen_of", "revised", "status_of"]

EXISTING, NEW, REMOVED = Pen(0.25), Pen(0.5), Pen(0.25, (2.0, 1.0))
BUS, LEAD = Pen(0.35, (3.0, 1.0)), Pen(0.25, (1.0, 0.75))


def pen_of(obj: Any) -> Pen:
    """The pen of an object's status."""
    return pen_as(status_of(obj))


def pen_as(status: str) -> Pen:
    """Status as drafting draws it: existing and altered thin, new and relocated thick, removed thin and dashed."""
    return {"new": NEW, "relocated": NEW, "removed": REMOVED}.get(status, EXISTING)


def status_of(obj: Any) -> str:
    """The status of an object, an empty text where it is not known or not a matter of status."""
    status = getattr(obj, "status", "")
    return status if isinstance(status, str) else ""


def revised(obj: Any, revision: str) -> str:
    """The letter in the triangle beside what is altered; a dash on a drawing without revisions."""
    return (revision or "–") if status_of(obj) == "altered" else ""
