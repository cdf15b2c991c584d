# SPDX-License-Identifier: MIT
"""Each quantity of the long runs is made TBC in turn: what rests on it must say that it cannot be told, and never print a number.

Law: a cell that another value of a quantity changes rests on that quantity. Four-wire voltages elsewhere are left out: the report says how
cables that are not known count in them.
"""
from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from schedules.cables import cables
from schedules.circuits import circuits
from schedules.computed import CANNOT_TELL, COMPUTED, MISSING
from topology.assumed import assumptions
from topology.flow import Flows
from topology.read import read_bytes

TEXT = (Path(__file__).parents[1] / "gallery" / "longrun" / "site.yaml").read_text(encoding="utf-8")
TOKEN = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) ?(mm²|kW|ohm|kA|m)(?![\w²/])")
NEXT = dict(zip((1.5, 2.5, 4, 6, 10, 16, 35, 50), (2.5, 4, 6, 10, 16, 25, 50, 70), strict=True))
PLACES = [m for m in TOKEN.finditer(TEXT) if "#" not in TEXT[:m.start()].rsplit("\n", 1)[-1]
          and not re.search(r"lead: $|length: $|limits|allocation", TEXT[max(0, m.start() - 8):m.start()])]


def _cells(text: str) -> dict[tuple[str, ...], str]:
    """Computed cells of the circuit and the cable schedule by table, row, part and heading; none of a file that is refused."""
    read = read_bytes(text.encode())
    if any(f.severity == "error" for f in read.findings):
        return {}
    flows = Flows(read)
    found = {}
    for table in (circuits(flows), cables(flows)):
        for row in table.rows:
            for column, cell in zip(table.columns, row.cells, strict=True):
                if column.part == COMPUTED and column != MISSING and "four-wire" not in column.heading:
                    found[table.name, str(row.cells[0]), str(row.cells[1]), column.heading] = str(cell)
    return found


@cache
def _base() -> dict[tuple[str, ...], str]:
    return _cells(TEXT)


@pytest.mark.parametrize("place", PLACES[::3], ids=lambda m: f"{m[0]} at {m.start()}")
def test_what_rests_on_a_quantity_is_not_told_without_it(place: re.Match[str]) -> None:
    value = float(place[1])
    other = f"{NEXT[value]:g} mm²" if place[2] == "mm²" else f"{value * 1.4:g} {place[2]}"
    without, changed = (_cells(TEXT[:place.start()] + said + TEXT[place.end():]) for said in ("TBC", other))
    assert without and changed
    for key, told in without.items():
        if told not in (CANNOT_TELL, "None"):
            assert told == _base()[key], key
            assert changed.get(key) in (told, CANNOT_TELL), key


def test_there_are_quantities_enough_to_try() -> None:
    assert len(PLACES) > 40
    assert sum(cell == CANNOT_TELL for cell in _base().values()) < len(_base()) / 100


def test_the_report_says_how_cables_and_devices_count_that_are_not_known() -> None:
    said = list(assumptions(Flows(read_bytes(TEXT.replace("50 mm² 4C+16E", "TBC 4C+16E").replace("50 A C 4P", "TBC C 4P").encode()))))
    assert any(text.startswith("four-wire voltages elsewhere are those without the impedance of W2, which is not known") for text in said)
    assert any(text.startswith("what MSB.7.breaker would let through is not known") for text in said)
    assert not any("is not known" in text and "W2" in text for text in assumptions(Flows(read_bytes(TEXT.encode()))))
