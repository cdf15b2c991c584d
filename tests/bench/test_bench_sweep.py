# SPDX-License-Identifier: MIT
"""The sweep grows in proportion to the nodes (`pytest tests/bench --benchmark-only`)."""
from __future__ import annotations

import random
import time
from typing import Any

import pytest
from topology.sweep import Draw, Segment, balanced, sweep


def site(nodes: int) -> tuple[list[Segment | None], list[Draw]]:
    """A random radial site whose loads lower its voltages by a few per cent, whatever its size."""
    r = random.Random(nodes)
    depth = [0]
    segments: list[Segment | None] = [None]
    for node in range(1, nodes):
        parent = r.randrange(max(0, node - 40), node) if r.random() < 0.9 else r.randrange(node)
        depth.append(depth[parent] + 1)
        segments.append(Segment(parent, 0.02 / nodes + 0.005j / nodes, 0.02 / nodes + 0.005j / nodes))
    return segments, [Draw(r.randrange(nodes // 2, nodes), (r.randrange(3), 3), complex(200, 30)) for _ in range(nodes // 4)]


@pytest.mark.benchmark(timer=time.process_time)  # other work on the machine does not count
@pytest.mark.parametrize("nodes", [100, 1000, 10_000])
def test_sweep(benchmark: Any, nodes: int) -> None:
    segments, draws = site(nodes)
    found = benchmark(sweep, segments, draws, balanced(230))
    assert len(found.u) == nodes


def seconds(nodes: int) -> float:
    """Processor time of one round, the best of five; small sites are solved many times over, the clock of the processor being coarse."""
    segments, draws = site(nodes)
    best, again = float("inf"), max(1, 10_000 // nodes)
    for _ in range(5):
        start = time.process_time()
        rounds = sum(sweep(segments, draws, balanced(230)).rounds for _ in range(again))
        best = min(best, (time.process_time() - start) / rounds)
    return best


def test_ten_times_the_nodes_take_about_ten_times_as_long() -> None:
    """Growth as n^1.2 at the most over 100 to 10,000 nodes: 10^2.4 is 250; a quadratic method would take 10,000 times as long."""
    assert seconds(10_000) / seconds(100) < 250
