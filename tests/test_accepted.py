# SPDX-License-Identifier: MIT
"""Findings that a licensed person accepts, through the commands: a danger stays an error everywhere, anything else stays visible and counts no more."""
from __future__ import annotations

import html
import json
import re
from pathlib import Path

import pypdf
import pytest
from sld.cli import main
from topology.report import STAYS
from topology.rule import RULES

BOATHOUSE = (Path(__file__).parents[1] / "gallery/boathouse/site.yaml").read_text(encoding="utf-8")
DANGER, USUAL = "source-without-disconnection", "bus-too-long"
REASONS = {DANGER: "the relay comes in May", USUAL: "the signal was measured"}
OBJECTS = {DANGER: "BAT1", USUAL: "control"}


def site(where: Path, *accepted: str, faults: tuple[str, ...] = (DANGER, USUAL)) -> Path:
    """The boathouse with a storage unit that nothing disconnects and with a bus that is too long; some of it accepted."""
    slips = {DANGER: (r"^ +- disconnection_device: \{id: KD3.*\n", ""), USUAL: (r"(from: BAT1, to: BAT2, length: )[\d.]+ m", r"\g<1>90 m")}
    text = BOATHOUSE
    for name in faults:
        text, number = re.subn(*slips[name], text, count=1, flags=re.M)
        assert number == 1
    if accepted:
        text += "accept:\n" + "".join(f"  - {{rule: {rule}, object: {OBJECTS[rule]}, reason: {REASONS[rule]}, by: A. Example, role: licensed electrician, "
                                      "date: 2026-03-20}\n" for rule in accepted)
    path = where / "site.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def checked(path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, dict[str, dict[str, object]], dict[str, int]]:
    """Exit code, findings by rule, and counts of `sld check --json`."""
    code = main(["check", str(path), "--json"])
    said = json.loads(capsys.readouterr().out)
    return code, {f["rule"]: f for f in said["findings"]}, said["counts"]


def test_one_rule_of_the_two_is_a_danger() -> None:
    assert RULES[DANGER].danger and not RULES[USUAL].danger


def test_an_accepted_danger_stays_an_error_in_exit_code_and_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = checked(site(tmp_path, faults=(DANGER,)), capsys)
    after = checked(site(tmp_path, DANGER, faults=(DANGER,)), capsys)
    assert before[0] == after[0] == 1
    assert before[2]["error"] == after[2]["error"] == 1 and (before[2]["accepted"], after[2]["accepted"]) == (0, 1)
    assert after[1][DANGER]["severity"] == "error"
    assert after[1][DANGER]["accepted"] == {"reason": REASONS[DANGER], "by": "A. Example, licensed electrician", "date": "2026-03-20"}


def test_any_other_accepted_finding_stays_visible_and_counts_no_more(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = checked(site(tmp_path, faults=(USUAL,)), capsys)
    after = checked(site(tmp_path, USUAL, faults=(USUAL,)), capsys)
    assert (before[0], after[0]) == (1, 0)
    assert (before[2]["error"], after[2]["error"], after[2]["accepted"]) == (1, 0, 1)
    assert after[1][USUAL]["severity"] == "error" and after[1][USUAL]["accepted"]


def test_the_report_names_who_accepted_what_and_that_a_danger_counts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(site(tmp_path, DANGER, USUAL))]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert f"accepted: {REASONS[DANGER]} (A. Example, licensed electrician, 2026-03-20); {STAYS}" in lines
    assert f"accepted: {REASONS[USUAL]} (A. Example, licensed electrician, 2026-03-20)" in lines


def text_of(svg: str) -> str:
    """The words of a drawing, lines joined."""
    return " ".join(" ".join(html.unescape(words) for words in re.findall(r"<text[^>]*>([^<]*)<", svg)).split())


def test_the_notes_of_a_sheet_name_both_and_its_count_has_the_danger(tmp_path: Path) -> None:
    assert main(["draw", str(site(tmp_path, DANGER, USUAL)), "-o", str(tmp_path / "out"), "--only", "single-line", "--format", "svg", "--strict"]) == 1
    words = " ".join(text_of(path.read_text(encoding="utf-8")) for path in sorted((tmp_path / "out").glob("single-line-*.svg")))
    said = "(A. Example, licensed electrician, 2026-03-20)"
    assert f"Accepted: {DANGER} of BAT1: {REASONS[DANGER]} {said[:-1]}); {STAYS}." in words
    assert f"Accepted: {USUAL} of control: {REASONS[USUAL]} {said}." in words
    assert "1 error, 0 warnings" in words and "2 accepted" in words


def test_the_cover_of_the_set_counts_the_danger_and_the_set_is_refused_where_errors_are(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = site(tmp_path, DANGER, USUAL)
    assert main(["issue", str(path), "-o", str(tmp_path / "sets"), "--strict"]) == 1
    assert main(["issue", str(path), "-o", str(tmp_path / "sets")]) == 0
    folder = Path(capsys.readouterr().out.split()[-1])
    cover = " ".join(pypdf.PdfReader(folder / "set.pdf").pages[0].extract_text().split())
    assert "Findings: 1 error, 0 warnings" in cover
    assert f"Accepted: {DANGER} of BAT1: {REASONS[DANGER]} (A. Example, licensed electrician, 2026-03-20); {STAYS}." in cover
    assert f"Accepted: {USUAL} of control: {REASONS[USUAL]} (A. Example, licensed electrician, 2026-03-20)." in cover
    assert json.loads((folder / "findings.json").read_bytes())["counts"]["error"] == 1


def test_a_set_with_nothing_but_accepted_findings_that_are_no_dangers_is_issued_under_strict(tmp_path: Path) -> None:
    assert main(["issue", str(site(tmp_path, USUAL, faults=(USUAL,))), "-o", str(tmp_path / "sets"), "--strict"]) == 0
