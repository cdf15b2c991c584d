# SPDX-License-Identifier: MIT
"""Room on a board: what the circuit schedule says is left, counted by hand at one module a pole (common practice, no source)."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules.circuits import circuits
from topology.errors import Unknown
from topology.flow import Flows
from topology.read import read_bytes

HOUSE = (Path(__file__).parent / "checks/bases/house.yaml").read_text(encoding="utf-8")


def left(rows: str, old: str = "", new: str = "") -> object:
    """What the schedule says is left on the solar board: a main switch and four breakers of two poles."""
    assert HOUSE.count("    ways: 8\n") == 1 and (not old or HOUSE.count(old) == 1)
    text = HOUSE.replace("    ways: 8\n", f"    ways: 8\n    modules: {rows}\n" if rows else "    ways: 8\n").replace(old, new)
    table = circuits(Flows(read_bytes(text.encode())))
    at = {column.heading: n for n, column in enumerate(table.columns)}
    found = [row.cells[at["modules"]] for row in table.rows if row.cells[at["name"]] == "modules left" and row.cells[at["board"]] == "SB"]
    assert len(found) <= 1
    return found[0] if found else None


@pytest.mark.parametrize(("rows", "modules"), [("18", "8"), ("10", "none"), ("9", "none"), ("", None)])
def test_the_schedule_says_what_is_left_of_the_rows(rows: str, modules: str | None) -> None:
    assert left(rows) == modules


def test_a_device_that_takes_one_or_two_leaves_more_or_less() -> None:
    assert left("18", "{way: 4, in_line: [breaker: 16 A C 2P 6 kA]", "{way: 4, in_line: [breaker: 16 A C 1P+N 6 kA]") == "8 to 9"


@pytest.mark.parametrize(("rows", "new"), [("TBC", "16 A C 2P 6 kA"), ("18", "16 A C 6 kA")])
def test_nothing_is_said_where_rows_or_poles_are_open(rows: str, new: str) -> None:
    old = "{way: 4, in_line: [breaker: 16 A C 2P 6 kA]"
    assert isinstance(left(rows, old, old.replace("16 A C 2P 6 kA", new)), Unknown)
