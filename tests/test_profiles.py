# SPDX-License-Identifier: MIT
"""Profiles: every figure has its source, entries follow the day on which work begins, overlays and sites come before countries.

Days and values beside the tests are those of the source that each names; "from memory" says where no text was seen.
"""
from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import yaml
from sld.sheet_info import sheet_info
from topology.errors import CannotTell
from topology.explain_limits import explain_limit, limit_ids
from topology.flow import Flows
from topology.limits import limits_said
from topology.profiles import Override, ProfileError, load_profile, load_profiles, parse_profile, profile_names
from topology.read import read_bytes
from topology.report import check, explain
from topology.rule import RULES

ENTRY = {"what": "w", "value": 1, "unit": "V", "source": "s", "edition": "e", "found": "text"}
HOUSE = (Path(__file__).parent / "checks/bases/house.yaml").read_text(encoding="utf-8")


def whole(entry: object) -> str:
    return yaml.safe_dump({"id": "xx", "date": date(2026, 1, 1), "title": "t", "sources": {"s": "a page"}, "limits": {"e": entry}})


@pytest.mark.parametrize("name", profile_names())
def test_each_profile_gives_every_figure_with_source_edition_and_how_it_was_found(name: str) -> None:
    profile = load_profile(name)
    assert profile.id == name and date.fromisoformat(profile.date) and profile.dated
    for entry in (e for entries in profile.dated.values() for e in entries):
        assert entry.source and entry.edition and entry.what and entry.found in ("text", "second-hand", "memory")
        assert entry.severity != "error" or entry.found != "memory"
        assert (entry.found == "memory") >= ("from memory" in entry.source), entry.id


def test_countries_and_overlays_ship_and_each_overlay_names_its_base() -> None:
    names = profile_names()
    assert {"au", "nz", "uk", "iec", "us"} == {n for n in names if "/" not in n}
    assert all(load_profile(n).over in names and load_profile(n).region for n in names if "/" in n)


@pytest.mark.parametrize("key", ["what", "unit", "source", "edition", "found", "value"])
def test_an_entry_that_lacks_anything_is_refused_at_its_file_and_key(key: str) -> None:
    assert parse_profile(whole(ENTRY)).entries["e"].value == 1
    lacking = {k: v for k, v in ENTRY.items() if k != key}
    with pytest.raises(ProfileError, match=rf"^here\.yaml: limits\.e has no {key}"):
        parse_profile(whole(lacking), "here.yaml")


@pytest.mark.parametrize(("change", "words"), [
    ({"source": " "}, "limits.e has no source"), ({"source": "other"}, "not among the sources of the file"), ({"found": "somewhere"}, "found is one of"),
    ({"severity": "fatal"}, "severity is one of"), ({"found": "memory", "severity": "error"}, "can warn, never refuse"), ({"valid_from": "soon"}, "is no day"),
    ({"colour": "red"}, "'colour' is none of"), ({"value": [1, 2]}, "has no value")])
def test_an_entry_with_something_wrong_is_refused_with_the_reason(change: dict[str, object], words: str) -> None:
    with pytest.raises(ProfileError, match=words):
        parse_profile(whole(ENTRY | change))


@pytest.mark.parametrize(("text", "words"), [
    ("id: x", "has no date, title, sources"), ("[1]", "no mapping"), ("a: [", "profile: "), ("id: x\nid: y", "'id' stands twice"),
    (whole(ENTRY) + "fields: {e: {}}\n", "stands in another part too"), (whole(ENTRY) + "colours: {}\n", "'colours' is none of"),
    (whole([ENTRY, ENTRY | {"valid_from": date(2020, 1, 1)}]), "two entries are in force at one time"), (whole(3), "is no mapping")])
def test_a_file_that_is_no_profile_is_refused_with_the_reason(text: str, words: str) -> None:
    with pytest.raises(ProfileError, match=words):
        parse_profile(text)


@pytest.mark.parametrize("name", ["xx", "../au", "operator/../au", ""])
def test_there_is_no_profile_of_another_name(name: str) -> None:
    with pytest.raises(ProfileError):
        load_profile(name)


@pytest.mark.parametrize(("profile", "id_", "day", "value"), [
    # Energy Networks Australia, 2025: 200 kVA and 30 kVA since the edition of 2024 became mandatory on 23 February 2025; 30 kVA before
    ("au", "interface-threshold", date(2025, 2, 22), 30), ("au", "interface-threshold", date(2025, 2, 23), 200),
    ("au", "generation-total-1ph", date(2025, 2, 23), 30), ("au", "generation-total-1ph", date(2025, 2, 22), 5),
    # Energy Safe Victoria, issue 51: 2 % of nominal
    ("au", "voltage-rise-total", date(2026, 1, 1), 2),
    # regulators in Western Australia, NSW and the Northern Territory: no type AC from May 2023
    ("au", "rcd-type-ac-allowed", date(2023, 4, 30), True), ("au", "rcd-type-ac-allowed", date(2023, 5, 1), False),
    # WorkSafe New Zealand, answers of 2026: clauses against switching the PEN left out from 13 November 2025; Australia keeps them
    ("nz", "pen-switching-forbidden", date(2025, 11, 12), True), ("nz", "pen-switching-forbidden", date(2025, 11, 13), False),
    ("au", "pen-switching-forbidden", date(2025, 11, 13), True),
    # Electricity Engineers Association: 6 % became 10 % on 13 November 2025
    ("nz", "voltage-above-nominal", date(2025, 11, 12), 6), ("nz", "voltage-above-nominal", date(2025, 11, 13), 10),
    # training pages: amendment 4 alone from 15 October 2026
    ("uk", "edition-wiring", date(2026, 10, 15), "BS 7671:2018 A4:2026"), ("uk", "edition-wiring", date(2026, 10, 14), "BS 7671:2018 A2:2022 with A3:2024"),
    # WorkSafe New Zealand, notice of 13 November 2025
    ("nz", "edition-wiring", date(2026, 11, 13), "AS/NZS 3000:2018 A1 to A3 with the changes of schedule 2")])
def test_what_applies_follows_the_day_on_which_work_begins(profile: str, id_: str, day: date, value: object) -> None:
    assert load_profile(profile).limit(id_, on=day).value == value
    assert load_profiles([profile], day).limit(id_) == value


def test_without_a_day_the_newest_entry_applies() -> None:
    assert load_profiles(["au"], None).limit("interface-threshold") == 200
    assert load_profile("nz").limit("pen-switching-forbidden").value is False


def test_an_entry_that_is_not_in_force_or_does_not_exist_is_named() -> None:
    profiles = load_profiles(["au"], date(2000, 1, 1))
    with pytest.raises(KeyError, match=r"backstop-sa is not in the profiles in use \(au\) for work that begins on 2000-01-01"):
        profiles.limit("backstop-sa")
    with pytest.raises(KeyError, match="none in force on 2000-01-01"):
        load_profile("au").limit("backstop-sa", on=date(2000, 1, 1))
    with pytest.raises(KeyError, match="no such entry"):
        load_profile("au").limit("no-such-limit")
    assert profiles.find("no-such-limit") is None


def test_a_figure_that_nobody_knows_cannot_be_used() -> None:
    profiles = load_profiles(["nz"], date(2026, 11, 25))
    with pytest.raises(CannotTell, match="phase-difference of profile nz"):
        profiles.limit("phase-difference")
    with pytest.raises(TypeError, match="no number"):
        profiles.number("pen-switching-forbidden")


def test_an_overlay_comes_before_the_country_and_a_country_before_nothing() -> None:
    day = date(2026, 5, 4)
    # Evoenergy, requirements page: 20 kVA; the standard: 30 kVA (Energy Networks Australia)
    assert load_profiles(["au", "operator/evoenergy"], day).limit("generation-total-1ph") == 20
    assert load_profiles(["au"], day).limit("generation-total-1ph") == 30
    assert load_profiles(["au", "operator/evoenergy"], day).limit("voltage-rise-total") == 2
    # Western Power: 10 kVA small network, 15 kVA large
    assert load_profiles(["au", "operator/western-power"], day).limit("generation-limit") == 10
    assert load_profiles(["au", "operator/western-power", "operator/western-power-large-network"], day).limit("generation-limit") == 15


def test_an_overlay_without_a_figure_does_not_hide_the_one_of_its_base() -> None:
    base = parse_profile(whole(ENTRY))
    bare = parse_profile(whole(ENTRY | {"value": None, "found": "memory"}))
    from topology.profiles import Profiles
    assert Profiles([base, bare], None).limit("e") == 1


@pytest.mark.parametrize(("id_", "said", "value"), [
    ("voltage-rise-total", "3 %", 3), ("voltage-rise-total", "3 V", 2), ("voltage-rise-total", "three %", 2), ("interface-threshold", "30 kVA", 30),
    ("pen-switching-forbidden", "no", False), ("pen-switching-forbidden", "maybe", True), ("busbar-sum-factor", "1.1", 1.1)])
def test_a_site_may_set_a_limit_in_its_own_unit_and_the_words_say_who_did(id_: str, said: str, value: object) -> None:
    profiles = load_profiles(["au"], date(2026, 5, 4), {id_: Override(said, "A. Example, licensed electrician", "agreed")})
    entry = profiles.entry(id_)
    assert entry.value == value
    assert ("A. Example, licensed electrician (agreed)" in entry.reference) == (entry.value != load_profile("au").limit(id_, date(2026, 5, 4)).value)


def test_a_site_file_sets_profile_day_and_limits() -> None:
    text = HOUSE.replace("site: {name: Case house}", "site: {name: Case house, work_begins: 2026-05-04}\nprofile: [au, operator/evoenergy]\nlimits_override:\n  "
                         "voltage-rise-total: {value: 3 %, reason: agreed, by: A. Example, role: licensed electrician, date: 2026-03-02}")
    read = read_bytes(text.encode())
    assert read.findings == ()
    flows = Flows(read)
    assert flows.profiles.limit("voltage-rise-total") == 3
    assert flows.profiles.limit("generation-total-1ph") == 20
    said = "limit voltage-rise-total is 3 %: set on this site by A. Example, licensed electrician, 2026-03-02 (agreed), instead of 2 %"
    assert limits_said(flows.profiles) == (said,)
    assert f"{said[0].upper()}{said[1:]}." in sheet_info(flows, "Single-line diagram").notes
    report = check(read)
    assert said in report.assumed and f"Assumed: {said}." in report.text()
    assert [p["id"] for p in report.to_dict()["profiles"]] == ["au", "operator/evoenergy"]


def test_an_accepted_finding_is_printed_on_the_sheet_with_reason_and_role() -> None:
    text = f"{HOUSE}accept:\n  - {{rule: not-fed, object: SB, reason: fed next week, by: A. Example, role: licensed electrician, date: 2026-03-02}}\n"
    notes = sheet_info(Flows(read_bytes(text.encode())), "Single-line diagram").notes
    assert "Accepted: not-fed of SB: fed next week (A. Example, licensed electrician, 2026-03-02)." in notes


@pytest.mark.parametrize("named", ["TBC", "[au, TBC]"])
def test_no_limit_can_be_told_where_the_profile_is_not_known(named: str) -> None:
    flows = Flows(read_bytes(f"{HOUSE}profile: {named}\n".encode()))
    with pytest.raises(CannotTell):
        flows.profiles.find("voltage-rise-total")
    assert limits_said(flows.profiles) == ()


def test_the_report_says_that_the_day_is_not_known() -> None:
    assert any("the day on which work begins is not known" in a for a in check(read_bytes(HOUSE.encode())).assumed)


@pytest.mark.parametrize("id_", limit_ids())
def test_each_limit_explains_itself_with_value_source_and_standing(id_: str) -> None:
    text = explain_limit(id_)
    assert text is not None and text.startswith(f"{id_} (")
    for words in ("\n  source    ", "\n  edition   ", "\n  found     "):
        assert words in text
    assert id_ not in RULES


def test_the_manual_of_a_check_shows_the_entries_behind_its_limits() -> None:
    for name in (name for name, rule in RULES.items() if rule.limits):
        text = explain(name)
        assert text is not None and "Limits in the profiles:" in text
        for id_ in RULES[name].limits:
            assert f"\n{id_}, " in text


def test_nothing_is_explained_that_no_profile_has() -> None:
    assert explain_limit("no-such-limit") is None
