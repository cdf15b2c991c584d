# SPDX-License-Identifier: MIT
"""The label schedule goes by the labels that profiles ask for."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules.render import render
from schedules.sourced import facts_of
from topology.flow import Flows
from topology.profiles import load_profile
from topology.read import read_bytes

ISLAND = (Path(__file__).parent / "checks/bases/island.yaml").read_text(encoding="utf-8")

def _rows(text: str) -> str:
    return render(Flows(read_bytes(text.encode())), ["csv"])["labels.csv"].decode()


@pytest.mark.parametrize("profile", ["au", "nz", "uk", "us"])
def test_every_label_of_a_profile_is_asked_for_by_some_row_of_that_profile(profile: str) -> None:
    wanted = {id_ for id_, entries in load_profile(profile).dated.items() if entries[-1].section == "label"}
    assert wanted
    assert wanted <= {row["entry"] for row in facts_of("labels") if profile in row["profile"].split()}


def test_a_label_that_the_site_does_not_want_is_left_out() -> None:
    without = ISLAND.replace("profile: [au]", "profile: [au]\nlimits_override: {label-backed-up-circuits: {value: no, reason: the whole board is named, "
                             "by: A. Example, role: licensed electrician, date: 2026-01-05}}")
    assert ",BACKUP," in _rows(ISLAND)
    assert ",BACKUP," not in _rows(without)


def test_a_site_that_shares_its_generation_says_so_at_the_main_board() -> None:
    shared = ISLAND.replace("profile: [au]", "profile: [au]\noperation: {shared: yes}")
    assert "Power-sharing device" in _rows(shared)
    assert "Power-sharing device" not in _rows(ISLAND)


def test_new_zealand_asks_for_words_on_back_feed() -> None:
    assert "may make this board live" in _rows(ISLAND.replace("[au]", "[nz]"))
    assert "may make this board live" not in _rows(ISLAND)
