# SPDX-License-Identifier: MIT
"""Each requirement of an operator, inspector or colleague, and each mistake that is known, is answered by something that exists or says why not."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules.render import render
from sld.files import diagrams
from sld.cli import papers
from topology.coverage import LINES, Row, coverage, coverage_text, lines_for, planned
from topology.faults import FAULTS
from topology.flow import Flows
from topology.read import read_file
from topology.rule import RULES

ROWS = {"A": 12, "S": 8, "B": 12, "G": 11, "P": 7, "T": 9, "N": 9, "E": 8, "L": 14, "C": 8, "Q": 6, "D": 9, "M": 33}
"""How many rows each table of requirements has, and how many mistakes are listed (our own list, after published complaints of operators and regulators)."""


NAMES = {"single-line", "bus", "sensors", "boards", "earthing", "circuits", "cables", "equipment", "buses", "terminations", "protection", "labels", "tests",
         "connection", "survey", "differences", "sheet", "report", "set"}
"""What the program makes, by the names of the contract."""
PAPERS = papers()
OUTSIDE = {"danger-limit-lifted", "limit-override-idle"}
"""Checks of the site file itself, which stand in no table."""


def test_every_row_of_every_table_and_every_mistake_is_there_once() -> None:
    assert [row.id for row in coverage()] == [f"{letter}{n}" for letter, number in ROWS.items() for n in range(1, number + 1)]


@pytest.mark.parametrize("row", coverage(), ids=lambda row: row.id)
def test_each_row_has_a_check_or_says_why_a_model_cannot_decide_it(row: Row) -> None:
    assert row.checks or row.made or row.why
    assert bool(row.made) == bool(row.by) and set(row.by) <= NAMES
    assert bool(row.why) == bool(row.line) and (not row.line or row.line in LINES)
    for name in row.checks:
        assert name in RULES or name in FAULTS or name in planned(), name


def test_what_is_not_written_yet_is_said_so_on_its_line() -> None:
    for line, row in zip(coverage_text(PAPERS).splitlines(), coverage(), strict=True):
        assert line.startswith(f"{row.id}\t{row.row}\t")
        for name in row.checks:
            assert (f"{name} (not yet: issue " in line) == (name not in RULES and name not in FAULTS)
        for name in row.by:
            assert (f"{name} (not yet)" in line) == (name not in PAPERS)


def test_every_check_answers_some_row_or_stands_outside_the_tables() -> None:
    answered = {name for row in coverage() for name in row.checks}
    assert set(planned()) <= answered
    assert set(RULES) - answered <= OUTSIDE


def test_what_is_called_a_paper_is_made_for_the_gallery() -> None:
    flows = Flows(read_file(Path(__file__).parents[1] / "gallery/boathouse/site.yaml"))
    files = {*diagrams(flows, ["scene"]), *render(flows, ["csv"])}
    made = {name.removesuffix(".scene.json").removesuffix(".csv") for name in files}
    assert PAPERS - {"sheet", "report", "set"} == made


def test_lines_of_the_records_are_handed_over_in_order() -> None:
    assert [row.id for row in lines_for("survey list")] == ["S6", "S7", "D2", "M23"]
    assert all(row.why for record in LINES for row in lines_for(record))
