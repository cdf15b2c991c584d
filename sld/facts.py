# SPDX-License-Identifier: MIT
"""Facts of a site as text: what is not known or not said is never an error on a drawing."""
from __future__ import annotations

from typing import Any

from topology.errors import Unknown
from topology.quantity import show_quantity

__all__ = ["amount", "fact", "named", "stated"]


def fact(part: Any, *names: str) -> str:
    """A fact along a path of fields, or an empty text where it is not known."""
    for name in names:
        if isinstance(part, Unknown) or part is None:
            return ""
        part = getattr(part, name)
    return "" if isinstance(part, Unknown) or part is None else str(part)


def amount(value: Any, unit: str) -> str:
    """An amount as the trade writes it, TBC where it is not known."""
    return "TBC" if isinstance(value, Unknown) else show_quantity(value, unit)


def named(value: Any, unit: str, what: str) -> str:
    """As `amount`, an unknown one with what it is: power TBC. A value without a unit is text."""
    return f"{what} TBC" if isinstance(value, Unknown) else show_quantity(value, unit) if unit else str(value)


def stated(value: Any, unit: str) -> str:
    """As `amount`; "none stated" where the file says nothing."""
    return "none stated" if isinstance(value, Unknown) and not value.given else amount(value, unit)
