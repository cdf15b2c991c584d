# SPDX-License-Identifier: MIT
"""What a site file states once for all cables and circuit-breakers."""
from __future__ import annotations

import pytest
from topology.assumed import assumptions
from topology.errors import Unknown
from topology.flow import Flows
from topology.read import ReadSite, read_bytes

from sld.sheet_notes import notes

SITE = """
site: {name: Hut, work_begins: 2026-05-04}
%s
supply:
  system: 1/PEN AC 50 Hz 230 V
  in_line: [cable: {id: W1, parts: [16 mm² 2C 8 m, 16 mm² 2C XLPE 3 m]}, ne_link: {electrode: TBC}]
  feeds: MSB
boards:
  MSB:
    circuits:
      - {way: 1, in_line: [breaker: 16 A 1P, cable: 2.5 mm² 2C+2.5E 9 m], load: lighting}
      - {way: 2, in_line: [rcbo: 10 A B 1P+N 30 mA type A 10 kA, cable: 2.5 mm² 2C+2.5E Al on surface 9 m], load: lighting}
      - {way: 3, in_line: [breaker: TBC, cable: TBC], load: lighting}
%s
"""
STATED = "unless_stated: {cable: Cu PVC in conduit in air, breaker: C 6 kA}"


@pytest.fixture(scope="module", params=["before", "after"])
def read(request: pytest.FixtureRequest) -> ReadSite:
    texts = (STATED, "") if request.param == "before" else ("", STATED)
    return read_bytes((SITE % texts).encode())


def test_what_is_stated_for_all_holds_for_whatever_says_nothing_wherever_the_file_states_it(read: ReadSite) -> None:
    cable, breaker = read.objects["MSB.1.cable"], read.objects["MSB.1.breaker"]
    assert (cable.material, cable.insulation, cable.installed) == ("Cu", "PVC", ("in conduit", "in air"))
    assert (breaker.curve, breaker.breaking) == ("C", 6000.0)


def test_parts_of_a_cable_take_what_is_stated_for_cables(read: ReadSite) -> None:
    first, second = read.objects["W1"].runs
    assert (first.material, first.insulation, second.insulation) == ("Cu", "PVC", "XLPE")


def test_a_cable_or_breaker_that_says_otherwise_keeps_its_own(read: ReadSite) -> None:
    cable, rcbo = read.objects["MSB.2.cable"], read.objects["MSB.2.rcbo"]
    assert (cable.material, cable.insulation, cable.installed) == ("Al", "PVC", ("on surface",))
    assert (rcbo.curve, rcbo.breaking) == ("B", 10_000.0)


def test_what_is_tbc_stays_unknown(read: ReadSite) -> None:
    cable, breaker = read.objects["MSB.3.cable"], read.objects["MSB.3.breaker"]
    assert all(isinstance(value, Unknown) for value in (cable.material, cable.insulation, breaker.curve, breaker.breaking))


def test_it_is_a_note_on_the_drawing_and_an_assumption_of_the_report(read: ReadSite) -> None:
    flows = Flows(read)
    assert "Unless stated otherwise, cables: Cu PVC in conduit in air; circuit-breakers: C 6 kA." in notes(flows, power=True)
    assert sum("Cu PVC in conduit in air" in line for line in assumptions(flows)) == 1


def test_a_word_that_is_not_understood_is_reported_once_at_its_place() -> None:
    read = read_bytes((SITE % ("unless_stated: {cable: Cv PVC}", "")).encode())
    assert [(f.rule, f.mark.line, f.mark.column) for f in read.findings] == [("unknown-word", 3, 24)]
