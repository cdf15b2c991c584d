# SPDX-License-Identifier: MIT
"""Conductors as a bit mask: L1 L2 L3 N PE PEN."""
from __future__ import annotations

from collections.abc import Iterable
from functools import cache

__all__ = ["ALL", "L1", "L2", "L3", "NEUTRAL", "N", "PE", "PEN", "PHASES", "bits", "carries", "names", "phase_names", "supply_code"]

L1, L2, L3, N, PE, PEN = 1, 2, 4, 8, 16, 32
PHASES = L1 | L2 | L3
NEUTRAL = N | PEN
ALL = 63
_NAMES = {"L1": L1, "L2": L2, "L3": L3, "N": N, "PE": PE, "PEN": PEN}


def bits(words: Iterable[str]) -> int:
    """The mask of conductors named L1, L2, L3, N, PE, PEN."""
    mask = 0
    for word in words:
        mask |= _NAMES[word]
    return mask


@cache
def names(mask: int) -> tuple[str, ...]:
    """The names of the conductors of a mask, phases first."""
    return tuple(name for name, bit in _NAMES.items() if mask & bit)


@cache
def phase_names(mask: int) -> tuple[str, ...]:
    """The names of the phases of a mask."""
    return names(mask & PHASES)


def carries(mask: int, conductor: int) -> bool:
    """Whether a link of this mask carries a conductor; a PEN is neutral and protective conductor in one."""
    return bool(mask & conductor) or bool(mask & PEN and conductor in (N, PE))


def supply_code(mask: int) -> str:
    """The conductors as IEC 61082 writes them in a single-line diagram: 3/N/PE."""
    phases = len(phase_names(mask))
    return "/".join([str(phases), *names(mask & ~PHASES)])
