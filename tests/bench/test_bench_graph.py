# SPDX-License-Identifier: MIT
"""How long graph, questions and checks take from 20 to 20,000 objects (`pytest tests/bench --benchmark-only`).

`python tests/bench/test_bench_graph.py` prints the growth exponent of each step between the two largest sizes.
"""
from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any

import pytest
from sites import site
from topology import checks
from topology.collector import no_collection
from topology.conductors import L1, PE, N
from topology.earthed import earthed_parts, links_of
from topology.flow import Flows
from topology.graph import build_graph
from topology.read import ReadSite, read_bytes
from topology.rule import RULES, run_rules
from topology.site import CurrentTransformer

SIZES = [20, 200, 2000, 20_000]
_ = checks


def questions(read: ReadSite) -> int:
    """Every question that grows with the site: nets, what each sensor sees, what reaches each source, earthed parts in each mode."""
    with no_collection():
        return _ask_all(Flows(read))


def _ask_all(flows: Flows) -> int:
    found = sum(len(flows.seen_by(o, o.phase[0])) for o in flows.objects.values() if isinstance(o, CurrentTransformer) and o.measures != "grid")
    for mode in flows.modes:
        found += sum(flows.net(c, mode).joined(flows.root or "", n) for c in (L1, N, PE) for n in flows.graph)
        found += sum(len(links_of(part, flows, mode)) for part in earthed_parts(flows))
    return found


STEPS: dict[str, Callable[[ReadSite], Any]] = {"graph": build_graph, "questions": questions, "checks": lambda read: run_rules(Flows(read))}


@pytest.mark.parametrize("objects", SIZES)
@pytest.mark.parametrize("step", STEPS)
def test_growing_sites(benchmark: Any, step: str, objects: int) -> None:
    read = read_bytes(site(1, objects, 3).encode())
    assert RULES and read.findings == ()
    benchmark.pedantic(STEPS[step], (read,), rounds=3, iterations=1)


def _exponents() -> None:
    for name, step in STEPS.items():
        times = []
        for objects in SIZES:
            read = read_bytes(site(1, objects, 3).encode())
            runs = []
            for _ in range(3):
                start = time.process_time()
                step(read)
                runs.append(time.process_time() - start)
            times.append((len(read.objects), min(runs)))
        (n1, t1), (n2, t2) = times[-2:]
        print(f"{name:10s}", " ".join(f"{n} objects {1000 * t:.1f} ms" for n, t in times), f"exponent {math.log(t2 / t1) / math.log(n2 / n1):.2f}")


if __name__ == "__main__":
    _exponents()
