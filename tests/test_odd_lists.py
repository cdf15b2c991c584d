# SPDX-License-Identifier: MIT
"""Lists of sites with odd constructions: a generator's own cable, circuits behind a joint, a neutral left behind, switches without a name."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules import SCHEDULES
from schedules.render import render
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"


def flows_of(name: str) -> Flows:
    return Flows(read_bytes((GALLERY / name / "site.yaml").read_bytes()))


def rows(table: str, site: str) -> list[dict[str, str]]:
    made = SCHEDULES[table](flows_of(site))
    return [dict(zip((column.title for column in made.columns), texts, strict=True)) for texts in made.texts()]


def one(table: str, site: str, **wanted: str) -> dict[str, str]:
    found = [row for row in rows(table, site) if all(row[key] == value for key, value in wanted.items())]
    assert len(found) == 1, (wanted, found)
    return found[0]


def test_the_earth_of_a_generators_cable_ends_at_the_generator_and_not_at_its_circuit_breaker() -> None:
    # common practice, no source: a circuit-breaker has no terminal for the protective conductor
    assert one("terminations", "part-changeover", id="G1.out.cable", end="from", conductor="PE")["at"] == "G1"


@pytest.mark.parametrize("conductor", ["L1", "N", "PE"])
def test_a_cable_behind_a_joint_begins_at_the_joint(conductor: str) -> None:
    assert one("terminations", "part-local-bars", id="Y1.cable", end="from", conductor=conductor)["at"] == "J1"
    assert one("cables", "part-local-bars", id="Y1.cable")["from"] == "J1"


def test_a_neutral_that_was_left_behind_is_listed_at_the_bar_where_it_is() -> None:
    row = one("terminations", "part-neutral", id="NB.1.cable", end="from", conductor="N")
    assert (row["at"], row["terminal"]) == ("MSB", "neutral bar, left there")
    assert one("cables", "part-neutral", id="NB.1.cable")["conductors"] == "L3+PE; N left at MSB"


def test_the_shutdown_sequence_calls_a_switch_that_nobody_named_by_what_it_serves() -> None:
    steps = [row["words"] for row in rows("labels", "part-neutral") if row["label"] == "shutdown"]
    assert "Turn off isolator of BAT1, labelled INVERTER A.C. ISOLATOR" in steps
    assert not [words for words in steps if ".isolator" in words or ".breaker" in words]


def test_the_cable_of_a_generator_is_tested_and_its_changeover_too() -> None:
    done = {(row["id"], row["test"]) for row in rows("tests", "part-changeover")}
    assert {("G1.out", "insulation"), ("G1.out", "polarity"), ("G1.out", "protective conductor"), ("QA1", "interlock")} <= done
    assert ("G1", "transfer time") not in done, "a person starts this generator"


def test_a_generators_cable_reads_what_its_length_and_size_say() -> None:
    # 14 m of 6 mm² and 2.5 mm² copper at 20 °C; 3.08 and 7.41 ohm/km: IEC 60228, class 1 and 2, from memory
    expected = one("tests", "part-changeover", id="G1.out", test="protective conductor")["expected"]
    assert float(expected.split()[0]) == pytest.approx(0.014 * (3.08 + 7.41), abs=0.0005)


def test_behind_a_joint_the_whole_way_from_the_board_is_read_and_the_loop_is_asked() -> None:
    # 24 m of 10 mm² and 4 mm², 6 m of 4 mm² and 2.5 mm² copper at 20 °C; 1.83, 4.61, 7.41 ohm/km: IEC 60228, from memory
    expected = one("tests", "part-local-bars", id="Y1", test="protective conductor")["expected"]
    assert float(expected.split()[0]) == pytest.approx(0.024 * (1.83 + 4.61) + 0.006 * (4.61 + 7.41), abs=0.0005)
    assert one("tests", "part-local-bars", id="Y1", test="earth fault loop")["limit"].startswith("≤ ")


def test_a_circuit_to_a_board_that_its_curve_may_clear_slower_is_not_held_to_the_limit_of_tripping_at_once() -> None:
    # IEC 60364-4-41 clause 411.3.2.3: up to 5 s for a distribution circuit in TN
    assert one("tests", "part-coupler", id="MSB.4", test="earth fault loop")["limit"].startswith("by the device's curve")
    assert one("tests", "part-coupler", id="MSB.1", test="earth fault loop")["limit"].startswith("≤ ")


def test_a_warning_on_a_switch_is_not_given_as_its_name() -> None:
    text = (GALLERY / "cottage" / "site.yaml").read_text(encoding="utf-8").replace("profile: [au", "profile: [iec", 1)
    made = SCHEDULES["labels"](Flows(read_bytes(text.encode())))
    words = [dict(zip((column.title for column in made.columns), texts, strict=True))["words"] for texts in made.texts()]
    assert "Live parts may remain after isolation" in words
    assert not [step for step in words if "labelled Live parts" in step]


def test_an_isolator_at_the_far_end_is_not_named_by_the_way_of_its_board() -> None:
    steps = [row["words"] for row in rows("labels", "faulty-electrical") if row["label"] == "shutdown"]
    assert [words for words in steps if words.startswith("Turn off isolator of INV1")] and [words for words in steps if "isolator of INV2" in words]
    assert not [words for words in steps if "isolator SB way" in words]


def test_an_empty_list_says_why_it_is_empty() -> None:
    assert b"nothing is marked as new" in render(flows_of("part-coupler"), ["html"])["differences.html"]


def test_a_sensor_round_two_conductors_is_tested_for_its_direction_on_both() -> None:
    # law: the core adds the currents with the sign that each has through it
    assert one("tests", "part-sensors", id="CT2", test="sensor direction")["expected"].startswith("P1 to supply on each of the 2 conductors")
    assert "each of" not in one("tests", "part-sensors", id="CT1", test="sensor direction")["expected"]
