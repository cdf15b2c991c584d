# SPDX-License-Identifier: MIT
"""The electrical computation of a site: from its graph to currents, voltages, faults and sizes."""
from __future__ import annotations

from weakref import WeakKeyDictionary

from ..flow import Flows
from .solved import Design, Electrical, Size

__all__ = ["Design", "Electrical", "Size", "solve"]

_KNOWN: WeakKeyDictionary[Flows, Electrical] = WeakKeyDictionary()


def solve(flows: Flows) -> Electrical:
    """The computation of a site, made once for each."""
    if flows not in _KNOWN:
        _KNOWN[flows] = Electrical(flows)
    return _KNOWN[flows]
