# SPDX-License-Identifier: MIT
"""The shutdown sequence, derived from the graph: a proposal until somebody with a licence confirms it.

Order: what feeds without the supply first, for opening the grid's switch alone may start it; then each source on its
alternating-current side, so that load current is broken there; then direct current; the grid's switch last, and only
if the whole site is to be dead. What no switch can make dead is named after the last step.
"""
from __future__ import annotations

from collections.abc import Iterator

from topology import conductors
from topology.dataclass import dataclass
from topology.flow import Flows
from topology.modes import Mode
from topology.quantity import show_quantity
from topology.site import Battery, Board, Changeover, Generator, Inlet

from .columns import Cell, dotted
from .isolating import SourceSwitches, grid_switch, in_full, source_switches, surroundings

__all__ = ["Step", "dead_after", "shutdown_steps"]

PHASES = (conductors.L1, conductors.L2, conductors.L3)


@dataclass(frozen=True)
class Step:
    """A step. object: what is turned off or stays live; words: what to do; why; opens: whether the object is opened by this step."""

    object: str
    words: str
    why: str
    opens: bool = True


def shutdown_steps(flows: Flows) -> list[Step]:
    """The steps in order, each switch once, then what stays live and how long to wait. Empty for a site without sources."""
    switches = source_switches(flows)
    if not switches:
        return []
    steps: list[Step] = []
    for step in _in_order(flows, switches):
        if step.object not in {done.object for done in steps}:
            steps.append(step)
    return [*steps, *_after(flows, switches, [step.object for step in steps])]


def _in_order(flows: Flows, switches: tuple[SourceSwitches, ...]) -> Iterator[Step]:
    """Every switch, as often as it is met."""
    away = [s for s in switches if isinstance(flows.obj(s.source), Generator | Inlet)]
    for s in away:
        yield from (_off(flows, node, f"feeds from {s.source} without the supply") for node in s.outwards[-1:])
    for s in switches:
        yield from (_off(flows, node, f"feeds backed-up circuits from {s.source}") for node in s.backup[:1])
    for changeover in flows.objects.values():
        if isinstance(changeover, Changeover):
            where = surroundings(flows, f"{changeover.id}.load") or dotted(changeover, "place")
            at = f" at {where}" if where else ""
            words = f"Where it has an off position, turn changeover {changeover.id} off{at}"
            yield Step(changeover.id, words, "joins two supplies", opens=False)
    at_grid = [s for s in switches if s not in away]
    boards = [name for name, obj in flows.objects.items() if isinstance(obj, Board)]
    for s in sorted(at_grid, key=lambda s: boards.index(s.board) if s.board in boards else len(boards)):
        yield from (_off(flows, node, f"main switch of {s.source}") for node in s.outwards[-1:])
    for s in at_grid:
        yield from (_off(flows, node, f"at {s.source}, alternating current") for node in s.outwards[:1])
    for battery in (True, False):
        for s in switches:
            for node, leaf in s.direct_current:
                if node is not None and isinstance(flows.objects.get(leaf), Battery) is battery:
                    yield _off(flows, node, f"{'battery' if battery else 'array'} {leaf} of {s.source}, direct current")
    grid = grid_switch(flows)
    if grid is not None:
        yield _off(flows, grid, "the grid's main switch, last, and only if the whole site is to be dead")


def _off(flows: Flows, node: str, why: str) -> Step:
    obj = flows.obj(node)
    switch = in_full(flows, node)
    of_circuit = getattr(flows.circuit_of.get(node), "name", "") if "." in node and " of " not in switch else ""
    own = obj.name if isinstance(obj.name, str) and obj.name else of_circuit
    name = f" '{own}'" if isinstance(own, str) and own else ""
    where = surroundings(flows, node)
    return Step(node, f"Turn off {switch}{name}{f' at {where}' if where else ''}", why)


def dead_after(flows: Flows, opened: list[str], source: str) -> bool:
    """Whether a source, with these switches open, reaches neither a board nor the point of supply."""
    mode = Mode("shut down", frozenset(opened), live=False)
    others = [node for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Board) or node == flows.root]
    return not any(flows.net(phase, mode).joined(source, node) for phase in PHASES for node in others)


def _after(flows: Flows, switches: tuple[SourceSwitches, ...], opened: list[str]) -> Iterator[Step]:
    """What stays live, what no switch was found for, and how long to wait."""
    real = [node for node in opened if not isinstance(flows.objects.get(node), Changeover)]
    for s in switches:
        if not dead_after(flows, real, s.source):
            words = f"TBC: no switch in the site file separates {s.source} from the installation"
            yield Step(s.source, words, "nothing found in the graph", False)
        for node, leaf in s.direct_current:
            far = f"{s.source}; the site file has no direct-current switch" if node is None else node
            yield Step(leaf, f"STAYS LIVE: {leaf} as far as {far}", "stays live", False)
        inlet = isinstance(flows.obj(s.source), Inlet)
        words = "as long as a portable generator runs at it" if inlet else "it may hold dangerous voltage inside"
        yield Step(s.source, f"STAYS LIVE: {s.source}, {words}", "stays live", False)
    grid = grid_switch(flows)
    if grid is not None and flows.root is not None:
        yield Step(flows.root, f"STAYS LIVE: the supply as far as {grid}", "stays live", False)
    wait = _wait(flows)
    yield Step(flows.root or switches[0].source, f"Then wait {wait}, and prove dead at each point of work", "stored charge", False)


def _wait(flows: Flows) -> str:
    wait: Cell = dotted(flows.site.shutdown, "wait")
    if not isinstance(wait, float):
        return "as long as the makers say (TBC)"
    return f"{wait / 60:g} min" if wait >= 60 and wait % 60 == 0 else show_quantity(wait, "s")
