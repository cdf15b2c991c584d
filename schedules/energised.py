# SPDX-License-Identifier: MIT
"""What is live in each mode, and with each source isolated: which boards, from what, through which devices, with which N–E links."""
from __future__ import annotations

from collections.abc import Iterator

from topology.conductors import PHASES, N, bits, phase_names
from topology.dataclass import dataclass
from topology.earthed import earthed_parts, links_of
from topology.errors import Unknown
from topology.flow import Flows
from topology.modes import Mode
from topology.site import Board, Changeover, Switching

from .isolating import source_switches

__all__ = ["Situation", "situations", "what_is_live"]

DECIDES = ("circuits", "feeds", "in_line", "ne_link", "ne_relay", "operated", "phase", "poles", "stands")
"""Keys of the site file that decide where current can flow"""
MOST = 8
CAUTION = "Worked out from the site file alone: prove dead at each point of work."
WORDS = {"grid": "Grid: the supply is there, every switch closed", "grid lost": "Grid lost: what backs up has taken over",
         "main switch open": "Main switch open: the supply is there as far as the main switch",
         "grid lost, changeover at normal": "Grid lost, changeovers still on their normal side"}


@dataclass(frozen=True)
class Situation:
    """A mode, or a mode with one source isolated. opened: the switches that isolate it; source: its id, "" where none is isolated."""

    words: str
    mode: Mode
    source: str = ""
    opened: tuple[str, ...] = ()


def situations(flows: Flows) -> list[Situation]:
    """The modes of a site, then each source isolated with the supply there and, where something backs up, without it."""
    found = [Situation(WORDS.get(mode.name, mode.name), mode) for mode in flows.modes]
    bases = [mode for mode in flows.modes if mode.name in ("grid", "grid lost") and (mode.live or flows.backs_up)]
    for s in source_switches(flows):
        opened = tuple(dict.fromkeys((*s.outwards, *s.backup)))
        for base in bases:
            mode = Mode(f"{s.source} isolated, {base.name}", base.opened | set(opened), base.live, base.backup, base.rests)
            found.append(Situation(f"{s.source} isolated, {'the supply there' if base.live else 'the supply lost'}", mode, s.source, opened))
    return found


def what_is_live(flows: Flows) -> str:
    """All situations as text, with what is not known and the caution at the end."""
    open_ = list(dict.fromkeys(_open(flows)))
    more = f" and {len(open_) - MOST} more" if len(open_) > MOST else ""
    doubt = [f"NOT KNOWN, so that any of this may be otherwise: {', '.join(open_[:MOST])}{more}."] if open_ else []
    return "\n".join([*(line for situation in situations(flows) for line in (*_lines(flows, situation), "")), *doubt, CAUTION])


def _open(flows: Flows) -> Iterator[str]:
    """What is not known of the ways that current can take."""
    if isinstance(flows.site.supply, Unknown):
        yield "the supply"
    for obj in flows.objects.values():
        for key in DECIDES:
            said = getattr(obj, key, None)
            for value in said if isinstance(said, tuple) else (said,):
                if isinstance(value, Unknown):
                    yield value.what or f"{key} of {obj.id}"


def _lines(flows: Flows, situation: Situation) -> Iterator[str]:
    yield situation.words + (f" (turned off: {', '.join(situation.opened) or 'nothing, no switch of its own is in the file'})" if situation.source else "")
    boards = [node for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Board)]
    for board in boards:
        yield from _board(flows, board, situation.mode)
    if situation.source:
        yield from _at_source(flows, situation)


def _board(flows: Flows, board: str, mode: Mode) -> Iterator[str]:
    """From what a board is live, through which devices, and its N–E links; phases that agree are named together."""
    ways: dict[str, list[str]] = {}
    for phase in phase_names(flows.phases_at(board)):
        if flows.live(board, bits([phase]), mode):
            ways.setdefault(_from(flows, board, bits([phase]), mode), []).append(phase)
    if not ways:
        yield f"  {board}: no source reaches it"
        return
    yield f"  {board}: live"
    yield from (f"    {' '.join(phases)} from {way}" for way, phases in ways.items())
    links = _links(flows, board, mode)
    yield f"    N–E links: {', '.join(links)}" if links else "    N–E links: NONE, a fault to earth trips nothing here"


def _from(flows: Flows, board: str, conductor: int, mode: Mode) -> str:
    net = flows.net(conductor, mode)
    ways = {source: dict.fromkeys([*reversed(net.path(board, source)), *net.path(source, board)]) for source in flows.reaching(board, conductor, mode)}
    return "; ".join(_through(flows, source, list(way)) for source, way in ways.items())


def _through(flows: Flows, source: str, way: list[str]) -> str:
    """A source with the devices that every way from it leads through; a changeover by its own id."""
    devices = [node if isinstance(flows.obj(node), Switching) else node.partition(".")[0] for node in way
               if isinstance(flows.obj(node), Switching) or isinstance(flows.objects.get(node.partition(".")[0]), Changeover)]
    return source + (f" through {', '.join(dict.fromkeys(devices))}" if devices else "")


def _links(flows: Flows, board: str, mode: Mode) -> tuple[str, ...]:
    """The N–E links of the neutral of a board in its PE-connected part."""
    net = flows.net(N, mode)
    for part in earthed_parts(flows):
        if board in part.nodes:
            return next((n.links for n in links_of(part, flows, mode) if net.joined(n.node, board)), ())
    return ()


def _at_source(flows: Flows, situation: Situation) -> Iterator[str]:
    """What still reaches the isolated source, what is left of it outside, and what stays live on its direct-current side."""
    source = situation.source
    nodes = [node for node in (source, f"{source}.grid", f"{source}.backup", f"{source}.out") if node in flows.graph]
    phases = [bits([name]) for name in phase_names(PHASES)]
    others = {other for node in nodes for phase in phases for other in flows.reaching(node, phase, situation.mode) if other != source}
    boards = [node for node, obj in flows.graph.nodes(data="obj") if isinstance(obj, Board)]
    fed = [board for board in boards if any(source in flows.reaching(board, phase, situation.mode) for phase in phases)]
    faults = [f"{', '.join(sorted(others))} can feed it"] * bool(others) + [f"it can feed {', '.join(fed)}"] * bool(fed)
    yield f"  {source}: " + (f"NOT ISOLATED, {'; '.join(faults)}" if faults else "no other source reaches it, and it reaches no board; it may be live by itself")
    direct = next(s.direct_current for s in source_switches(flows) if s.source == source)
    yield from (f"  {leaf}: STAYS LIVE as far as {node or f'{source}, no direct-current switch in the file'}" for node, leaf in direct)
