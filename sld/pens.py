# SPDX-License-Identifier: MIT
"""Pens of the diagrams: status as drafting draws it, buses, leads."""
from __future__ import annotations

from typing import Any

from sld.primitives import Pen

__all__ = ["BUS", "LEAD", "pen_of", "revised"]

EXISTING, NEW, REMOVED = Pen(0.25), Pen(0.5), Pen(0.25, (2.0, 1.0))
BUS, LEAD = Pen(0.35, (3.0, 1.0)), Pen(0.25, (1.0, 0.75))


def pen_of(obj: Any) -> Pen:
    """Status as drafting draws it: existing and altered thin, new and relocated thick, removed thin and dashed."""
    status = getattr(obj, "status", "existing")
    return {"new": NEW, "relocated": NEW, "removed": REMOVED}.get(status if isinstance(status, str) else "", EXISTING)


def revised(obj: Any, revision: str) -> str:
    """The letter in the triangle beside what is altered; a dash on a drawing without revisions."""
    return (revision or "–") if getattr(obj, "status", "") == "altered" else ""
