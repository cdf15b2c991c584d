# SPDX-License-Identifier: MIT
"""Two circuits on one way of a board."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Related
from ..flow import Flows
from ..rule import rule
from ..site import Board, Circuit

__all__ = ["way_used_twice"]


@rule(each=Board)
def way_used_twice(board: Board, site: Flows) -> Iterator[Finding]:
    """Way of a board that two circuits take.

    Why: only one device fits on a way; one of the two circuits is somewhere else or does not exist.
    Bad: {way: 3-4, …} and {way: 4, …}
    Good: {way: 3-4, …} and {way: 5, …}
    Source: common practice, no source
    """
    taken: dict[int, Circuit] = {}
    stack = list(reversed(board.circuits))
    while stack:
        circuit = stack.pop()
        stack.extend(reversed(circuit.circuits))
        if circuit.way is None:
            continue
        twice = [way for way in range(circuit.way.first, circuit.way.last + 1) if taken.setdefault(way, circuit) is not circuit]
        if twice:
            first = taken[twice[0]]
            yield Finding(circuit.marks["way"], f"way {twice[0]} of {board.id} is taken already", "give one of the circuits another way",
                          objects=(circuit.id, first.id), related=(Related(first.marks["way"], "taken here"),))
