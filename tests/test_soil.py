# SPDX-License-Identifier: MIT
"""Installations on an electrode of their own (TT): which parts of a site they are, and what the test record asks of the electrode."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from schedules.circuits import circuits
from schedules.tests import tests as record
from topology.electrical import solve
from topology.electrical.working import working
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import check
from topology.soil import brings_neutral_only, soil_part

BASES = Path(__file__).parent / "checks/bases"


def flows_of(base: str, *changes: tuple[str, str]) -> Flows:
    text = (BASES / f"{base}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode()))


def rows(flows: Flows, test: str) -> dict[str, tuple[object, ...]]:
    table = record(flows)
    at = [column.heading for column in table.columns].index("test")
    return {str(row.cells[0]): row.cells for row in table.rows if row.cells[at] == test}


@pytest.mark.parametrize(("residual", "ohm"), [("30 mA", "1667"), ("100 mA", "500"), ("300 mA", "167")])
def test_the_record_asks_the_electrode_for_what_public_tables_of_residual_current_devices_print(residual: str, ohm: str) -> None:
    """1667, 500 and 167 ohm stand in public tables (50 V over the rated residual current, IEC 60364-4-41, 411.5.3)."""
    flows = flows_of("tt", ("300 mA", residual), ("30 mA type A 6 kA", "10 mA type A 6 kA"))
    assert f"≤ {ohm} ohm" in rows(flows, "earth electrode")["MET.electrode"]


def test_the_circuit_schedule_says_what_the_residual_current_device_allows_and_not_what_the_breaker_would() -> None:
    """1667 ohm for 30 mA and 167 ohm for 300 mA in public tables; a circuit without such a device keeps the limit of its breaker (B 6 A: 7.28 ohm)."""
    bare = ("rcbo: {id: F2, rating: 6 A B 1P+N 30 mA type A 6 kA}", "breaker: {id: F2, rating: 6 A B 1P+N 6 kA}")
    table = circuits(flows_of("tt", bare))
    at = [column.heading for column in table.columns].index("loop at most")
    most = {str(row.cells[0]): row.cells[at] for row in table.rows if row.cells[at] is not None}  # a board's incoming row has none
    assert most == {"CU.1": pytest.approx(1667, abs=0.5), "CU.2": pytest.approx(7.28, abs=0.005), "CU.3": pytest.approx(167, abs=0.5),
                    "GB.1": pytest.approx(167, abs=0.5)}
    assert any("loop at most" in note for note in table.notes)


@pytest.mark.parametrize(("place", "wanted"), [("CU.1.load", "1667"), ("GB.1.load", "167")])
def test_the_working_of_a_place_says_what_the_electrode_may_resist_and_not_what_the_breaker_would(place: str, wanted: str) -> None:
    """1667 ohm for 30 mA and 167 ohm for 300 mA in public tables; a circuit without such a device keeps the limit of its breaker (B 6 A: 7.28 ohm)."""
    loop = ("largest: 3 kA at point of supply", "largest: 3 kA at point of supply, loop: 21 ohm measured at CU")
    flows = flows_of("tt", loop)
    text = working(flows, solve(flows), place)
    assert f"= {wanted} ohm (IEC 60364-4-41, 411.5.3)" in text
    assert not re.search(r"^  Zs .*at most", text, re.M)
    bare = flows_of("tt", loop, ("rcbo: {id: F2, rating: 6 A B 1P+N 30 mA type A 6 kA}", "breaker: {id: F2, rating: 6 A B 1P+N 6 kA}"))
    assert re.search(r"^  Zs .*at most 7\.28", working(bare, solve(bare), "CU.2.load"), re.M)


def test_the_record_gives_no_limit_where_a_residual_current_is_not_known() -> None:
    assert not any("≤" in str(cell) for cell in rows(flows_of("tt", ("300 mA", "TBC")), "earth electrode")["MET.electrode"])


def test_the_record_has_no_loop_limit_where_the_electrode_decides() -> None:
    assert "by the electrode and the residual current device" in rows(flows_of("tt"), "earth fault loop")["CU.1"]
    assert not any("electrode" in str(cell) for cells in rows(flows_of("island"), "earth fault loop").values() for cell in cells)


def test_every_board_of_a_supply_that_brings_a_neutral_only_stands_on_the_electrode() -> None:
    flows = flows_of("tt")
    assert brings_neutral_only(flows)
    assert [soil_part(board, flows) is not None for board in ("CU", "GB")] == [True, True]


def test_a_linked_outbuilding_does_not_and_one_on_its_own_electrode_does() -> None:
    linked, alone = flows_of("yard"), flows_of(
        "yard", ("conductors: L1 L2 L3 PEN}, ne_link: {id: NE2, electrode: rod 6 mm²}]", "conductors: L1 L2 L3 N}]"),
        ("devices:\n", "earthing: {ME: {kind: main earth terminal, place: SH, electrode: rod 10 mm²}}\ndevices:\n"))
    assert soil_part("SH", linked) is None and soil_part("MSB", alone) is None
    assert soil_part("SH", alone) is not None


def test_the_earth_fault_current_through_the_electrode_is_what_heats_the_protective_conductor() -> None:
    """By hand: 1.05 × 230 V / 0.02 ohm = 12.1 kA for 1 s on copper in PVC (k = 115): 105 mm², while 80 ohm give 3 A."""
    flows = flows_of("tt", ("80 ohm", "0.02 ohm"))
    said = [f for f in check(flows.read).findings if f.rule == "protective-conductor-too-small"]
    assert said[0].numbers["heat"].value == pytest.approx(105, abs=0.5)
    assert not [f for f in check(flows_of("tt").read).findings if f.rule == "protective-conductor-too-small"]
