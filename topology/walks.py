# SPDX-License-Identifier: MIT
"""Two walks over a graph without directions, written here so that a command does not load all algorithms of networkx for them."""
from __future__ import annotations

import networkx as nx

__all__ = ["connected", "preorder"]


def preorder(graph: nx.MultiGraph, start: str) -> list[str]:
    """What is joined to a node, depth first, in the order of the edges."""
    found: dict[str, None] = {}
    stack = [start]
    while stack:
        node = stack.pop()
        if node not in found:
            found[node] = None
            stack.extend(reversed(list(graph[node])))
    return list(found)


def connected(graph: nx.MultiGraph) -> list[list[str]]:
    """The nodes of each connected part, in the order of the graph."""
    parts: list[list[str]] = []
    seen: set[str] = set()
    for node in graph:
        if node not in seen:
            parts.append(preorder(graph, node))
            seen.update(parts[-1])
    return parts
