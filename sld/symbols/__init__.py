# SPDX-License-Identifier: MIT
"""Symbols by their kind; each is compiled from its schemdraw element on first use."""
from __future__ import annotations

from sld.primitives import Symbol
from sld.symbols import equipment, marks, measuring, switching
from sld.symbols.base import compile_symbol, registered

__all__ = ["kinds", "symbol"]

_FAMILIES = (measuring, switching, equipment, marks)


def symbol(kind: str) -> Symbol:
    """The compiled symbol of a kind.

    Raises KeyError for a kind that nobody draws.
    """
    return compile_symbol(kind)


def kinds() -> tuple[str, ...]:
    """All kinds."""
    return registered()
