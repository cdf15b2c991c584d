# SPDX-License-Identifier: MIT
"""Our walks against those of networkx."""
from __future__ import annotations

import random

import networkx as nx
import pytest
from topology.walks import connected, preorder


def some_graph(seed: int) -> nx.MultiGraph:
    """Parts, loops, several lines between the same two."""
    r = random.Random(seed)
    graph = nx.MultiGraph()
    names = [f"n{n}" for n in range(r.randrange(1, 30))]
    graph.add_nodes_from(r.sample(names, r.randrange(len(names))))
    graph.add_edges_from((r.choice(names), r.choice(names)) for _ in range(r.randrange(40)))
    return graph


@pytest.mark.parametrize("seed", range(40))
def test_parts_and_depth_first_order_are_those_of_networkx(seed: int) -> None:
    graph = some_graph(seed)
    assert [set(part) for part in connected(graph)] == list(nx.connected_components(graph))
    for node in graph:
        assert preorder(graph, node) == list(nx.dfs_preorder_nodes(graph, node))
