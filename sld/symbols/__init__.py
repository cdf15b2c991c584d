# SPDX-License-Identifier: MIT
"""Symbols by their kind, compiled from their schemdraw elements."""
from __future__ import annotations

from sld.primitives import Symbol
from sld.symbols.compiled import families, kept_symbol

__all__ = ["AROUND", "families", "kinds", "symbol"]

AROUND = ("ct", "ct-p1-down", "ct-p1-up", "filter-ferrite")
"""Kinds that are fitted round a conductor and do not part it."""


def symbol(kind: str) -> Symbol:
    """The compiled symbol of a kind, all in mm about its own origin.

    Raises KeyError for a kind that nobody draws.
    """
    return kept_symbol(kind)


def kinds() -> tuple[str, ...]:
    """All kinds, family by family."""
    return tuple(kind for family in families().values() for kind in family)
