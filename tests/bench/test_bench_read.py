# SPDX-License-Identifier: MIT
"""How long reading takes (`pytest tests/bench --benchmark-only`)."""
from __future__ import annotations

from typing import Any

import pytest
from sites import site
from topology.read import read_bytes
from topology.yaml_reader import read_tree


@pytest.mark.parametrize("objects", [200, 2000])
def test_reading_a_site(benchmark: Any, objects: int) -> None:
    data = site(1, objects).encode()
    found = benchmark(read_bytes, data)
    assert found.findings == () and len(found.objects) >= objects


@pytest.mark.parametrize("objects", [200, 2000])
def test_reading_its_text_alone(benchmark: Any, objects: int) -> None:
    tree = benchmark(read_tree, site(1, objects).encode(), "s.yaml")
    assert tree.complete
