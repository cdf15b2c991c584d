# SPDX-License-Identifier: MIT
"""An object that tests are for, with the words that it fills in."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Any

from topology.dataclass import dataclass
from topology.errors import CannotTell

from .computed import CANNOT_TELL

__all__ = ["On", "computed"]


@dataclass(frozen=True)
class On:
    """An object that tests are for. fills: what the words of its tests leave open."""

    id: str
    fills: Mapping[str, str] = field(default_factory=dict)


def computed(words: str, question: Callable[..., Any], *about: Any) -> str:
    """The answer of the electrical computation in words, or that it cannot tell."""
    try:
        answer = question(*about)
    except CannotTell:
        return CANNOT_TELL
    return words.format(*answer) if isinstance(answer, tuple) else words.format(answer)
