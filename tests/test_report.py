# SPDX-License-Identifier: MIT
"""The report: its JSON against the contract, its text, exit codes, profiles and manuals."""
from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
from topology.errors import SEVERITIES, Finding, Mark
from topology.read import read_bytes
from topology.report import Report, check, explain, explain_list
from topology.rule import RULES, in_order

GALLERY = Path(__file__).parents[1] / "gallery"
FAULTY = (GALLERY / "faulty/site.yaml").read_text(encoding="utf-8")
SILENT = (GALLERY / "boathouse/site.yaml").read_text(encoding="utf-8")


def closed(**properties: object) -> dict[str, object]:
    """A JSON object with exactly these keys."""
    return {"type": "object", "properties": properties, "required": sorted(properties), "additionalProperties": False}


TEXT, COUNT, FROM_ONE = {"type": "string"}, {"type": "integer", "minimum": 0}, {"type": "integer", "minimum": 1}
PLACE = {"file": TEXT, "line": FROM_ONE, "column": FROM_ONE}
NUMBER = closed(value={"type": ["number", "null"]}, unit=TEXT)


def many(items: object) -> dict[str, object]:
    return {"type": "array", "items": items}


FINDING = closed(
    rule={"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}, severity={"enum": list(SEVERITIES)},
    outcome={"enum": ["finding", "cannot-tell"]},
    **PLACE, width=FROM_ONE, message={"type": "string", "minLength": 1}, next=TEXT, objects=many(TEXT),
    numbers={"type": "object", "additionalProperties": NUMBER}, source=TEXT, missing=many(closed(what=TEXT, **PLACE)),
    related=many(closed(**PLACE, message=TEXT)), cause={"type": ["integer", "null"]},
    accepted={"anyOf": [{"type": "null"}, closed(reason=TEXT, by=TEXT, date=TEXT)]})
DAY = {"type": "string", "pattern": r"^\d{4}-\d\d-\d\d$"}
REPORT = closed(
    format={"const": 1}, complete={"type": "boolean"}, profiles=many(closed(id=TEXT, date=DAY)), assumed=many(TEXT),
    counts=closed(error=COUNT, warning=COUNT, note=COUNT, observed=COUNT, cannot_tell=COUNT, accepted=COUNT), findings=many(FINDING))
"""The contract's form of a report, format 1, as JSON Schema."""


def report_on(text: str) -> Report:
    return check(read_bytes(text.encode()))


TBC = SILENT.replace("terminators: [BA1, BAT2]", "terminators: TBC")
TEXTS = {"faulty": FAULTY, "silent": SILENT, "open": TBC, "slip": SILENT.replace("feeds: SB", "feeds: SB2"),
         "broken": SILENT + "\n  x: [", "empty": ""}


@pytest.mark.parametrize("name", TEXTS)
def test_json_has_exactly_the_keys_of_the_contract(name: str) -> None:
    report = report_on(TEXTS[name])
    jsonschema.validate(report.to_dict(), REPORT)
    assert json.loads(report.to_json()) == report.to_dict()
    found = [f for f in report.findings if f.outcome == "finding"]
    assert sum(report.counts[s] for s in SEVERITIES) == len(found)
    assert report.counts["cannot_tell"] == len(report.findings) - len(found)


@pytest.mark.parametrize(("name", "code"), [("faulty", 1), ("silent", 0), ("open", 0), ("slip", 1), ("broken", 2), ("empty", 2)])
def test_exit_codes_are_those_of_the_contract(name: str, code: int) -> None:
    assert report_on(TEXTS[name]).exit_code == code


def test_an_accepted_error_is_counted_and_fails_the_check_only_where_it_is_a_danger() -> None:
    report = report_on(FAULTY)
    who = {"reason": "known", "by": "J. Draft", "date": "2026-06-01"}
    accepted = replace(report, findings=tuple(replace(f, accepted=who) for f in report.findings))
    dangers = [f for f in report.findings if RULES[f.rule].danger and f.outcome == "finding"]
    assert dangers and accepted.exit_code == 1
    assert accepted.counts["error"] == len(dangers)
    assert replace(accepted, findings=tuple(f for f in accepted.findings if not RULES[f.rule].danger)).exit_code == 0
    assert accepted.counts["accepted"] == len(report.findings)
    jsonschema.validate(accepted.to_dict(), REPORT)


def test_findings_come_by_severity_then_place_and_what_could_not_be_told_last() -> None:
    a, b = Mark("site.yaml", 9, 1), Mark("site.yaml", 2, 5)
    wanted = [Finding(a, "x", rule="r"), Finding(a, "x", rule="s"), Finding(b, "x", severity="warning"), Finding(a, "x", severity="note"),
              Finding(b, "x", severity="observed"), Finding(b, "x", severity="note", outcome="cannot-tell")]
    assert in_order(reversed(wanted)) == wanted


def test_a_finding_is_shown_with_the_users_own_line_and_carets_under_the_word() -> None:
    lines = report_on(SILENT.replace("terminators: [BA1, BAT2]", "terminators: [BA1, BAT1]")).text().splitlines()
    assert lines[:4] == [
        "site.yaml:120:24  error  terminator-misplaced: bus 'control': no terminator at the end BAT2; a terminator at BAT1, in the middle",
        " 120 |     terminators: [BA1, BAT1]",
        "     |                        ^^^^",
        "next: terminators: [BA1, BAT2]"]


def test_carets_stand_under_the_word_behind_wide_letters_too() -> None:
    # each of the two letters takes two columns: Unicode UAX 11
    text = "site: {name: 東屋, nmae: x}\nsupply:\n  system: 1/N/PE AC 50 Hz 230 V\n  load: general\n"
    assert report_on(text).text().splitlines()[1:3] == [" 1 | site: {name: 東屋, nmae: x}", "   |                    ^^^^"]


def test_the_end_says_what_was_checked_assumed_and_missing() -> None:
    text = report_on(TBC).text()
    for words in (f"Checked: {len(RULES)} rules on ", "Profile: au of ", "Assumed: the supply is live",
                  "Could not be told: 1, for want of\n  terminators of control", "Accepted: 0.", "a licensed person must verify the work"):
        assert words in text


@pytest.mark.parametrize("name", TEXTS)
def test_no_report_says_that_a_site_complies(name: str) -> None:
    assert "compl" not in report_on(TEXTS[name]).text().lower()


def test_a_file_whose_yaml_broke_is_not_judged_by_its_first_half() -> None:
    report = report_on(TEXTS["broken"])
    assert not report.read.complete
    assert {f.rule for f in report.findings} <= set(explain_list().splitlines())
    assert report.findings == tuple(in_order(report.read.findings))
    assert "the rules were not run" in report.text()


def test_what_is_assumed_of_cables_and_circuits_is_said_where_it_bears() -> None:
    cores = "phases and neutral of a cable whose cores are not known are those upstream of it"
    assert cores not in report_on(SILENT).assumed
    assert cores in report_on(SILENT.replace("cable: 6 mm² 2C+2.5E Cu XLPE 8 m", "cable: 6 mm² Cu XLPE 8 m")).assumed
    assert any("names no phase" in a for a in report_on(FAULTY).assumed)
    assert not any("names no phase" in a for a in report_on(SILENT).assumed)


def test_the_same_text_gives_the_same_report() -> None:
    assert report_on(FAULTY).to_json() == report_on(FAULTY).to_json()
    assert report_on(FAULTY).text() == report_on(FAULTY).text()


@pytest.mark.parametrize("name", explain_list().splitlines())
def test_each_rule_explains_itself_under_four_headings(name: str) -> None:
    text = explain(name)
    assert text is not None
    assert text.startswith(f"{name} (")
    assert [line for line in text.splitlines() if line in ("Why", "Bad", "Good", "Source")] == ["Why", "Bad", "Good", "Source"]


def test_there_is_no_manual_of_a_rule_that_does_not_exist() -> None:
    assert explain("no-such-rule") is None
