# SPDX-License-Identifier: MIT
"""Inverters that talk over the power line on one board with a string inverter."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Board, Inverter, ModuleInverters
from ._sources import behind
from ._words import listed

__all__ = ["power_line_beside_string"]


@rule(each=Board, severity="warning")
def power_line_beside_string(board: Board, site: Flows) -> Finding | None:
    """Board with module-level inverters that communicate over the power line and a string inverter side by side.

    Why: the switching noise of the string inverter lies in the band of that communication; next to each other nothing damps it.
    Bad: both on the solar board
    Good: the string inverter left on its own board, a filter on the submain between the two
    Source: common practice, no source
    """
    ends = [end for circuit in board.circuits for end in behind(circuit)]
    talking = [e.id for e in ends if isinstance(e, ModuleInverters) and site.type_of(e).power_line]
    strings = [e.id for e in ends if isinstance(e, Inverter)]
    if not talking or not strings:
        return None
    return Finding(board.mark, f"board '{board.id}' carries {listed(strings)} beside {listed(talking)}, which communicate over the power line",
                   "leave the string inverter on another board", objects=(board.id, *strings, *talking))
