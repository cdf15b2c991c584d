# SPDX-License-Identifier: MIT
"""Severity by status and date: what the job adds or makes worse is judged, what it leaves as it was is observed, a danger stays what it is.

The currents follow from P / U, the limits are round figures of our own types; no expectation was taken from the program.
"""
from __future__ import annotations

import pytest
from sites import MUTATIONS, site
from slips_cannot import cannot
from topology.as_found import as_found
from topology.errors import Finding
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import check
from topology.rule import RULES, run_rules

OLD = """\
site: {name: Standing}
supply:
  system: 1/N/PE AC 50 Hz 230 V
  faults: {largest: 3 kA at point of supply, loop: 0.1 ohm measured at MSB}
  in_line: [fuse: {id: SF, rating: 100 A gG}, breaker: {id: Q1, rating: 50 A C 2P 6 kA}, cable: {id: W1, parts: [35 mm² 2C+35E Cu XLPE 5 m on surface]}]
  feeds: MSB
boards:
  MSB:
    busbar: 63 A
    circuits:
      - {way: 1, in_line: [breaker: {id: F1, rating: 32 A C 1P 6 kA}, cable: {id: W2, parts: [1.5 mm² 2C+1.5E Cu PVC 3 m in wall]}], load: {id: L1, kind: heater, power: 6 kW}}
      - {way: 3-4, in_line: [breaker: {id: F2, rating: 50 A C 2P 6 kA}, isolator: 63 A 2P], feeds: {storage: {id: BAT1, type: bank, STATUS}}}
      - {way: 5, status: PORCH, in_line: [breaker: {id: F3, rating: 10 A C 1P 6 kA}], load: {id: L3, kind: lighting, power: 0.1 kW}}
      - {way: 6, in_line: [breaker: {id: F4, rating: 40 A C 1P 6 kA}], load: {id: L4, kind: cooking, power: 9 kW}}
types:
  bank: {kind: storage, power: 9.2 kVA, phases: 1, disconnects_itself: yes}
  twin: {kind: storage, power: 12.65 kVA, phases: 1, disconnects_itself: yes}
"""
"""W2 is old and too thin for its load and its breaker: 6 kW / 230 V = 26 A, and a 32 A breaker, on 1.5 mm² in a wall. BAT1 gives 40 A."""


def old(storage: str = "status: existing", porch: str = "removed") -> str:
    return OLD.replace("STATUS", storage).replace("PORCH", porch)


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for before, after in pairs:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return text


def found(text: str) -> dict[tuple[str, str], str]:
    """Severity by rule and first object."""
    read = read_bytes(text.encode())
    assert read.findings == ()
    return {(f.rule, f.objects[0]): f.severity for f in check(read).findings if f.outcome == "finding"}


BIG = ("type: bank, ", "type: twin, ")
"""A storage unit of 12.65 kVA gives 12,650 VA / 230 V = 55 A: more than Q1's 50 A."""


def test_an_old_cable_that_the_job_leaves_alone_is_observed() -> None:
    said = found(old())
    assert said["cable-overloaded", "W2"] == said["breaker-above-cable-capacity", "W2"] == "observed"
    assert check(read_bytes(old().encode())).exit_code == 0


def test_a_file_that_says_no_status_is_judged_as_new() -> None:
    said = found(old(porch="existing"))
    assert said["cable-overloaded", "W2"] == said["breaker-above-cable-capacity", "W2"] == "error"
    assert found(OLD.replace(", STATUS", "").replace(" status: PORCH,", "")) == said


def test_a_site_that_is_new_as_a_whole_is_judged() -> None:
    assert found(changed(old(), ("{name: Standing}", "{name: Standing, status: new}")))["cable-overloaded", "W2"] == "error"


def test_an_old_main_switch_that_new_storage_overloads_is_an_error() -> None:
    wrong = found(changed(old("status: new"), BIG))
    assert wrong["device-below-design-current", "Q1"] == "error"
    assert wrong["cable-overloaded", "W2"] == "observed"  # the storage changes nothing for that


def test_the_same_switch_is_observed_where_the_storage_was_there_before() -> None:
    assert found(changed(old(), BIG))["device-below-design-current", "Q1"] == "observed"


def test_an_old_busbar_with_a_new_source_is_an_error_though_its_way_and_breaker_are_old() -> None:
    # Q1 and BAT1 can give 50 A and 40 A, the loads take 15.1 kW / 230 V = 66 A past one point of a bar of 63 A; Q1 alone lets 50 A through
    assert found(old("status: new"))["busbar-section-overloaded", "MSB"] == "error"
    assert found(old())["busbar-section-overloaded", "MSB"] == "observed"


def test_what_was_too_much_before_and_is_more_now_is_an_error() -> None:
    more = ("load: {id: L1, kind: heater, power: 6 kW}", "circuits: [{way: 8, load: {id: L1, kind: heater, power: 6 kW}}, "
            "{way: 9, status: new, load: {id: L2, kind: heater, power: 1 kW}}]")
    said = found(changed(old(), more))
    assert said["cable-overloaded", "W2"] == "error"
    assert said["breaker-above-cable-capacity", "W2"] == "observed"  # the breaker stands before the same cable as ever


@pytest.mark.parametrize("status", ["altered", "TBC", "relocated"])
def test_a_load_of_which_nobody_knows_how_it_was_is_taken_for_the_cause(status: str) -> None:
    assert found(changed(old(), ("kind: heater, power", f"status: {status}, kind: heater, power")))["cable-overloaded", "W2"] == "error"


def test_a_cable_that_is_altered_itself_is_judged() -> None:
    said = found(changed(old(), ("{id: W2, parts", "{id: W2, status: altered, parts")))
    assert said["cable-overloaded", "W2"] == said["breaker-above-cable-capacity", "W2"] == "error"


def test_a_larger_breaker_before_an_old_cable_is_judged() -> None:
    said = found(changed(old(), ("{id: F1, rating", "{id: F1, status: new, rating")))
    assert said["breaker-above-cable-capacity", "W2"] == "error"


def test_a_danger_stays_what_it_is_whatever_its_age() -> None:
    bare = changed(old(), ("breaker: {id: F2, rating: 50 A C 2P 6 kA}, isolator: 63 A 2P", "fuse: {id: F2, rating: 50 A gG}"))
    assert found(bare)["source-without-isolator", "BAT1"] == "error"


@pytest.mark.parametrize(("begins", "status", "severity"), [("2023-04-30", "new", None), ("2023-05-01", "new", "error"),
                                                            ("2023-04-30", "existing", None), ("2023-05-01", "existing", "observed")])
def test_new_work_goes_by_the_edition_of_the_day_on_which_it_begins(begins: str, status: str, severity: str | None) -> None:
    """Type AC ends in Western Australia with 30 April 2023, and what was certified before may stay (Building and Energy, page on residual current devices)."""
    text = changed(old(), ("{name: Standing}", f"{{name: Standing, work_begins: {begins}}}\nprofile: [au]"),
                   ("in_line: [breaker: {id: F1, rating: 32 A C 1P 6 kA}", f"status: {status}, in_line: [rcbo: {{id: F1, rating: 32 A C 1P+N 6 kA 30 mA type AC}}"))
    assert found(text).get(("rcd-type-ac", "F1")) == severity


def test_the_site_as_found_keeps_ids_and_places_and_lacks_what_is_new() -> None:
    read = read_bytes(changed(old("status: new"), ("- {way: 1, in_line", "- {way: 1, status: removed, in_line")).encode())
    before = as_found(read)
    assert set(read.objects) - set(before.objects) == {"BAT1"}
    assert all(before.objects[id_].mark == read.objects[id_].mark for id_ in before.objects)
    assert before.objects["F1"].status == "existing" and read.objects["F1"].status == "removed"
    assert "F1" in Flows(before).graph and "BAT1" not in Flows(before).graph
    assert read.objects["MSB.3"].feeds is not None and before.objects["MSB.3"].feeds is None


def test_a_bus_as_found_has_no_segment_to_what_is_new() -> None:
    text = site(3, 150, 1)
    last = max(int(word.split(",")[0]) for word in text.split("{id: BAT")[1:])
    text = changed(text, (f"id: BAT{last},", f"id: BAT{last}, status: new,"))
    read = read_bytes(text.encode())
    buses = [next(o for o in site_.objects.values() if o.id == "control1") for site_ in (read, as_found(read))]
    assert len(buses[1].segments) == len(buses[0].segments) - 1
    assert f"BAT{last}" not in [said.id for said in buses[1].terminators]


def aside(text: str) -> str:
    """The site with a job that touches nothing electrical: a new place."""
    return changed(text, ("places:\n", "places:\n  NEW: {name: Shelf, status: new}\n"))


def severities(findings: list[Finding]) -> list[tuple[str, str, tuple[str, ...]]]:
    return sorted((f.rule, f.severity, f.objects) for f in findings)


@pytest.mark.parametrize("phases", [1, 2, 3])
@pytest.mark.parametrize("rule", sorted(MUTATIONS))
def test_a_slip_that_was_there_before_is_observed_unless_it_is_a_danger_or_a_fault_of_the_file(rule: str, phases: int) -> None:
    if rule in cannot(phases):
        return
    text = MUTATIONS[rule](site(2, 150, phases))
    judged, left = (check(read_bytes(t.encode())).findings for t in (text, aside(text)))
    assert [(f.rule, f.objects) for f in judged] == [(f.rule, tuple(o for o in f.objects if o != "NEW")) for f in left]
    wanted = "observed" if RULES[rule].by_status else judged[0].severity
    assert {f.severity for f in left if f.rule == rule and rule != "rcd-type-ac"} <= {wanted, "note"}


@pytest.mark.parametrize("phases", [1, 2, 3])
def test_a_site_without_anything_new_is_found_as_it_is(phases: int) -> None:
    read = read_bytes(MUTATIONS["cable-overloaded"](site(4, 200, phases)).encode())
    assert severities(run_rules(Flows(as_found(read)))) == severities(run_rules(Flows(read)))
