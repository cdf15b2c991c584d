# SPDX-License-Identifier: MIT
"""What the checks of busbars share: the connections of a board's busbar in their order, with what each can give and take."""
from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from ..busbar import Tap
from ..chains import Chain, Circuit
from ..conductors import bits, phase_names
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..generation import given_by, parallel_sources
from ..kinds import Said
from ..site import Board, Controller, Device, Load, Source, Storage, Supply

__all__ = ["Feed", "feed_of", "has_sources", "phases_of_bar", "source_amperes", "sources_of", "taps_of"]


@dataclass(frozen=True)
class Feed:
    """How a board is fed: through which device that limits the current, and its rating [A]."""

    id: str
    rating: float


def phases_of_bar(board: Board, site: Flows) -> tuple[str, ...]:
    """The phases that arrive at a board."""
    return phase_names(site.phases_at(board.id)) if board.id in site.graph else ()


def has_sources(board: Board, site: Flows, phase: str) -> bool:
    """Whether a source stands behind some circuit of a board on a phase."""
    return any(sources_of(circuit, site, phase) for circuit in board.circuits)


def feed_of(board: Board, site: Flows) -> Feed | None:
    """The nearest device before a board that limits the current, else the allocation; None where nothing feeds it.

    Raises CannotTell where its rating is not known. A board with several feeds counts the largest.
    """
    found: list[Feed] = []
    for feed in site.feeds_of(board.id):
        device = next((site.obj(n) for n in feed if isinstance(site.obj(n), Device) and site.obj(n).limits_current), None)
        if device is not None:
            found.append(Feed(device.id, device.rating + 0))
        elif isinstance(site.obj(feed[-1]), Supply):
            found.append(Feed(feed[-1], site.obj(feed[-1]).allocation + 0))
        else:
            raise CannotTell(Unknown(board.mark, f"device before {board.id}"))
    return max(found, key=lambda f: f.rating, default=None)


def taps_of(board: Board, site: Flows, phase: str) -> list[Tap]:
    """The connections of a busbar on one phase: the feed first, then the circuits in the order of their ways. Raises CannotTell."""
    feed = feed_of(board, site)
    taps = [] if feed is None else [Tap(feed.id, feed.rating, feed.rating)]
    circuits = sorted(board.circuits, key=lambda c: math.inf if isinstance(c.way, Unknown | None) else c.way.first)
    for circuit in circuits:
        gives, takes = _through(circuit, site, phase) if _on(circuit, site, phase) else (0.0, 0.0)
        if gives == math.inf:
            raise CannotTell(Unknown(circuit.mark, f"device that limits the current of {circuit.id}"))
        if gives or takes:
            taps.append(Tap(circuit.id, gives, takes))
    return taps


def _first(circuit: Chain, site: Flows) -> str:
    """The first node of a circuit behind the bar, empty where there is none."""
    for item in circuit.in_line:
        if getattr(item, "id", "") in site.graph:
            return str(item.id)
    end = circuit.feeds or circuit.load
    node = end.id if isinstance(end, Said) or hasattr(end, "id") else f"{circuit.id}.bar"
    return node if node in site.graph else ""


def sources_of(circuit: Chain, site: Flows, phase: str) -> list[str]:
    """Sources behind the first device of a circuit on one phase."""
    return _sources_through(site, bits([phase])).get(_first(circuit, site), [])


def _sources_through(site: Flows, conductor: int) -> dict[str, list[str]]:
    """For each node the sources whose every path to the point of supply leads through it, the source itself included; worked out once."""
    key = ("sources through", conductor)
    if key not in site.memo:
        found: dict[str, list[str]] = {}
        net = site.net(conductor)
        for source in parallel_sources(site) if site.root is not None else ():
            if site.uses(source, conductor):
                for node in net.path(site.root, source):
                    found.setdefault(node, []).append(source)
        site.memo[key] = found
    return site.memo[key]  # type: ignore[no-any-return]


def _through(chain: Chain, site: Flows, phase: str) -> tuple[float, float]:
    """The most that a circuit can give to its bar and take from it [A]: by the devices in line, and by what stands behind them."""
    limit = min((device.rating + 0 for device in chain.in_line if isinstance(device, Device) and device.limits_current), default=math.inf)
    gives, takes = _end(chain, site, phase)
    return min(limit, gives), min(limit, takes)


def _end(chain: Chain, site: Flows, phase: str) -> tuple[float, float]:
    """The same for what a chain leads to, without its own devices."""
    end: Any = chain.feeds if chain.feeds is not None else chain.load
    if isinstance(end, Unknown):
        raise CannotTell(end)
    if isinstance(end, Load):
        spare = isinstance(end.kind, str) and end.kind == "spare"
        return 0.0, 0.0 if spare else math.inf
    if isinstance(end, Source):
        return (math.inf if site.uses(end.id, bits([phase])) else 0.0), (math.inf if isinstance(end, Storage) else 0.0)
    if isinstance(end, Said):
        target = site.objects.get(end.id)
        alone = isinstance(target, Controller)
        return (math.inf if not alone and sources_of(chain, site, phase) else 0.0), math.inf
    inner = [_through(c, site, phase) for c in chain.circuits if isinstance(c, Circuit) and _on(c, site, phase)]
    return math.fsum(g for g, _ in inner), math.fsum(t for _, t in inner)


def _on(circuit: Circuit, site: Flows, phase: str) -> bool:
    first = _first(circuit, site)
    return bool(first) and bool(site.phases_at(first) & bits([phase]))


def source_amperes(board: Board, circuit: Circuit, site: Flows, phase: str) -> float:
    """Rated current on one phase of all sources behind a circuit [A]. Raises CannotTell where a rating or the voltage is not known."""
    supply = site.site.supply
    if isinstance(supply, Unknown) or isinstance(supply.system, Unknown) or isinstance(supply.system.voltage, Unknown):
        raise CannotTell(Unknown(board.mark, "voltage of the supply"))
    u0 = min(supply.system.voltage)
    given = [given_by(site, node) for node in sources_of(circuit, site, phase)]
    return math.fsum(s.nameplate / (len(s.phases) * u0) for s in given)
