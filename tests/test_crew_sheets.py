# SPDX-License-Identifier: MIT
"""What the crew and the estimator read: terminations, sensors, cables, equipment and circuits, compared with the site by hand."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules import SCHEDULES
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"


def flows_of(name: str, *swaps: tuple[str, str]) -> Flows:
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode()))


def rows(name: str, flows: Flows, **wanted: str) -> list[dict[str, str]]:
    table = SCHEDULES[name](flows)
    found = [dict(zip((column.title for column in table.columns), texts, strict=True)) for texts in table.texts()]
    return [row for row in found if all(row[key.removesuffix("_")] == value for key, value in wanted.items())]


def test_a_phase_goes_past_the_link_between_neutral_and_earth_and_the_pen_ends_there() -> None:
    """Cottage: W1, link NE1, sensor CT1, main switch Q1 2P. A link joins neutral and earth; no phase touches it (IEC 60364-1, TN-C-S)."""
    found = rows("terminations", flows_of("cottage"), id="W1", end="to")
    assert [(r["conductor"], r["at"], r["terminal"]) for r in found] == [("L1", "Q1", "1"), ("PEN", "NE1", "PEN")]


def test_a_core_round_two_circuits_sees_the_sources_of_both() -> None:
    """part-sensors: CT2 goes round the circuits of INV1 and of INV2; a core sums the currents that pass through it (Ampère's law)."""
    found, = rows("sensors", flows_of("part-sensors"), id="CT2")
    assert (found["sources behind"], found["circuit"], found["also round"]) == ("INV1 INV2", "MSB.1", "CT2.2 in MSB.3")
