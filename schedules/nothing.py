# SPDX-License-Identifier: MIT
"""What a list without rows says: why it is empty, where that is more than that the site has nothing of its kind."""
from __future__ import annotations

__all__ = ["nothing"]

WHY = {"survey": "Nothing of this kind: no fact is open, nothing was noted as found, all belongs to the customer.",
       "differences": "Nothing of this kind: nothing is marked as new, altered, relocated or removed.",
       "labels": "Nothing of this kind: the profile asks for no label here. Local rules may."}


def nothing(name: str) -> str:
    """The sentence in place of the rows of the schedule of this name."""
    return WHY.get(name, "Nothing of this kind is on the site.")
