# SPDX-License-Identifier: MIT
"""Selectivity by ratings and bands: figures of IEC 60898-1, and laws."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules.protection import protection
from topology.flow import Flows
from topology.read import read_bytes
from topology.selectivity import holds_up_to, may_trip, needs_to_trip, starts_at
from topology.tables import shipped

TT = (Path(__file__).parent / "checks/bases/tt.yaml").read_text(encoding="utf-8")


def devices(**said: str) -> dict[str, object]:
    text = TT
    for id_, words in said.items():
        text = text.replace({"F3": "32 A B 2P", "F4": "16 A B 1P+N"}[id_], words)
    return dict(read_bytes(text.encode()).objects)


@pytest.mark.parametrize(("curve", "ampere"), [("B", 96), ("C", 160), ("D", 320)])
def test_a_breaker_of_32_a_may_open_at_once_from_the_lower_end_of_its_band_on(curve: str, ampere: float) -> None:
    """IEC 60898-1: B from 3, C from 5, D from 10 times the rated current."""
    assert starts_at(shipped(), devices(F3=f"32 A {curve} 2P")["F3"]) == ampere


def test_a_breaker_carries_1_13_and_opens_at_1_45_times_its_rating() -> None:
    """IEC 60898-1, conventional currents; a gG fuse of 60 A carries 1.25 and opens at 1.6 times (IEC 60269-1, from memory)."""
    found = devices()
    assert (may_trip(shipped(), found["F3"]), needs_to_trip(shipped(), found["F3"])) == (pytest.approx(36.16), pytest.approx(46.4))
    assert (may_trip(shipped(), found["SF"]), needs_to_trip(shipped(), found["SF"])) == (pytest.approx(75), pytest.approx(96))


def test_the_larger_the_device_before_the_further_the_one_behind_opens_alone() -> None:
    at = [holds_up_to(shipped(), devices(F3=words)["F3"], devices()["F4"]) for words in ("20 A B 2P", "32 A B 2P", "63 A B 2P", "63 A C 2P")]
    assert at == [0.0, 96.0, 189.0, 315.0]
    assert holds_up_to(shipped(), devices()["SF"], devices()["F3"]) is None  # a fuse: the makers' tables


def test_the_protection_schedule_says_with_what_and_how_far() -> None:
    table = protection(Flows(read_bytes(TT.encode())))
    heads = [column.heading for column in table.columns]
    rows = {row.cells[0]: dict(zip(heads, row.cells, strict=True)) for row in table.rows}
    assert (rows["F4"]["device before it"], rows["F4"]["selective with it up to"]) == ("F3", 96.0)
    assert (rows["F3"]["device before it"], rows["F3"]["selective with it up to"]) == ("SF", "maker's table")
    assert rows["SF"]["device before it"] is None and rows["R3"]["device before it"] is None
