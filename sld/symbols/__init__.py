# SPDX-License-Identifier: MIT
"""Symbols by their kind; each is compiled from its schemdraw element on first use."""
from __future__ import annotations

from sld.primitives import Symbol
from sld.symbols import communication, earthing, loads, marks, measuring, protection, sources, supply, switching
from sld.symbols.base import compile_symbol, declared, registered

__all__ = ["families", "kinds", "symbol"]

_FAMILIES = {"Supply": supply, "Measuring": measuring, "Switching": switching, "Protection": protection, "Sources": sources, "Loads": loads,
             "Earthing": earthing, "Communication": communication, "Joints and signs": marks}  # each declares its kinds


def symbol(kind: str) -> Symbol:
    """The compiled symbol of a kind, all in mm about its own origin.

    Raises KeyError for a kind that nobody draws.
    """
    return compile_symbol(kind)


def kinds() -> tuple[str, ...]:
    """All kinds, family by family."""
    return registered()


def families() -> dict[str, tuple[str, ...]]:
    """Kinds by the name of their family."""
    return {name: declared(module.__name__) for name, module in _FAMILIES.items()}
