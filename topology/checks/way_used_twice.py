# SPDX-License-Identifier: MIT
"""Two circuits on one way of a board."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Number, Related, Unknown
from ..flow import Flows
from ..kinds import Way
from ..rule import rule
from ..site import Board, Circuit, Switching

__all__ = ["way_used_twice"]


@rule(each=Board, by_status=False)
def way_used_twice(board: Board, site: Flows) -> Iterator[Finding]:
    """Way of a board that two circuits take.

    Why: only one device fits on a way; one of the two circuits is somewhere else, or does not exist. Circuits of a local bar take ways of
        their board too. Under the profile us a board has two columns, odd and even: a device of two poles on 3-5 takes 3 and 5.
    Bad: {way: 3-4, …} and {way: 4, …}
    Good: {way: 3-4, …} and {way: 5, …}
    Source: common practice, no source
    """
    taken: dict[int, Circuit] = {}
    circuits = [c for c in _circuits(board) if c.way is not None]
    for circuit in circuits:
        if isinstance(circuit.way, Unknown):
            continue
        twice = [way for way in _ways(circuit, site) if taken.setdefault(way, circuit) is not circuit]
        if twice:
            others = list(dict.fromkeys(taken[way] for way in twice))
            yield Finding(circuit.marks["way"], f"way {_range(twice)} of board '{board.id}' is taken already by '{others[0].id}'",
                          f"give '{circuit.id}' or '{others[0].id}' another way; {_free(board, circuit, site)}",
                          objects=(board.id, circuit.id, *(o.id for o in others)), numbers={"way": Number(float(twice[0]), "1")},
                          related=tuple(Related(o.marks["way"], f"way {o.way} is taken here") for o in others))
    for circuit in circuits:
        if isinstance(circuit.way, Unknown) and not circuit.way.silent:
            raise CannotTell(circuit.way)


def _circuits(board: Board) -> Iterator[Circuit]:
    """The board's circuits, those of its local bars included, in the order of the file."""
    stack = list(reversed(board.circuits))
    while stack:
        circuit = stack.pop()
        if not isinstance(circuit, Circuit):
            continue
        yield circuit
        if isinstance(circuit.circuits, tuple):
            stack.extend(reversed(circuit.circuits))


def _range(ways: list[int]) -> str:
    return str(ways[0]) if len(ways) == 1 else f"{ways[0]}-{ways[-1]}"


def _ways(circuit: Circuit, site: Flows) -> range:
    """The ways that a circuit takes, those of one column where its range says so (North American panelboards; common practice, no source)."""
    way = circuit.way
    line = circuit.in_line if isinstance(circuit.in_line, tuple) else ()
    poles = next((int(device.poles[0]) for device in line if isinstance(device, Switching) and isinstance(device.poles, str)), 1)
    profiles = site.site.profile if isinstance(site.site.profile, tuple) else ()
    column = "us" in profiles and poles > 1 and way.last - way.first == 2 * (poles - 1)
    return range(way.first, way.last + 1, 2 if column else 1)


def _free(board: Board, circuit: Circuit, site: Flows) -> str:
    """Where the circuit would fit, or that nobody knows."""
    used = {way for other in _circuits(board) if isinstance(other.way, Way) for way in _ways(other, site)}
    width = circuit.way.last - circuit.way.first + 1
    last = board.ways if isinstance(board.ways, int) else 0
    first = next((w for w in range(1, last - width + 2) if not used & set(range(w, w + width))), None)
    return f"free is way {Way(first, first + width - 1)}" if first else "the file names no free way"
