# SPDX-License-Identifier: MIT
"""A board with more on it than it has room for."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..kinds import Way
from ..rail import room_of
from ..rule import rule
from ..site import Board, Circuit

__all__ = ["board_overfull"]

WIDEST = 4
"""Modules of a device with four poles [-]"""


@rule(each=Board, severity="warning", by_status=False)
def board_overfull(board: Board, site: Flows) -> Iterator[Finding]:
    """Board on which a circuit takes a way that it does not have, or whose devices need more modules than its rows hold.

    Why: the circuit cannot be built there; a larger enclosure, or a second one, belongs into the offer and onto the drawing. Widths are
        counted from the poles at their least, one module each, a 1P+N as one; meters, controllers and terminals come on top, what is the
        distributor's stands elsewhere.
    Bad: {ways: 12} on a board with a circuit on way 14; {modules: 24} on a board with ten devices of three poles
    Good: {ways: 18, modules: 36} on the same boards
    Source: common practice, no source; a module is 18 mm (DIN 43880, from memory)
    """
    if isinstance(board.ways, int) and isinstance(board.circuits, tuple):
        for circuit in board.circuits:
            if isinstance(circuit, Circuit) and isinstance(circuit.way, Way) and circuit.way.last > board.ways:
                yield Finding(circuit.marks["way"], f"'{circuit.id}' takes way {circuit.way}, and board '{board.id}' has {board.ways} ways",
                              "give it a way that is there, or say how many ways the board has", objects=(circuit.id, board.id),
                              numbers={"way": Number(float(circuit.way.last), "1"), "ways": Number(float(board.ways), "1")})
    if board.modules is None:
        return
    room, rows = room_of(board, site), board.modules + 0  # an Unknown raises
    least = room.least + len(room.open)
    if least > rows:
        yield Finding(board.marks["modules"], f"the devices on board '{board.id}' need at least {least} modules, and its rows hold {rows}",
                      "take a larger enclosure, or move circuits to another board", objects=(board.id,),
                      numbers={"modules": Number(float(least), "1"), "rows": Number(float(rows), "1")}, severity="note")
    elif room.open and room.least + WIDEST * len(room.open) > rows:
        raise CannotTell(room.open[0])
