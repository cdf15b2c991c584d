# SPDX-License-Identifier: MIT
"""A board that nothing feeds."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import L1, L2, L3
from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Board

__all__ = ["unfed_board"]


@rule(each=Board)
def unfed_board(board: Board, site: Flows) -> Iterator[Finding]:
    """Board with no path to the point of supply.

    Why: a board that nothing feeds is a feed that was forgotten in the file, and the drawing would leave the board out.
    Bad: a board SB that no circuit feeds
    Good: a circuit of MSB with feeds: SB
    Source: common practice, no source
    """
    if not any(site.fed(board.id, phase) for phase in (L1, L2, L3)):
        yield Finding(board.mark, f"board '{board.id}' has no path to the point of supply", f"add a circuit with 'feeds: {board.id}'", objects=(board.id,))
