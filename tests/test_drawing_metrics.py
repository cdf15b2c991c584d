# SPDX-License-Identifier: MIT
"""The published table of what is measured on drawings: it is that of the files beside it, nothing in it is wrong, and the measures see faults."""
from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from drawing_metrics import crossings, filled, measured, metrics_page, straightened

PAGE = Path(__file__).parents[1] / "gallery/metrics.md"
CLEAN: dict[str, Any] = {
    "frame": [0, 0, 100, 100], "keepouts": [[60, 60, 100, 100]], "areas": [],
    "symbols": [{"id": "a", "kind": "breaker", "bbox": [20, 20, 30, 30]}, {"id": "b", "kind": "load", "bbox": [20, 50, 30, 58]}],
    "wires": [{"id": "w", "kind": "power", "net": None, "ends": ["a", "b"], "points": [[25, 30], [25, 50]]}],
    "labels": [{"id": "t", "of": "a", "bbox": [32, 22, 40, 25], "inside": False}]}
"""a sheet on which all is well [mm]"""


def changed(list_: str, **more: Any) -> dict[str, Any]:
    """The clean sheet with one thing more."""
    return {**CLEAN, list_: [*CLEAN[list_], more]}


def bus(*points: list[float], **more: Any) -> dict[str, Any]:
    return changed("wires", **{"id": "v", "kind": "bus", "net": None, "ends": [], "points": list(points), **more})


def test_the_published_table_is_that_of_the_files() -> None:
    assert PAGE.read_text(encoding="utf-8") == metrics_page()  # else: python tests/drawing_metrics.py > gallery/metrics.md


def test_no_drawing_of_the_gallery_has_a_fault_an_unclear_text_or_a_bus_across_power() -> None:
    rows = [[cell.strip() for cell in line.split("|")[1:-1]] for line in metrics_page().splitlines() if line.startswith("| ") and " × A" in line]
    assert len(rows) > 60
    for name, _, symbols, faults, unclear, _, across, _, _, least in rows:
        assert int(symbols) > 0 and (faults, unclear, across) == ("0", "0", "0"), name
        assert float(least) >= 2.5, name  # the least height on paper of the ISO 3098 series that is legible on A3: common practice


def test_a_clean_sheet_counts_nothing() -> None:
    assert measured(CLEAN) == {"symbols": 2, "faults": 0, "unclear": 0, "crossings": 0, "power_bus": 0, "bends": 0}


@pytest.mark.parametrize(("sheet", "name", "count"), [
    (bus([10, 40], [40, 40]), "crossings", 1),
    (bus([10, 40], [40, 40]), "power_bus", 1),
    (bus([10, 40], [40, 40], kind="lead"), "power_bus", 0),
    (bus([10, 40], [25, 40]), "crossings", 0),
    (bus([40, 10], [40, 25], [90, 25], kind="power"), "bends", 1),
    (bus([40, 10], [70, 10], [90, 10], kind="power"), "bends", 0),
    (changed("labels", id="u", of="a", bbox=[22, 22, 28, 25], inside=False), "faults", 1),
    (changed("labels", id="u", of="a", bbox=[32, 55, 38, 58], inside=False), "faults", 1),
    (changed("labels", id="u", of="a", bbox=[32, 38, 38, 41], inside=False), "unclear", 0),
    (changed("labels", id="u", of="a", bbox=[31, 46, 38, 49], inside=False), "faults", 1),
    (changed("symbols", id="c", kind="load", bbox=[55, 55, 65, 65]), "faults", 1),
    (changed("symbols", id="c", kind="load", bbox=[95, 20, 105, 30]), "faults", 1),
])
def test_each_fault_is_counted_once(sheet: dict[str, Any], name: str, count: int) -> None:
    assert measured(sheet)[name] == count


def test_a_text_between_two_symbols_belongs_to_the_nearer_one() -> None:
    near = changed("labels", id="u", of="a", bbox=[20, 38, 24, 41], inside=False)
    assert measured(near)["unclear"] == 0
    assert measured({**near, "labels": [{"id": "u", "of": "a", "bbox": [19, 38.5, 24, 47], "inside": False}]})["unclear"] == 1


def test_wires_of_one_net_do_not_cross() -> None:
    from types import SimpleNamespace as Wire
    level, upright = (Wire(net="n", points=points) for points in ([(0, 5), (9, 5)], [(5, 0), (5, 9)]))
    assert list(crossings([level, upright])) == []
    upright.net = "m"
    assert list(crossings([level, upright])) == [(level, upright)]


def test_filling_grows_with_what_is_drawn_and_ends_at_a_hundred_per_cent() -> None:
    empty = {**CLEAN, "symbols": [], "wires": [], "labels": [], "keepouts": []}
    assert filled(empty) == 0 and filled({**empty, "keepouts": [[0, 0, 100, 100]]}) == 100
    assert 0 < filled(CLEAN) < filled(bus([0, 5], [99, 5])) < 100


def test_a_straight_line_of_several_pieces_has_no_bend() -> None:
    assert straightened([(0, 0), (5, 0), (9, 0)]) == [(0, 0), (9, 0)]
    assert straightened([(0, 0), (5, 0), (5, 9)]) == [(0, 0), (5, 0), (5, 9)]
