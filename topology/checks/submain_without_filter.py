# SPDX-License-Identifier: MIT
"""A submain to inverters that talk over the power line, without a filter, where a string inverter shares the installation."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Board, Filter, Inverter, ModuleInverters
from ._sources import behind
from ._words import listed

__all__ = ["submain_without_filter"]


@rule(each=Board, severity="note")
def submain_without_filter(board: Board, site: Flows) -> Finding | None:
    """Submain without a filter to a board with inverters that communicate over the power line, where a string inverter stands elsewhere.

    Why: a ferrite or line filter keeps the noise of the string inverter off the board that communicates; it is cheap while the cable is new.
    Bad: in_line: [breaker: …, cable: …] to the solar board
    Good: in_line: [breaker: …, filter: {kind: ferrite}, cable: …]
    Source: common practice, no source
    """
    strings = [o.id for o in site.all(Inverter)]
    ends = [end for circuit in board.circuits for end in behind(circuit)]
    talking = [e.id for e in ends if isinstance(e, ModuleInverters) and site.type_of(e).power_line] if strings else []
    if not talking or any(isinstance(e, Inverter) for e in ends):
        return None
    feeds = site.feeds_of(board.id)
    if not feeds or any(isinstance(site.obj(n), Filter) for feed in feeds for n in feed):
        return None
    return Finding(board.mark, f"no filter stands between '{board.id}' and {listed(strings)}", "add a filter to the submain, at the solar board",
                   objects=(board.id, *strings))
