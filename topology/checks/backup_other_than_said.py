# SPDX-License-Identifier: MIT
"""Loads that stay live without the supply although the file says they do not, or the other way round."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..conductors import PHASES, bits, phase_names
from ..errors import CannotTell, Finding, Mark, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Board, Circuit, Load, Operation
from ._sources import behind, ensure_devices, ensure_phases, spare
from ._words import listed

__all__ = ["backup_other_than_said"]


@rule(each=Board, danger=True)
def backup_other_than_said(board: Board, site: Flows) -> Iterator[Finding]:
    """Board with loads that a source keeps live without the supply while the file says that they are not backed up, or that go dark though it says they are.

    Why: whoever opens the main switch goes by what the papers call backed up. What is meant (backed_up: of a circuit or its board, else operation:
        backup: none or whole) is compared with what the wiring does; where nothing is said, nothing is compared.
    Bad: a circuit with backed_up: no on the board behind the backup terminal of an inverter
    Good: backed_up: yes there, or the circuit on a board before the inverter
    Source: Clean Energy Regulator, news of July 2025 (backed-up circuits are told apart); elsewhere common practice, no source
    """
    live: dict[str, Mark] = {}
    dark: dict[str, Mark] = {}
    for load in _loads(board, site):
        said, mark = _said(load, board, site)
        if said is not None and said != _stays(load, site):
            (dark if said else live)[load.id] = mark
    if live:
        yield _finding(board, live, "live without the supply, and the file says that this is not backed up",
                       "feed it from before the source, or say that it is backed up", "error")
    if dark:
        for name in dark:
            ensure_devices(name, site)
            ensure_phases(name, site)
        yield _finding(board, dark, "dark without the supply, and the file says that this is backed up",
                       "feed it from the backup side, or say that it is not backed up", "warning")


def _finding(board: Board, loads: dict[str, Mark], what: str, step: str, severity: str) -> Finding:
    ids = (board.id, *loads)
    return Finding(next(iter(loads.values())), f"{listed(loads)} on '{board.id}' {'stays' if len(loads) == 1 else 'stay'} {what}", step,
                   objects=ids, severity=severity)


def _loads(board: Board, site: Flows) -> list[Load]:
    """The loads of a board's own circuits that are or will be there."""
    circuits = board.circuits if isinstance(board.circuits, tuple) else ()
    things = [thing for circuit in circuits if isinstance(circuit, Circuit) for thing in behind(circuit)]
    return [t for t in things if isinstance(t, Load) and not spare(t) and t.id in site.graph and t.status != "removed"]


def _said(load: Load, board: Board, site: Flows) -> tuple[bool | None, Mark]:
    """Whether the file says that a load is backed up, and where it does; None where it says nothing. Raises CannotTell for TBC."""
    things: list[Any] = [thing for thing in (site.circuit_of.get(load.id), board) if thing is not None]
    for thing in things:
        if isinstance(thing.backed_up, Unknown):
            raise CannotTell(thing.backed_up)
        if thing.backed_up is not None:
            return thing.backed_up, thing.marks["backed_up"]
    operation = site.site.operation
    word = operation.backup if isinstance(operation, Operation) and isinstance(operation.backup, str) else ""
    return {"none": False, "whole": True}.get(word), operation.marks["backup"] if word else board.mark


def _stays(load: Load, site: Flows) -> bool:
    """Whether a phase of a load is live in some mode without the supply."""
    lost = [mode for mode in site.modes if not mode.live]
    return any(site.live(load.id, bits([phase]), mode) for phase in phase_names(site.phases_at(load.id) & PHASES) for mode in lost)
