# SPDX-License-Identifier: MIT
"""Rows of the circuit schedule that speak of a board itself: what comes in, and what is left of its ways and modules. By heading."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology import conductors
from topology.errors import Unknown
from topology.flow import Flows
from topology.kinds import Said, Way
from topology.site import Board, Cable, Circuit, Source, Switching

from .cables import cable_words, parts_of
from .columns import Cell, dotted, joined
from .modules import spare_modules, spare_ways
from .walk import Placed, chains, members

__all__ = ["backed_up", "incoming", "spares", "way_words"]

MOST_SOURCES = 8
"""Sources named in one cell; beyond that the cell says how many more."""


def way_words(way: Way) -> Cell:
    """`9 to 10`: a spreadsheet would take 9-10 for a date."""
    return f"{way.first} to {way.last}" if way.first != way.last else way.first


def backed_up(flows: Flows, node: str) -> Cell:
    """Whether a node is live when the supply is lost; nothing on a site where no source feeds without it."""
    if not flows.backs_up:
        return None
    lost = next(mode for mode in flows.modes if not mode.live)
    masks = (conductors.bits([phase]) for phase in conductors.phase_names(flows.phases_at(node)))
    return "yes" if any(flows.live(node, mask, lost) for mask in masks) else "no"


# ---- what comes in ---------------------------------------------------------------------------------------------------

def incoming(flows: Flows, board: Board) -> Iterator[dict[str, Any]]:
    """A row for each feed of a board: the switch that opens all of the board, the cables of the feed, and what else feeds the board.

    The length of a cable stands in the row of the circuit that it belongs to. A board whose feed nobody can read has one row.
    """
    feeds = [placed for placed in chains(flows) if isinstance(placed.chain.feeds, Said) and placed.chain.feeds.id == board.id]
    for placed in feeds or [None]:
        device = _main_switch(flows, board, placed)
        line = placed.chain.in_line if placed is not None else ()
        cables = [item for item in line if isinstance(item, Cable)] if isinstance(line, tuple) else []
        parts = [part for cable in cables for part in parts_of(cable)]
        yield {"name": board.name, "kind": _kind(flows, board, placed), "status": board.status,
               "phases": joined(conductors.phase_names(flows.phases_at(board.id))) if board.id in flows.graph else None,
               **_switch(device), "cable": joined(cable.id for cable in cables), "cable size": cable_words(parts)}


def _main_switch(flows: Flows, board: Board, placed: Placed | None) -> Any:
    """The board's own main switch, else the last switching device of the feed that stands on the board; None where there is none."""
    if board.main_switch is not None:
        return board.main_switch
    line = list(members(placed.chain)) if placed is not None else []
    here = [item for item in line if isinstance(item, Switching) and item.id in flows.graph and flows.home(item.id) == board.id]
    return here[-1] if here else None


def _switch(device: Any) -> dict[str, Any]:
    """What a row says of a device."""
    facts = {"device": "word", "rating": "rating", "poles": "poles", "curve or class": "curve", "breaking capacity": "breaking",
             "residual current": "residual"}
    residual_type = dotted(device, "type_") if hasattr(device, "residual") else None
    return {**{heading: dotted(device, name) for heading, name in facts.items()}, "residual type": residual_type}


def _kind(flows: Flows, board: Board, placed: Placed | None) -> str:
    """`incoming from MSB.9; fed by INV1 BAT1 too`: whoever opens the main switch has to know that the board is not dead."""
    words = f"incoming from {placed.chain.id}" if placed is not None else "incoming TBC"
    sources = _sources_behind(flows, board.id)
    named = " ".join(sources[:MOST_SOURCES]) + (f" and {len(sources) - MOST_SOURCES} more" if len(sources) > MOST_SOURCES else "")
    return f"{words}; fed by {named} too" if sources else words


def _sources_behind(flows: Flows, board: str) -> list[str]:
    """Sources that a board stands between and the point of supply."""
    if flows.root is None or board not in flows.graph:
        return []
    nets = (flows.net(conductors.bits([phase])) for phase in conductors.phase_names(flows.phases_at(board)))
    return list(dict.fromkeys(node for net in nets for node in net.under(board, flows.root) if isinstance(flows.obj(node), Source)))


# ---- what is left ----------------------------------------------------------------------------------------------------

def spares(flows: Flows, board: Board) -> Iterator[dict[str, Any]]:
    """A row for each run of ways that nothing takes, none where a circuit does not say its way; and one for the modules that are left."""
    ways = list(_ways(flows, board))
    for way in [] if None in [way for way in ways if not isinstance(way, Unknown)] else spare_ways(board, ways):
        number = way.last - way.first + 1
        yield {"way": way_words(way), "name": "spare" if number == 1 else f"{number} spare ways", "kind": "spare way"}
    if board.modules is not None:
        yield {"name": "modules left", "kind": "spare room", "modules": spare_modules(flows, board)}


def _ways(flows: Flows, board: Board) -> Iterator[Any]:
    """The ways of each circuit of a board; a circuit of a local bar may take none."""
    for placed in chains(flows):
        if isinstance(placed.chain, Circuit) and placed.board == board.id and not (placed.group and placed.chain.way is None):
            yield placed.chain.way
