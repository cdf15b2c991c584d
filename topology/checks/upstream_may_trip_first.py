# SPDX-License-Identifier: MIT
"""A fault on one circuit that may take the whole board with it, although the ratings could tell the devices apart."""
from __future__ import annotations

from typing import Any

from ..electrical import solve
from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..selectivity import may_trip, needs_to_trip, starts_at
from ..site import Board, Circuit
from ._electrical import is_final, is_spare

__all__ = ["upstream_may_trip_first"]


@rule(each=Circuit, severity="note")
def upstream_may_trip_first(circuit: Circuit, site: Flows) -> Finding | None:
    """Final circuit whose device is not selective with the one before its board, on overload or by the order of their curves.

    Why: one faulty kettle then puts the whole board out. Advice, no verdict: on overload the device before must carry what opens the one behind
        (1.13 against 1.45 times the rating), and its band must not begin below that of the one behind. What happens at larger faults
        stands in the protection schedule, and beyond that in the makers' tables. The distributor's devices are left out.
    Bad: breaker: 32 A C 2P 6 kA on a board that a breaker: 32 A C 2P 6 kA feeds
    Good: breaker: 50 A C 2P 6 kA before that board, or 20 A on the circuit
    Source: IEC 60898-1, conventional currents and instantaneous bands; that such devices should be selective is common practice, no source
    """
    name = getattr(circuit.load or circuit.feeds, "id", "")
    solved = solve(site)
    if is_spare(circuit) or not is_final(circuit, site) or circuit.status == "removed" or name not in solved.tree.index:
        return None
    if solved.tree.looped and any(node in solved.tree.looped for node in solved.tree.up(solved.node(name), itself=True)):
        return None  # fed over two ways: terminal-fed-twice speaks
    down = solved.faults.device(solved.node(name))
    up = None if down is None or down.id not in solved.tree.index else _before_its_board(solved.node(down.id), solved)
    if up is None:
        return None
    tables = solved.given.tables
    carried, opens = may_trip(tables, up), needs_to_trip(tables, down)
    begins, other = starts_at(tables, up), starts_at(tables, down)
    if carried >= opens and (begins is None or other is None or begins >= other):
        return None
    why = (f"'{up.id}' may open from {carried:.0f} A on, '{down.id}' must only at {opens:.0f} A" if carried < opens
           else f"'{up.id}' may open at once from {begins:.0f} A on, '{down.id}' only from {other:.0f} A")
    ids = (down.id, up.id, circuit.id)
    return Finding(down.mark, f"an overload or fault on circuit '{circuit.id}' may open '{up.id}' before '{down.id}': {why}",
                   f"take a larger rating or a slower curve for '{up.id}' if its cable allows it, or a smaller one here", objects=ids,
                   numbers={"carried": Number(round(carried, 1), "A"), "opens": Number(round(opens, 1), "A")})


def _before_its_board(node: int, solved: Any) -> Any:
    """The next device upstream that limits current, where a board lies between and the device is not the distributor's; None otherwise."""
    board = False
    for above in solved.tree.up(node):
        thing = solved.tree.obj(above)
        board = board or isinstance(thing, Board)
        if getattr(thing, "limits_current", False):
            return thing if board and thing.owner != "distributor" else None
    return None
