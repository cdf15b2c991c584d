# SPDX-License-Identifier: MIT
"""Words of laying stand for methods of installation as the profiles say, the user's table before them, the site's own decision too.

Capacities of 2.5 mm² copper, PVC, two loaded, 30 °C (BS 7671 Appendix 4 single-core; IEC 60364-5-52 Annex B multicore, from memory for B2):
A1 20 A, B2 23 A, C 27 A.
"""
from __future__ import annotations

from pathlib import Path

import pytest
from topology.electrical import Electrical, solve
from topology.electrical.conductors_of import parts_of
from topology.electrical.laying import laying_of, words_of
from topology.errors import CannotTell
from topology.explain_limits import explain_limit
from topology.flow import Flows
from topology.profiles import Profiles, load_profile, parse_profile
from topology.read import read_bytes, read_file

SITE = """
site: {{name: Laying}}
profile: [iec]
supply: {{system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 40 A gG], feeds: MSB}}
boards: {{MSB: {{circuits: [{{way: 1, in_line: [breaker: 16 A C 1P 6 kA, cable: {{id: W1, parts: [2.5 mm² 2C+2.5E Cu PVC 9 m {words}]}}], load: heater 1 kW}}]}}}}
"""
ROOF = "# table: methods\n# edition: licensed copy\n# source: national rules of laying\nwords,method,arrangement,found\nlaid roof-void,A1,enclosed,text\n"


def solved(words: str, more: str = "") -> Electrical:
    read = read_bytes((SITE.format(words=words) + more).encode())
    assert read.findings == (), read.findings
    return solve(Flows(read))


def ampere(e: Electrical) -> float:
    part = parts_of(e.flows.objects["W1"])[0]
    return e.capacity(e.cable_node(e.flows.objects["W1"]), part).tabulated


@pytest.mark.parametrize(("words", "amperes"), [
    ("in wall", 20), ("in conduit", 23), ("clipped direct", 27), ("method A1", 20), ("method B2", 23), ("method C", 27),
    ("in conduit in wall", 20)])  # in a wall it is warmer than in a conduit alone
def test_words_and_letters_stand_for_the_method_whose_capacity_is_used(words: str, amperes: float) -> None:
    assert ampere(solved(words)) == amperes


def test_a_site_can_decide_what_its_words_stand_for() -> None:
    more = "limits_override: {laying-in-conduit: {value: C on surface, reason: short of a metre, by: A. Example, role: licensed electrician, date: 2026-01-05}}\n"
    e = solved("in conduit", more)
    assert ampere(e) == 27
    assert "set on this site by A. Example" in laying_of(e.given, parts_of(e.flows.objects["W1"])[0]).source


def test_a_profile_says_its_own_words_and_goes_before_the_international_one() -> None:
    text = ("id: here\ndate: 2026-01-01\ntitle: Here\nsources: {book: national rules}\nlayings:\n"
            "  laying-in-wall: {what: in a wall, value: C on surface, unit: '-', found: text, source: book, edition: 2020}\n"
            "  laying-laid-catenary: {what: on a wire, value: E on tray, unit: '-', found: text, source: book, edition: '2020'}\n")
    profile = parse_profile(text.replace("edition: 2020}", "edition: '2020'}"))
    for words, method in (("in wall", "C"), ("laid catenary", "E"), ("in conduit", "B2")):
        e = solved(words)
        e.flows.__dict__["profiles"] = Profiles([load_profile("iec"), profile], None)
        found = laying_of(e.given, parts_of(e.flows.objects["W1"])[0])
        assert (found.method, found.words) == (method, words)


def test_a_users_table_names_words_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(ROOF, encoding="utf-8")
    (tmp_path / "site.yaml").write_text(SITE.format(words="laid roof-void") + "tables: [own.csv]\n", encoding="utf-8")
    read = read_file(tmp_path / "site.yaml")
    assert read.findings == ()
    e = solve(Flows(read))
    assert ampere(e) == 20
    assert laying_of(e.given, parts_of(e.flows.objects["W1"])[0]).source == "national rules of laying"


def test_words_that_nobody_explains_leave_the_capacity_open() -> None:
    with pytest.raises(CannotTell, match="method of installation for 'laid roof-void'"):
        ampere(solved("laid roof-void"))


def test_every_word_that_the_grammar_has_is_explained_by_the_international_profile() -> None:
    """The reader's own words, taken from its messages' example list, each stand for a method that the capacity tables know."""
    words = {words_of(id_) for id_ in load_profile("iec").dated if id_.startswith("laying-")}
    for word in ("in conduit", "in air", "underground", "in duct", "in trunking", "on tray", "clipped direct", "in wall", "in insulation", "on surface",
                 "in ceiling", *(f"method {letter}" for letter in ("A1", "A2", "B1", "B2", "C", "D", "E"))):
        assert word in words
        solved(word)  # and is read without a fault
    assert "B2 enclosed" in (explain_limit("laying-in-conduit") or "")
    assert words_of("laying-laid-roof-void") == "laid roof-void"
