# SPDX-License-Identifier: MIT
"""The PE-connected parts of a site, and the N–E links that each of them has in each mode.

Parts are separated by cables that carry no PE; a PEN is no PE, the PE begins at the N–E link. In a part links are counted
for each neutral that is live in the mode: two neutrals that a changeover keeps apart may each have their own link.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import networkx as nx

from .conductors import PE, N
from .dataclass import dataclass
from .errors import Unknown
from .flow import Flows
from .modes import GRID, Mode
from .site import Changeover, Electrode, Generator, HybridInverter, Inlet, Load, NeutralEarthLink, Supply, System
from .walks import connected

__all__ = ["DISTRIBUTOR", "EarthedPart", "LinkedNeutral", "earthed_parts", "links_of", "pe_graph"]

DISTRIBUTOR = "the distributor"
"""Stands for the distributor's link among ids of N–E links"""


@dataclass(frozen=True)
class EarthedPart:
    """A PE-connected part. nodes: in the order of the graph; electrodes: ids; supplied: the distributor's PE leads to it."""

    nodes: tuple[str, ...]
    electrodes: tuple[str, ...]
    supplied: bool


@dataclass(frozen=True)
class LinkedNeutral:
    """A neutral of a part in a mode. node: the first one it serves; links: ids of N–E links; loads: how many loads it serves."""

    node: str
    links: tuple[str, ...]
    loads: int


def pe_graph(flows: Flows) -> nx.MultiGraph:
    """The protective conductors of a site: power and earth links that carry PE, with their keys. A PEN is none."""
    graph = nx.MultiGraph()
    for u, v, key, data in flows.graph.edges(keys=True, data=True):
        if data["layer"] in ("power", "earth") and data["obj"].conductors & PE:
            graph.add_edge(u, v, key)
    return graph


def earthed_parts(flows: Flows) -> tuple[EarthedPart, ...]:
    """The PE-connected parts, in the order of the graph. They are the same in every mode: no device opens PE."""
    if "earthed" not in flows.memo:
        flows.memo["earthed"] = _parts(flows)
    return flows.memo["earthed"]


def _parts(flows: Flows) -> tuple[EarthedPart, ...]:
    graph = pe_graph(flows)
    order = {node: n for n, node in enumerate(flows.graph)}
    parts = [sorted(part, key=order.__getitem__) for part in connected(graph)]
    return tuple(EarthedPart(tuple(part), tuple(n for n in part if isinstance(flows.obj(n), Electrode)), flows.root in part)
                 for part in sorted(parts, key=lambda part: order[part[0]]))


def links_of(part: EarthedPart, flows: Flows, mode: Mode = GRID) -> tuple[LinkedNeutral, ...]:
    """The live neutrals that serve loads in a part, each with its N–E links in a mode."""
    net = flows.net(N, mode)
    neutral_at = {node: net.part[net.index[node]] for node in part.nodes if node in flows.wires.neutral}
    links: dict[int, list[str]] = {}
    for name, piece in _links(part, flows, mode, neutral_at):
        links.setdefault(piece, []).append(name)
    first: dict[int, str] = {}
    loads: Counter[int] = Counter()
    for node, piece in neutral_at.items():
        first.setdefault(piece, node)
        loads[piece] += isinstance(flows.obj(node), Load)
    alive = {neutral_at[n] for n in neutral_at if isinstance(flows.obj(n), Load) and _live(n, flows, mode)}
    live = [piece for piece in first if piece in alive]
    return tuple(LinkedNeutral(first[piece], tuple(links.get(piece, ())), loads[piece]) for piece in live)


def _links(part: EarthedPart, flows: Flows, mode: Mode, neutral_at: dict[str, int]) -> Iterator[tuple[str, int]]:
    """N–E links that are closed in a mode, each with the piece of the neutral that it links."""
    net = flows.net(N, mode)
    for node in part.nodes:
        obj = flows.obj(node)
        if node in neutral_at and _closed(obj, mode):
            yield node, neutral_at[node]
    for obj in flows.objects.values():
        at = _relay_terminal(obj, mode)
        if at is not None and at in neutral_at:
            yield obj.id, neutral_at[at]
    if flows.root is not None and flows.root in flows.graph and _distributor_links(part, flows):
        yield DISTRIBUTOR, net.part[net.index[flows.root]]


def _closed(obj: Any, mode: Mode) -> bool:
    """Whether an object is an N–E link that is closed in a mode."""
    if isinstance(obj, NeutralEarthLink):
        return not isinstance(obj.closed, str) or obj.closed == "always" or mode.backup
    return isinstance(obj, Generator | Inlet) and obj.ne_link is True


def _relay_terminal(obj: Any, mode: Mode) -> str | None:
    """The terminal at which a device closes its N–E relay in backup."""
    if not isinstance(obj, HybridInverter | Changeover) or obj.ne_relay is not True or not mode.backup or isinstance(obj, Changeover) and mode.rests:
        return None
    return f"{obj.id}.backup" if isinstance(obj, HybridInverter) else f"{obj.id}.load"


def _distributor_links(part: EarthedPart, flows: Flows) -> bool:
    """Whether the distributor's own N–E link serves a part: by the PE it brings, or through the soil where it brings a neutral only (TT)."""
    if part.supplied:
        return True
    supply = flows.site.supply
    system = supply.system if isinstance(supply, Supply) else None
    known = isinstance(system, System) and not isinstance(system.code, Unknown)
    return known and system.code[1] == "N" and bool(part.electrodes)  # type: ignore[union-attr]


def _live(load: str, flows: Flows, mode: Mode) -> bool:
    """Whether a load has a live phase in a mode."""
    mask = flows.phases_at(load)
    return any(mask & bit and flows.live(load, bit, mode) for bit in (1, 2, 4))
