# SPDX-License-Identifier: MIT
"""One fault, one finding: each slip, each case and each fault of the faulty sites has one finding that leads; what follows stands below it."""
from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from sites import MUTATIONS, site
from slips_cannot import cannot
from test_checks import CASES, FAULTY, GALLERY, report_on
from topology.causes import KIN, with_causes
from topology.errors import SEVERITIES, Finding
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import Report, check
from topology.rule import RULES

BOATHOUSE = (GALLERY / "boathouse/site.yaml").read_text(encoding="utf-8")
FIELDS = "each field that lacks is something of its own to fill in"
MANY_SLIPS = {"application-field-missing": FIELDS}
"""Slips that are several faults at one place, and why. A slip at several places has a finding at each."""
MANY_CASES = {
    "combined_neutral_overloaded-fail_cable": "its phases are too thin for their breaker besides",
    "combined_neutral_overloaded-fail_two_units_on_one_phase_oppose_the_third": "two units on a phase are one too many besides",
    "export_limit_not_enforced-fail_inverter_without_a_grid_sensor": "three phases lack a sensor each",
    "export_over_limit-fail_operator_allows_less": "two limits are set, and both are passed",
    "ne_links_not_one-fail_outbuilding_where_the_profile_does_not_know_it": "with the profile, its backup lacks a residual current device and its array a bond",
    "phase_difference_over_limit-fail_once_one_is_off": "two inverters were added, neither has a sensor",
    "source_behind_shared_rcd-fail_group": "the inverter that was added has no sensor either",
    "source_without_isolator-fail_isolator_of_too_few_poles": "a switch that leaves phases closed is a fault of its own, whatever stands behind it",
    "voltage_rise_over_limit-fail_trunk_of_module_level_inverters": "the other kind of inverter on the board is a fault of its own",
}
"""Cases with several faults, and why."""
FOLLOW = {("faulty", "source-without-disconnection", "BAT1"): "INV2 stands on the same circuit, which one device would open",
          ("faulty-bus", "lead-too-long", "BA1"): "the lead is too long by its extension",
          ("faulty-electrical", "voltage-drop-over-limit", "MSB.1.load"): "the same long thin run has too high a loop impedance"}
"""What follows from something else on the faulty sites, and why; everything else there is a fault of its own, as the comments say."""


def report(text: str) -> Report:
    return check(read_bytes(text.encode()))


def leading(said: Report) -> list[Finding]:
    return [f for f in said.findings if f.cause is None]


def changed(text: str, pattern: str, new: str) -> str:
    text, number = re.subn(pattern, new, text, count=1, flags=re.M)
    assert number == 1, pattern
    return text


@pytest.mark.parametrize("phases", [1, 2, 3])
@pytest.mark.parametrize("rule", sorted(MUTATIONS))
def test_a_slip_has_one_leading_finding_at_each_place_where_it_was_made(rule: str, phases: int) -> None:
    if rule in cannot(phases) or rule in MANY_SLIPS:
        return
    places = [set(f.objects) for f in leading(report(MUTATIONS[rule](site(2, 150, phases))))]
    assert places
    assert sum(map(len, places)) == len(set().union(*places))


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_a_case_has_one_leading_finding(rule: str, case: dict[str, object], request: pytest.FixtureRequest) -> None:
    said = [f for f in leading(report_on(case)) if f.outcome == "finding"]
    if request.node.callspec.id not in MANY_CASES:
        assert len(said) <= 1, [(f.rule, f.objects) for f in said]


@pytest.mark.parametrize("name", FAULTY)
def test_on_a_faulty_site_all_lead_but_what_is_one_fault_with_another(name: str) -> None:
    said = report((GALLERY / name / "site.yaml").read_text(encoding="utf-8"))
    assert {(name, f.rule, f.objects[0]) for f in said.findings if f.cause is not None and f.outcome == "finding"} == {k for k in FOLLOW if k[0] == name}


EVERYTHING = [pytest.param((GALLERY / name / "site.yaml").read_text(encoding="utf-8"), id=name) for name in (*FAULTY, "farmhouse", "part-local-bars")]


@pytest.mark.parametrize("text", EVERYTHING)
def test_a_cause_leads_and_is_no_less_severe_and_no_count_changes(text: str) -> None:
    said = report(text)
    for f in said.findings:
        if f.cause is not None:
            cause = said.findings[f.cause]
            assert cause.cause is None and cause.outcome == f.outcome
            assert SEVERITIES.index(cause.severity) <= SEVERITIES.index(f.severity)
    bare = replace(said, findings=tuple(replace(f, cause=None) for f in said.findings))
    assert (bare.counts, bare.exit_code) == (said.counts, said.exit_code)
    for text_ in (said.text(), bare.text()):
        assert {line.strip() for line in text_.splitlines() if "cannot tell  " not in line and re.match(r" *site.yaml:", line)} == {
            f"site.yaml:{f.mark.line}:{f.mark.column}  {f.severity}  {f.rule}: {f.message}" for f in said.findings if f.outcome == "finding" and not f.accepted}
    for f in said.findings:
        if f.outcome == "cannot-tell":
            assert f"site.yaml:{f.mark.line}:{f.mark.column}  cannot tell  not known: " in said.text() and f"{f.rule} ({f.objects[0]}" in said.text()


def test_a_grid_sensor_that_is_not_there_is_why_nothing_holds_the_export() -> None:
    said = report(changed(changed(BOATHOUSE, r"^    - ct: \{id: CT1.*\n", ""), "1: CT1 on L1, ", ""))
    assert [(f.rule, f.cause) for f in said.findings] == [("export-limit-not-enforced", 1), ("phase-without-sensor", None)]
    lines = said.text().splitlines()
    first = next(n for n, line in enumerate(lines) if "phase-without-sensor" in line)
    below = next(n for n, line in enumerate(lines) if "export-limit-not-enforced" in line)
    assert first < below and lines[first].startswith("site.yaml:") and lines[below].startswith("    site.yaml:")
    assert "Indented below what they follow from: 1." in lines


def test_an_export_limit_that_nobody_is_to_hold_is_a_fault_beside_the_sensor() -> None:
    text = changed(changed(BOATHOUSE, r"^    - ct: \{id: CT1.*\n", ""), "1: CT1 on L1, ", "")
    assert {(f.rule, f.cause) for f in report(text.replace(", enforced_by: GW1", "")).findings} >= {("export-limit-not-enforced", None), ("phase-without-sensor", None)}


def test_a_board_without_a_feed_is_one_finding() -> None:
    assert [f.rule for f in report(changed(BOATHOUSE, "        feeds: SB$", "        load: spare")).findings] == ["not-fed"]


def test_one_link_that_is_forgotten_is_one_finding_with_all_that_opens_a_pen_below_it() -> None:
    said = report(changed(BOATHOUSE, r"^    - ne_link.*\n", ""))
    assert len(said.findings) > 10 and {f.rule for f in said.findings} == {"pen-switched"}
    assert len(leading(said)) == 1 and said.counts["error"] == len(said.findings)


def test_mains_that_are_too_thin_lead_what_they_drop() -> None:
    said = report(changed(BOATHOUSE, "25 mm² 2C Cu XLPE", "2.5 mm² 2C Cu XLPE"))
    assert [f.rule for f in leading(said)] == ["cable-overloaded"]
    assert {f.rule for f in said.findings} == {"cable-overloaded", "voltage-rise-over-limit", "voltage-drop-over-limit"}


@pytest.mark.parametrize(("pattern", "new"), [("type: wall-unit", "type: TBC"), (r"system: .*", "system: TBC"),
                                              (r"cable: 1.5 mm² 2C\+1.5E Cu PVC 34 m in ceiling", "cable: TBC"), ("phase: L1, P1", "phase: TBC, P1")])
def test_one_thing_that_is_not_known_leads_all_that_cannot_be_told_for_it(pattern: str, new: str) -> None:
    said = report(changed(BOATHOUSE, pattern, new))
    assert len(said.findings) > 3 and {f.outcome for f in said.findings} == {"cannot-tell"}
    assert len(leading(said)) == 1


def test_two_facts_that_are_not_known_at_one_place_are_two() -> None:
    said = report(changed(BOATHOUSE, "cable: 1.5 mm² 2C.1.5E Cu PVC 34 m in ceiling", "cable: 1.5 mm² 2C+1.5E"))
    assert len(leading(said)) == len({(m.mark, m.what) for f in said.findings for m in f.missing}) > 1


def test_an_open_finding_never_stands_below_an_accepted_one() -> None:
    text = changed(changed(BOATHOUSE, r"^    - ct: \{id: CT1.*\n", ""), "1: CT1 on L1, ", "")
    text += 'accept:\n  - {rule: phase-without-sensor, object: INV1, reason: no export, by: A. Example, role: licensed electrician, date: 2026-01-05}\n'
    assert {(f.rule, f.cause, f.accepted is None) for f in report(text).findings} == {
        ("export-limit-not-enforced", None, True), ("phase-without-sensor", None, False)}


def test_the_more_severe_of_two_that_are_kin_leads() -> None:
    flows = Flows(read_bytes(BOATHOUSE.encode()))
    mark = flows.objects["W2"].mark
    cable = Finding(mark, "x", rule="breaker-above-cable-capacity", severity="warning", objects=("W2", "F1"))
    rise = Finding(mark, "x", rule="voltage-rise-over-limit", severity="error", objects=("INV1", "SB.1.cable", "W2", "W1"))
    small = changed(BOATHOUSE, r"16 mm² 2C\+6E Cu XLPE", "2.5 mm² 2C+2.5E Cu XLPE")
    assert [f.cause for f in with_causes([rise, cable], Flows(read_bytes(small.encode())))] == [None, 0]
    assert [f.cause for f in with_causes([replace(cable, severity="error"), rise], Flows(read_bytes(small.encode())))] == [None, 0]


def test_the_table_of_kin_names_rules_and_runs_in_no_circle() -> None:
    assert {rule for kin in KIN for rule in (kin.cause, kin.effect)} <= set(RULES)
    below: dict[str, set[str]] = {}
    for kin in KIN:
        if kin.cause != kin.effect:
            below.setdefault(kin.cause, set()).add(kin.effect)
    trails = [(rule,) for rule in below]
    while trails:
        trails = [(*trail, rule) for trail in trails for rule in below.get(trail[-1], ())]
        assert all(len(set(trail)) == len(trail) for trail in trails)


def test_findings_keep_their_order() -> None:
    said = report((GALLERY / "faulty-electrical/site.yaml").read_text(encoding="utf-8"))
    keys = [(f.outcome != "finding", SEVERITIES.index(f.severity), f.mark, f.rule, f.objects) for f in said.findings]
    assert all(a <= b for a, b in pairwise(keys))
