# SPDX-License-Identifier: MIT
"""The survey list names each fact that operators ask for and the file leaves out.

What is asked for: Western Power, page on technical diagrams for inverter energy systems (protective devices, inverters, size and length of cables);
energy of storage: common practice, no source.
"""
from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from schedules.render import render
from topology.flow import Flows
from topology.read import read_bytes
from topology.unsaid import unsaid_facts

BASE = (Path(__file__).parent / "checks/bases/works.yaml").read_text(encoding="utf-8").replace(
    "[breaker: 63 A C 3P 6 kA]", "[breaker: 63 A C 3P 6 kA, cable: {id: W9, parts: [25 mm² 4C+6E Cu XLPE 7 m in conduit]}]").replace(
    "kind: storage, power: 10 kVA", "kind: storage, energy: 20 kWh, power: 10 kVA")
LEFT_OUT = [("{id: QB, rating: 50 A C 2P 6 kA}", "{id: QB, poles: 2P, curve: C, breaking: 6 kA}", "rating of QB"),
            ("{id: QB, rating: 50 A C 2P 6 kA}", "{id: QB, rating: 50 A C 6 kA}", "poles of QB"),
            ("{id: QB, rating: 50 A C 2P 6 kA}", "{id: QB, rating: 50 A 2P 6 kA}", "curve of QB"),
            ("{id: QB, rating: 50 A C 2P 6 kA}", "{id: QB, rating: 50 A C 2P}", "breaking capacity of QB"),
            ("32 A C 3P+N 30 mA type A 6 kA", "32 A C 3P+N type A 6 kA", "rated residual current of FR"),
            ("32 A C 3P+N 30 mA type A 6 kA", "32 A C 3P+N 30 mA 6 kA", "type of FR"),
            ("25 mm² 4C+6E", "4C+6E", "cross-section of W9.cable_part"), ("25 mm² 4C+6E", "25 mm²", "cores of W9.cable_part"),
            ("Cu XLPE", "XLPE", "conductor material of W9.cable_part"), ("XLPE 7 m", "XLPE", "length of W9.cable_part"),
            ("energy: 20 kWh, ", "", "usable energy of type bank"), ("energy: 20 kWh, power: 10 kVA", "energy: 20 kWh", "rated power of type bank"),
            ("kind: inverter, power: 30 kVA", "kind: inverter", "rated power of type large")]


def listed(flows: Flows) -> list[dict[str, str]]:
    """The rows of the survey list; a row names the fact alone where its id says of what."""
    return list(csv.DictReader(io.StringIO(render(flows, ["csv"])["survey.csv"].decode())))


def _flows(old: str = "", new: str = "") -> Flows:
    assert not old or BASE.count(old) == 1, old
    return Flows(read_bytes((BASE.replace(old, new) if old else BASE).encode()))


def test_a_site_that_says_everything_lacks_nothing() -> None:
    assert list(unsaid_facts(_flows())) == []


@pytest.mark.parametrize(("old", "new", "what"), LEFT_OUT, ids=lambda text: text if " of " in text else "")
def test_each_fact_that_is_left_out_stands_on_the_survey_list(old: str, new: str, what: str) -> None:
    flows = _flows(old, new)
    assert [unknown.what for _, unknown in unsaid_facts(flows)] == [what]
    fact, _, thing = what.rpartition(" of ")
    assert [row for row in listed(flows) if what == row["what"] or (thing.partition(".")[0], fact) == (row["id"], row["what"])]


def test_what_is_tbc_is_on_the_list_once() -> None:
    flows = _flows("25 mm² 4C+6E Cu XLPE 7 m", "25 mm² 4C+6E Cu XLPE TBC")
    assert list(unsaid_facts(flows)) == []
    assert [row["what"] for row in listed(flows) if row["id"] == "W9"] == ["length"]


def test_the_distributors_devices_and_removed_ones_are_not_asked() -> None:
    assert list(unsaid_facts(_flows("{id: SF, rating: 100 A gG, owner: distributor}", "{id: SF, owner: distributor}"))) == []
    assert list(unsaid_facts(_flows("{id: QB, rating: 50 A C 2P 6 kA}", "{id: QB, rating: 50 A C 2P, status: removed}"))) == []
