# SPDX-License-Identifier: MIT
"""A load whose phase and neutral belong to different sources."""
from __future__ import annotations

from ..conductors import PEN, PHASES, N, bits, phase_names
from ..errors import Finding
from ..flow import Flows
from ..kinds import Said
from ..modes import Mode
from ..rule import rule
from ..site import Load, Rcbo, Rcd
from ._sources import spare

__all__ = ["neutral_borrowed"]


@rule(each=Load, danger=True)
def neutral_borrowed(load: Load, site: Flows) -> Finding | None:
    """Load whose phase a source feeds in some mode while its neutral does not lead back to that source, or passes other residual current devices.

    Why: a circuit moved to the backed-up part without its neutral works while the supply is there and is dark or, worse, returns its
        current through earth when it is gone; on residual current devices it trips at once.
    Bad: way 3 moved to the backed-up board, its neutral left on the bar of the main board behind a changeover that opens the neutral
    Good: phase and neutral of way 3 on the backed-up board
    Source: Energy Safe Victoria, sheet EIS-004 on neutral continuity and MEN connection, 2025
    """
    if spare(load) or load.id not in site.graph or not _has_neutral(load, site):
        return None
    for mode in site.modes:
        net = site.net(N, mode)
        for phase in phase_names(site.phases_at(load.id) & PHASES):
            conductor = bits([phase])
            if not site.uses(load.id, conductor) or load.id not in net.index:
                continue
            first, parts = _starts(load.id, conductor, mode, site)
            if first is not None and net.part[net.index[load.id]] not in parts:
                return Finding(load.mark, f"in '{mode.name}' '{first}' feeds '{load.id}' on {phase}, and its neutral does not lead back there",
                               "move the neutral to the bar of the board that feeds the phase", objects=(load.id, first))
    return _past_a_device(load, site)


def _starts(node: str, conductor: int, mode: Mode, site: Flows) -> tuple[str | None, frozenset[int]]:
    """The first of the sources that feed a node without others, and the parts of the neutral's net that they all stand in; once for what they feed alike."""
    phase = site.net(conductor, mode)
    key = "starts", conductor, mode, phase.part[phase.index[node]]
    if key not in site.memo:
        net, alone = site.net(N, mode), {site.root, *site.backs_up}
        starts = [s for s in site.reaching(node, conductor, mode) if s in alone and s in net.index]
        site.memo[key] = next(iter(starts), None), frozenset(net.part[net.index[s]] for s in starts)
    found: tuple[str | None, frozenset[int]] = site.memo[key]
    return found


def _past_a_device(load: Load, site: Flows) -> Finding | None:
    """A residual current device that only one of phase and neutral of a load passes, on the way from the supply. Asked where a neutral was moved or shared."""
    circuit = site.circuit_of.get(load.id)
    if circuit is None or site.root is None or not (isinstance(circuit.moved_from, Said) or isinstance(circuit.shares_neutral_with, tuple)
                                                    and circuit.shares_neutral_with):
        return None
    back = site.net(N).path(site.root, load.id)
    for phase in phase_names(site.phases_at(load.id) & PHASES):
        out = site.net(bits([phase])).path(site.root, load.id)
        apart = [n for n in (*out, *back) if (n in out) != (n in back) and isinstance(site.obj(n), Rcd | Rcbo)] if out and back else []
        if apart:
            return Finding(load.mark, f"only one of phase {phase} and neutral of '{load.id}' passes the residual current device '{apart[0]}'",
                           "bring the neutral through the same device as the phase", objects=(load.id, apart[0]))
    return None


def _has_neutral(load: Load, site: Flows) -> bool:
    """Whether a neutral arrives at a load; motors on three phases have none."""
    return any(data["obj"].conductors & (N | PEN) for _, _, data in site.graph.in_edges(load.id, data=True) if data["layer"] in ("power", "neutral"))
