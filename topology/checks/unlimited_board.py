# SPDX-License-Identifier: MIT
"""A board whose feed nothing limits."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Number, Related, Unknown
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Board, Chain, Device

__all__ = ["unlimited_board"]


@rule(each=Board, danger=True, by_status=True)
def unlimited_board(board: Board, site: Flows) -> Iterator[Finding]:
    """Board whose feed holds no fuse or circuit-breaker up to the next board or the point of supply.

    Why: nothing then keeps the current of the feed and of the busbar within what they stand; a fault on them burns on. A switch or a
        residual current device without overcurrent protection does not limit current.
    Bad: a circuit of MSB with in_line: [switch: 63 A 2P, cable: …] and feeds: SB
    Good: a circuit of MSB with in_line: [breaker: 63 A C 2P 6 kA, cable: …] and feeds: SB
    Source: IEC 60364-4-43, clauses 433.2 and 434.2 (a protective device where the feed begins), from memory
    """
    for feed in site.feeds_of(board.id):
        *devices, upstream = [site.obj(node) for node in feed]
        if any(isinstance(d, Device) and d.limits_current for d in devices):
            continue
        if (unread := _unread(board, site)) is not None:
            raise CannotTell(unread)
        busbar = None if isinstance(board.busbar, Unknown) else board.busbar
        yield Finding(board.mark, f"nothing between '{upstream.id}' and board '{board.id}' limits the current",
                      f"put a circuit-breaker or fuse where the feed leaves '{upstream.id}'", objects=(board.id, *feed),
                      numbers={"busbar": Number(busbar, "A")}, related=(Related(upstream.mark, "the feed begins here"),))


def _unread(board: Board, site: Flows) -> Unknown | None:
    """Something in a feed of the board of which nobody knows what it is: it may be the device that is missed."""
    chains = [obj for obj in site.objects.values() if isinstance(obj, Chain)]
    todo = [chain for chain in chains if isinstance(chain.feeds, Said) and chain.feeds.id == board.id]
    found: list[object] = [board.main_switch]
    while todo:
        chain = todo.pop()
        found += chain.in_line if isinstance(chain.in_line, tuple) else [chain.in_line]
        todo += [around for around in chains if isinstance(around.circuits, tuple) and chain in around.circuits]
    return next((thing for thing in found if isinstance(thing, Unknown)), None)
