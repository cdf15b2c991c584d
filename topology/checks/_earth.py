# SPDX-License-Identifier: MIT
"""What the checks of earthing share: the cables whose PE joins two N–E links."""
from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import networkx as nx

from ..earthed import EarthedPart, pe_graph
from ..flow import Flows
from ..site import Cable, NeutralEarthLink

__all__ = ["joining_cables", "joins_links"]


def joins_links(part: EarthedPart, links: Iterable[str], site: Flows) -> bool:
    """Whether the N–E links of a part are several only because a cable carries a PE between them."""
    fixed = [link for link in links if link in site.objects and isinstance(site.objects[link], NeutralEarthLink)]
    return len(fixed) > 1 and bool(joining_cables(fixed, site)) and bool(part.nodes)


def joining_cables(links: list[str], site: Flows) -> list[tuple[Cable, str, str]]:
    """For each two neighbouring links the cable nearest to the second one whose PE joins them."""
    graph = pe_graph(site)
    found = []
    for first, second in combinations(links, 2):
        path = nx.shortest_path(graph, first, second) if first in graph and second in graph and nx.has_path(graph, first, second) else []
        if any(link in path[1:-1] for link in links):
            continue
        runs = [_cable(u, v, site) for u, v in zip(path, path[1:], strict=False)]
        cables = [run for run in runs if run is not None]
        if cables:
            found.append((cables[-1], first, second))
    return found


def _cable(u: str, v: str, site: Flows) -> Cable | None:
    """The cable between two nodes, if it is one."""
    for a, b in ((u, v), (v, u)):
        for data in (site.graph.get_edge_data(a, b) or {}).values():
            if isinstance(data["obj"].run, Cable):
                return data["obj"].run
    return None
