# SPDX-License-Identifier: MIT
"""What stands beside an object: the site's own facts in the trade's order, TBC for what is not known; designations after IEC 81346."""
from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pytest
from sld.called import called
from sld.designations import FUNCTION_LETTERS, PRODUCT_LETTERS
from sld.sheet_info import sheet_info
from sld.single_line import single_line
from sld.words import Words, setting_lines
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.report import check

GALLERY = Path(__file__).parents[1] / "gallery"
BOATHOUSE = (GALLERY / "boathouse" / "site.yaml").read_text(encoding="utf-8")


def flows(text: str = BOATHOUSE, *changes: tuple[str, str]) -> Flows:
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode(), "site.yaml", GALLERY / "boathouse"))


def lines(id_: str, *changes: tuple[str, str]) -> tuple[str, ...]:
    site = flows(BOATHOUSE, *changes)
    return Words(site).device(site.objects[id_])


def test_facts_of_each_device_stand_below_its_designation() -> None:
    assert lines("Q1") == ("Q1", "Main switch (grid supply)", "63 A 1P C 6 kA")
    assert lines("M1") == ("M1 (distributor's)", "No. 50 221 873", "import and export")
    assert lines("CT1") == ("CT1 grid L1", "100 A / 0.333 V", "to GW1:1, 3 m")
    assert lines("NE1") == ("NE1", "electrode rod 6 mm²")
    assert lines("BAT1") == ("BAT1", "wall-unit", "2.7 kVA on L1", "6.4 kWh")
    assert lines("INV1") == ("INV1", "roof-unit", "9 × 320 VA on L1", "trunk 6 mm² 2C+2.5E Cu XLPE 19 m in air")


@pytest.mark.parametrize(("id_", "old", "new", "line"), [
    ("QB1", "{id: QB1, rating: 32 A 2P, place: BS}", "{id: QB1, rating: TBC, place: BS}", "TBC"),
    ("KD2", "{id: KD2, type: disconnect-1ph-32, rating: 32 A 1P+N}", "{id: KD2, type: TBC, rating: TBC 1P+N}", "TBC A 1P+N"),
    ("BAT1", "storage: {id: BAT1, place: BS, type: wall-unit, phase: L1", "storage: {id: BAT1, place: BS, type: TBC, phase: TBC", "power TBC, phase TBC"),
    ("SB.5.breaker", "breaker: 25 A C 2P 6 kA\n          - disconnection_device: {id: KD3",
     "breaker: {rating: 25 A, poles: 2P, curve: TBC, breaking: TBC}\n          - disconnection_device: {id: KD3", "25 A 2P curve TBC, TBC kA"),
    ("INV1", "number: 9,", "number: TBC,", "TBC × 320 VA on L1"),
    ("CT1", "lead: 3 m}", "lead: TBC}", "to GW1:1"),
    ("CT1", "measures: grid, phase: L1,", "measures: grid, phase: TBC,", "CT1 grid TBC"),
    ("M1", "direction: both, number", "direction: TBC, number", "direction TBC"),
    ("KD1", "type: disconnect-1ph-32, rating: 32 A 1P+N", "type: disconnect-1ph-32", "32 A 1P+N")])
def test_what_is_not_known_is_drawn_as_tbc_and_a_type_stands_in(id_: str, old: str, new: str, line: str) -> None:
    assert line in lines(id_, (old, new))


def test_a_cable_says_what_of_it_is_open() -> None:
    def cable(new: str) -> tuple[str, ...]:
        site = flows(BOATHOUSE, ("cable: {id: W2, parts: [16 mm² 2C+6E Cu XLPE 12 m in conduit in air]}", new))
        return Words(site).cable(site.objects["W2"])

    assert cable("cable: {id: W2, parts: [{area: 16 mm², cores: 2C, length: TBC}]}") == ("W2", "16 mm² 2C TBC m")
    assert cable("cable: {id: W2, parts: [{area: TBC, cores: 2C, length: 12 m}]}") == ("W2", "TBC mm² 2C 12 m")
    assert cable("cable: {id: W2, parts: TBC}") == ("W2", "cable TBC")


def test_protection_settings_stand_beside_their_device_and_are_never_passed_over() -> None:
    made = SimpleNamespace(settings={"U>": SimpleNamespace(value="265 V", delay=1.0), "f<": SimpleNamespace(value="47 Hz", delay=None)})
    assert setting_lines(made) == ["U> 265 V 1 s", "f< 47 Hz"]
    protected = flows(BOATHOUSE, ("- breaker: 63 A C 2P 6 kA", "- interface_protection: {id: KF1, rating: 63 A 2P}"))
    assert Words(protected).device(protected.objects["KF1"]) == ("KF1", "63 A 2P", "settings: see protection schedule")


def test_a_relocated_thing_says_so() -> None:
    assert "relocated" in lines("QB1", ("isolator: {id: QB1,", "isolator: {id: QB1, status: relocated,"))


def test_a_board_says_its_rating_and_whether_it_is_new() -> None:
    site = flows()
    assert Words(site).enclosure(site.objects["SB"]) == ("SB Solar board (new), 80 A",)
    assert Words(site).enclosure(site.objects["MSB"]) == ("MSB Main switchboard, 100 A",)
    assert Words(site).enclosure(site.objects["MP"]) == ("MP Meter panel",)


def test_a_board_that_is_live_without_the_grid_says_so_and_so_do_the_notes() -> None:
    bakery = flows((GALLERY / "bakery" / "site.yaml").read_text(encoding="utf-8"))
    words = Words(bakery)
    assert words.enclosure(bakery.objects["BB"]) == ("BB Backup board (new, backup), 63 A",)
    assert "backup" not in words.enclosure(bakery.objects["MSB"])[0]
    notes = " ".join(sheet_info(bakery, "Single-line diagram").notes)
    assert "Backup: a part of the installation is supplied" in notes and "Live without the grid: BB." in notes
    assert "Live without" not in " ".join(sheet_info(flows(), "Single-line diagram").notes)


def test_the_notes_name_the_boards_at_which_several_supplies_meet() -> None:
    assert any(note.startswith("Several supplies meet at SB (INV1, INV2, BAT1, BAT2)") for note in sheet_info(flows(), "x").notes)


STRUCTURED = ("drawing:\n", "drawing:\n  designations: iec81346\n")


def test_designations_after_iec_81346_have_signs_letters_and_numbers_and_keep_the_id_of_the_schedules() -> None:
    # IEC 81346-1: = function, + location, - product; letters of IEC 81346-2:2009 from memory
    assert lines("CT1", STRUCTURED)[0] == "-BC1 (CT1) grid L1"
    assert lines("BAT2", STRUCTURED)[0] == "-GB2 (BAT2)"
    assert lines("Q1", STRUCTURED)[0].startswith("-QA")
    site = flows(BOATHOUSE, STRUCTURED)
    words = Words(site)
    assert words.enclosure(site.objects["SB"])[0].startswith("+SB Solar board")
    assert words.circuit(site.objects["SB.5"])[0] == "=C1 5-6 Storage 1"
    assert words.circuit(site.objects["SB.1"])[0].startswith("=G1 ")


def test_every_designation_is_one_of_its_kind_and_has_letters_of_the_table() -> None:
    words = Words(flows(BOATHOUSE, STRUCTURED))
    products = [*words.names.products.values()]
    assert len(products) == len(set(products))
    known = {*PRODUCT_LETTERS.values(), "EA", "EB", "EP", "MA"}
    assert all((match := re.fullmatch(r"-([A-Z]{1,2})\d+", name)) and match[1] in known for name in products)
    assert all(re.fullmatch(r"=[A-Z]\d+", name) and name[1] in FUNCTION_LETTERS.values() for name in words.names.functions.values())


def test_the_sheet_explains_the_signs_only_where_they_are_used() -> None:
    assert any("IEC 81346" in note for note in sheet_info(flows(BOATHOUSE, STRUCTURED), "Single-line diagram").notes)
    assert not any("81346" in note for note in sheet_info(flows(), "Single-line diagram").notes)


def test_the_title_block_takes_its_facts_from_the_site() -> None:
    info = sheet_info(flows(), "Single-line diagram")
    assert (info.site, info.connection, info.customer) == ("Heron Point Boathouse", "7300 0041 92", "M. Sample")
    assert info.licence == "EL 00417, SD 0093"
    assert (info.number, info.revision, info.date, info.status, info.final) == ("HPB-E-001", "A", "2026-03-16", "for application", False)


def test_an_empty_field_is_left_blank_and_refuses_nothing() -> None:
    site = flows("site: {name: Test}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, feeds: MSB}\nboards: {MSB: {busbar: 100 A}}\n")
    info = sheet_info(site, "Single-line diagram")
    assert (info.owner, info.number, info.date, info.approver, info.creator, info.connection) == ("",) * 6
    assert info.totals == () and not info.fed


def test_the_sheet_counts_findings_and_names_what_was_assumed() -> None:
    faulty = (GALLERY / "faulty" / "site.yaml").read_text(encoding="utf-8")
    text = " ".join(sheet_info(flows(faulty), "Single-line diagram").checks)
    assert re.search(r"[1-9]\d* errors", text) and "could not be told" in text and "Assumed: " in text and "profile: au of " in text


@pytest.mark.parametrize("name", ["tender", "farmhouse", "bakery"])
def test_a_sheet_has_the_assumptions_that_bear_on_it_and_names_the_report_for_all(name: str) -> None:
    read = read_bytes((GALLERY / name / "site.yaml").read_bytes(), "site.yaml", GALLERY / name)
    lines_ = sheet_info(Flows(read), "Single-line diagram").checks
    assert sum(map(len, lines_)) < 500  # some six lines of text on the sheet, where the report has a page
    assert any("air 40 °C, ground 25 °C" in line for line in lines_)  # AS/NZS 3008.1.1, reference temperatures (from memory)
    assert f"All {len(check(read).assumed)} assumptions" in lines_[-1]
    bus = sheet_info(Flows(read), "Bus diagram", power=False).checks
    assert not any("Assumed" in line for line in bus) and bus[-1] == lines_[-1]


def test_totals_on_the_sheet_add_up_per_phase() -> None:
    table = dict((row[0], row[1:]) for row in sheet_info(flows(), "Single-line diagram").totals)
    # 9 and 7 module inverters of 320 VA, 2 storage units of 2.7 kVA and 6.4 kWh: the gallery's own figures, added by hand
    assert table["Sources"] == ("L1",)
    assert table["Solar [kVA]"] == ("5.12",) and table["Storage [kVA]"] == ("5.4",)
    assert table["Nameplate in parallel [kVA]"] == ("10.52",) and table["Storage, usable [kWh]"] == ("12.8",)


def test_limits_that_were_not_stated_are_not_invented() -> None:
    lines_ = sheet_info(flows(BOATHOUSE, ("limits: {generation: 10 kVA, export: 5 kW, enforced_by: GW1}\n", "")), "x").limits
    assert lines_[0] == "Limits of nameplate, generation and export: none stated."
    lines_ = sheet_info(flows(BOATHOUSE, ("enforced_by: GW1", "enforced_by: TBC")), "x").limits
    assert "Export is limited by TBC, measured by TBC." in lines_


def test_three_phases_are_compared() -> None:
    text = BOATHOUSE.replace("1/PEN AC 50 Hz 230 V", "3/PEN AC 50 Hz 230/400 V").replace("conductors: L1 PEN", "conductors: L1 L2 L3 PEN")
    assert any(line.startswith("Difference between phases: nameplate 10.52 kVA") for line in sheet_info(flows(text), "x").limits)


@pytest.mark.parametrize("name", ["boathouse", "bakery", "farmhouse"])
def test_any_value_may_be_tbc_and_the_drawing_still_has_its_words(name: str) -> None:
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    for spot in list(re.finditer(r"\b[a-zA-Z_]+: ([^\s{\[,}#][^,}\]\n#]*)", text))[::5]:
        read = read_bytes((text[:spot.start(1)] + "TBC" + text[spot.end(1):]).encode(), "site.yaml", GALLERY / name)
        if read.site is not None and not read.unusable:
            site = Flows(read)
            words = Words(site)
            assert all(words.device(site.obj(node)) or True for node in site.graph)
            info = sheet_info(site, "Single-line diagram")
            assert info.checks and info.notes


@pytest.mark.parametrize("old", ["status: new", "name: Control bus", "owner: distributor", "status: for application"])
def test_a_site_of_which_a_status_or_name_is_open_is_drawn(old: str) -> None:
    scene = single_line(flows(BOATHOUSE, (old, old.split(":")[0] + ": TBC")))
    assert scene.sheets


def test_the_main_switch_of_a_board_says_so() -> None:
    assert lines("SB.switch") == ("Main switch", "63 A 2P")


def test_what_nobody_gave_an_id_is_called_by_its_way_where_it_is_named_elsewhere() -> None:
    site = flows()
    assert [called(site, node) for node in ("QB1", "SB.5.breaker", "SB.switch", "KD1")] == ["QB1", "SB way 5-6", "main switch of SB", "KD1"]
    bakery = Flows(read_file(GALLERY / "bakery/site.yaml"))
    assert [called(bakery, node) for node in ("QA1.normal", "INV1.grid")] == ["QA1", "INV1"]
