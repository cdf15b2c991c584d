# SPDX-License-Identifier: MIT
"""Counts of findings in words."""
from __future__ import annotations

from collections.abc import Mapping

__all__ = ["counted", "many"]


def many(count: int, word: str) -> str:
    """`1 error`, `2 errors`, `0 errors`."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def counted(counts: Mapping[str, int]) -> str:
    """What a command says of a report: errors, warnings and what is not known."""
    return f"{many(counts['error'], 'error')}, {many(counts['warning'], 'warning')}, {counts['cannot_tell']} not known"
