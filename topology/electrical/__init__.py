# SPDX-License-Identifier: MIT
"""The electrical computation of a site: from its graph to currents, voltages, faults and sizes."""
from __future__ import annotations

from ..flow import Flows
from .solved import Design, Electrical, Size

__all__ = ["Design", "Electrical", "Size", "solve"]


def solve(flows: Flows) -> Electrical:
    """The computation of a site, made once for each."""
    if "solved" not in flows.memo:
        flows.memo["solved"] = Electrical(flows)
    solved: Electrical = flows.memo["solved"]
    return solved
