# SPDX-License-Identifier: MIT
"""The quality of every finding, on all cases and all faulty sites: its place, objects that can be found, numbers with units, source, next step."""
from __future__ import annotations

import re
from functools import cache

import pytest
from sld.files import scenes
from test_checks import FAULTY, FILES, GALLERY, report_on
from topology.errors import Finding
from topology.flow import Flows
from topology.profiles import load_profiles, profile_names
from topology.read import read_bytes
from topology.report import Report, check
from topology.site import Circuit, Terminal

CASES = [f"{rule}/{name}" for rule, cases in FILES.items() for name in cases]
UNITS = "A|V|VA|kVA|W|kW|kA|mA|m|mm²|ohm|%|Hz"
NUMBER = re.compile(rf"(?<![\w.-])\d+(?:\.\d+)?(?= ?(?:{UNITS})(?![\w²]))")
QUOTED = re.compile(r"'[^']*'")
LIMITS = frozenset(id_ for name in profile_names() for profile in load_profiles([name], None).profiles for id_ in profile.entries)
OVERRIDES = ("danger-limit-lifted", "limit-override-idle")
"""Rules of the limits that a site sets itself: what they name is the limit."""


@cache
def said_of(name: str) -> Report:
    rule, _slash, case = name.partition("/")
    if case:
        return report_on(FILES[rule][case])
    return check(read_bytes((GALLERY / name / "site.yaml").read_bytes()))


@cache
def drawn(name: str) -> frozenset[str]:
    """The ids of everything that is drawn on any sheet of a faulty site."""
    sheets = [sheet for scene in scenes(Flows(said_of(name).read)) for sheet in scene.sheets]
    return frozenset(part.object for sheet in sheets for group in (sheet.symbols, sheet.wires, sheet.areas) for part in group)


def findings(name: str) -> list[Finding]:
    return [f for f in said_of(name).findings if f.outcome == "finding"]


@pytest.mark.parametrize("name", [*CASES, *FAULTY])
def test_each_finding_has_a_place_in_the_file_a_source_and_a_next_step(name: str) -> None:
    read = said_of(name).read
    for f in said_of(name).findings:
        assert f.mark.file == read.name and 1 <= f.mark.line <= len(read.lines)
        assert 1 <= f.mark.column <= len(read.lines[f.mark.line - 1])
        assert f.source.strip() and f.next.strip() and f.message.strip()


@pytest.mark.parametrize("name", [*CASES, *FAULTY])
def test_each_finding_names_objects_of_the_site(name: str) -> None:
    flows = Flows(said_of(name).read)
    for f in findings(name):
        assert f.objects
        for id_ in f.objects:
            assert id_ in flows.objects or id_ in flows.graph or f.rule in OVERRIDES and (id_ in LIMITS or "no profile in use" in f.message), (f.rule, id_)


@pytest.mark.parametrize("name", FAULTY)
def test_each_object_of_a_finding_is_drawn_or_is_a_circuit_of_the_schedule(name: str) -> None:
    flows = Flows(said_of(name).read)
    for f in findings(name):
        for id_ in f.objects:
            obj = flows.objects.get(id_)
            device = id_.partition(".")[0] if isinstance(obj, Terminal) else id_
            assert device in drawn(name) or isinstance(obj, Circuit) or f.rule in OVERRIDES, (f.rule, id_)


@pytest.mark.parametrize("name", [*CASES, *FAULTY])
def test_what_a_message_measures_stands_among_its_numbers_with_a_unit(name: str) -> None:
    for f in findings(name):
        assert all(number.unit for number in f.numbers.values())
        if NUMBER.search(QUOTED.sub("", f.message)):
            assert f.numbers, (f.rule, f.message)


@pytest.mark.parametrize("name", [*CASES, *FAULTY])
def test_what_could_not_be_told_names_what_is_missing_and_where(name: str) -> None:
    read = said_of(name).read
    for f in said_of(name).findings:
        assert (f.outcome == "cannot-tell") == bool(f.missing)
        assert all(m.what and 1 <= m.mark.line <= len(read.lines) for m in f.missing)
