# SPDX-License-Identifier: MIT
"""Every check on its cases (tests/checks), its manual, and the two gallery sites made for checks.

The places that cases expect were found by searching the text of each case for the words at fault, not by running the program: `where`
holds words that stand at that place only. `also` names other rules that rightly speak of the same slip.
"""
from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
import yaml
from topology import checks, site_faults
from topology.conductors import PHASES
from topology.faults import FAULTS, doc_parts
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import Report, check
from topology.rule import RULES

HERE = Path(__file__).parent / "checks"
GALLERY = Path(__file__).parents[1] / "gallery"
FILES = {path.stem: yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted(HERE.glob("*.yaml"))}
CASES = [pytest.param(rule, case, id=f"{rule}-{name}") for rule, cases in FILES.items() for name, case in cases.items()]
NEEDS_COMPUTING = {"allocation-exceeded", "backup-overloaded", "breaker-above-cable-capacity", "breaking-capacity-too-small", "busbar-section-overloaded", "cable-overloaded",
                   "device-below-design-current", "loop-impedance-too-high", "protective-conductor-too-small", "voltage-drop-over-limit",
                   "voltage-rise-over-limit"}
"""Rules that need cables and fault levels in full: on bases and faulty sites that are sketches they rightly say that they cannot tell."""
HEADS = {"", "Why", "Bad", "Good", "Source"}


def text_of(case: dict[str, Any]) -> str:
    text = (HERE / "bases" / f"{case['base']}.yaml").read_text(encoding="utf-8")
    for old, new in case.get("replace", ()):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def report_on(case: dict[str, Any]) -> Report:
    return check(read_bytes(text_of(case).encode()))


def beside_sketches(findings: Iterable[Any], rule: str = "") -> list[Any]:
    """Findings without what the computed rules cannot tell on a site that is a sketch, those of the rule in question kept."""
    return [f for f in findings if f.rule == rule or f.outcome == "finding" or f.rule not in NEEDS_COMPUTING]


def place_of(case: dict[str, Any]) -> str | None:
    """Line and column that a case expects; None where nothing is said."""
    if "where" not in case:
        return case.get("at")
    text = text_of(case)
    assert text.count(case["where"]) == 1, case["where"]
    before = text[:text.index(case["where"])]
    return f"{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_each_case_says_what_it_should_and_nothing_else(rule: str, case: dict[str, Any]) -> None:
    name, place = rule.replace("_", "-"), place_of(case)
    found = beside_sketches(report_on(case).findings, name)
    first = [f for f in found if f.rule == name][:1]
    assert [(f.rule, f"{f.mark.line}:{f.mark.column}") for f in first] == ([(name, place)] if place else [])
    assert sorted({f.rule for f in found if f not in first}) == sorted(case.get("also", ()))
    for f in found:
        assert f.next
        assert f.objects
        assert f.source
    assert all(case["says"] in f.message for f in first)


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_everything_that_networkx_cannot_reach_hangs_on_something_reported_as_not_fed(rule: str, case: dict[str, Any]) -> None:
    report = report_on(case)
    flows = Flows(report.read)
    links = [(u, v, d["obj"].conductors) for u, v, d in flows.graph.edges(data=True) if d["layer"] == "power"]
    live = nx.DiGraph((u, v) for u, v, mask in links if mask & PHASES)
    alive = {n for start in flows.starts if start in live for n in (start, *nx.descendants(live, start))}
    every = nx.DiGraph((u, v) for u, v, _ in links)
    reported = {f.objects[0] for f in report.findings if f.rule == "not-fed"}
    for node in set(every) - alive:
        around = nx.ancestors(every, node) | nx.descendants(every, node) | {node}  # a dead board's main switch stands before it
        assert around & reported, node


@pytest.mark.parametrize("rule", checks.__all__)
def test_each_check_has_cases_that_pass_fail_and_its_name(rule: str) -> None:
    names = list(FILES[rule])
    assert any(n.startswith("pass_") for n in names)
    assert any(n.startswith("fail_") for n in names)
    for name, case in FILES[rule].items():
        assert name.startswith(("pass_", "fail_", "cannot_tell_"))
        outcomes = {f.outcome for f in beside_sketches(report_on(case).findings, rule.replace("_", "-"))}
        assert outcomes == {"p": set(), "f": {"finding"}, "c": {"cannot-tell"}}[name[0]]


def test_every_file_of_checks_is_one_rule_and_every_rule_has_cases() -> None:
    files = {p.stem for p in Path(checks.__file__).parent.glob("[a-z]*.py")}
    assert files == set(checks.__all__) == set(FILES) == {name.replace("-", "_") for name in RULES}


@pytest.mark.parametrize("name", sorted(RULES))
def test_each_check_has_its_manual(name: str) -> None:
    parts = RULES[name].parts
    assert set(parts) == HEADS
    assert all(parts.values())


@pytest.mark.parametrize("name", sorted(FAULTS))
def test_each_fault_of_reading_has_its_manual(name: str) -> None:
    parts = doc_parts(FAULTS[name].__doc__ or "")
    assert set(parts) == HEADS
    assert all(parts.values())


def test_faults_of_text_and_of_content_are_registered() -> None:
    assert {name.replace("_", "-") for name in site_faults.__all__} <= set(FAULTS)


def test_the_boathouse_is_silent() -> None:
    assert check(read_bytes((GALLERY / "boathouse/site.yaml").read_bytes())).findings == ()


FAULTY = sorted(path.parent.name for path in GALLERY.glob("faulty*/site.yaml"))


def findings_of(name: str) -> list[Any]:
    return list(check(read_bytes((GALLERY / name / "site.yaml").read_bytes())).findings)


def test_the_faulty_site_reaches_at_least_fifteen_rules() -> None:
    assert len({f.rule for f in findings_of("faulty")}) >= 15


def test_every_check_speaks_on_some_faulty_site() -> None:
    assert {f.rule for name in FAULTY for f in findings_of(name)} >= set(RULES)


@pytest.mark.parametrize("name", FAULTY)
def test_a_faulty_site_names_each_rule_in_a_comment_on_the_line_above_or_at_the_place(name: str) -> None:
    lines = (GALLERY / name / "site.yaml").read_text(encoding="utf-8").splitlines()
    for f in beside_sketches(findings_of(name)):
        assert f"{f.rule}:" in lines[f.mark.line - 2].partition("# ")[2], (f.rule, f.mark.line)
        assert f.outcome == "finding"


@pytest.mark.parametrize("base", ["house", "flats"])
def test_whatever_is_not_known_yet_no_check_breaks_or_finds_a_fault_in_it(base: str) -> None:
    text = (HERE / "bases" / f"{base}.yaml").read_text(encoding="utf-8")
    for value in re.finditer(r"(?<=: )[^\s{}\[\],#][^{}\[\],\n]*|(?<=: )\[[^\[\]\n]*\]", text):
        report = check(read_bytes(f"{text[:value.start()]}TBC{text[value.end():]}".encode()))
        assert not [f for f in report.findings if f.outcome == "finding" and f.rule in RULES], value[0]


def test_switching_a_pen_is_as_grave_as_the_profile_says() -> None:
    """New Zealand left out the clauses against it on 13 November 2025 (WorkSafe New Zealand, 2026); the others keep them."""
    text = (HERE / "bases/yard.yaml").read_text(encoding="utf-8").replace("Q0, rating: 100 A 3P", "Q0, rating: 100 A 4P")
    grave = {}
    for profile in ("au", "nz", "uk", "iec"):
        report = check(read_bytes(text.replace("{name: Case yard}", f"{{name: Case yard}}\nprofile: [{profile}]").encode()))
        grave[profile] = next(f.severity for f in report.findings if f.rule == "pen-switched")
    assert grave == {"au": "error", "nz": "note", "uk": "error", "iec": "error"}
