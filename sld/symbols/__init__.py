# SPDX-License-Identifier: MIT
"""Symbols by their kind; each is compiled from its schemdraw element on first use."""
from __future__ import annotations

from sld.primitives import Symbol
from sld.symbols import communication, earthing, loads, marks, measuring, protection, sources, supply, switching
from sld.symbols.base import compile_symbol, registered

__all__ = ["kinds", "symbol"]

_FAMILIES = (supply, measuring, switching, protection, sources, loads, earthing, communication, marks)  # each declares its kinds


def symbol(kind: str) -> Symbol:
    """The compiled symbol of a kind, all in mm about its own origin.

    Raises KeyError for a kind that nobody draws.
    """
    return compile_symbol(kind)


def kinds() -> tuple[str, ...]:
    """All kinds, family by family."""
    return registered()
