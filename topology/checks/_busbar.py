# SPDX-License-Identifier: MIT
"""What checks of busbars share: how a board is fed, and the sources behind its circuits."""
from __future__ import annotations

import math

from ..chains import Chain
from ..conductors import bits, phase_names
from ..dataclass import dataclass
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..generation import given_by, parallel_sources
from ..kinds import Said
from ..site import Board, Device, Supply

__all__ = ["Feed", "feed_of", "phases_of_bar", "source_amperes", "sources_of"]


@dataclass(frozen=True)
class Feed:
    """How a board is fed: through which device that limits the current, and its rating [A]."""

    id: str
    rating: float


def phases_of_bar(board: Board, site: Flows) -> tuple[str, ...]:
    """The phases that arrive at a board."""
    return phase_names(site.phases_at(board.id)) if board.id in site.graph else ()


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


def source_amperes(board: Board, circuit: Chain, site: Flows, phase: str) -> float:
    """Rated current on one phase of all sources behind a circuit [A]. Raises CannotTell where a rating or the voltage is not known."""
    supply = site.site.supply
    if isinstance(supply, Unknown) or isinstance(supply.system, Unknown) or isinstance(supply.system.voltage, Unknown):
        raise CannotTell(Unknown(board.mark, "voltage of the supply"))
    u0 = min(supply.system.voltage)
    given = [given_by(site, node) for node in sources_of(circuit, site, phase)]
    return math.fsum(s.nameplate / (len(s.phases) * u0) for s in given)
