# SPDX-License-Identifier: MIT
"""Why a set is not issued."""
from __future__ import annotations

from topology.errors import SiteError

__all__ = ["Refused"]


class Refused(SiteError):
    """The set is not issued and nothing was changed. reasons: one line each, the first says what it is about."""

    def __init__(self, *reasons: str) -> None:
        super().__init__("\n".join(reasons))
        self.reasons = reasons
