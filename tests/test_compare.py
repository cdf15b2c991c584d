# SPDX-License-Identifier: MIT
"""Two site files compared: nothing said of what is the same, one line for one change, the places of both files."""
from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest
from schedules.differences import between
from sites import site
from sld.cli import main
from topology.compare import Difference, compare
from topology.read import read_bytes, read_file

SITE = Path(__file__).parents[1] / "gallery/boathouse/site.yaml"
TEXT = SITE.read_text(encoding="utf-8")


def compared(*swaps: tuple[str, str], text: str = TEXT) -> tuple[Difference, ...]:
    """What differs after words are swapped, each of which stands in the text."""
    new = text
    for old, other in swaps:
        assert old in new
        new = new.replace(old, other, 1)
    return compare(read_bytes(text.encode(), "old.yaml"), read_bytes(new.encode(), "new.yaml"))


@pytest.mark.parametrize("text", [TEXT, site(3, 200, 3)])
def test_a_site_is_the_same_as_itself(text: str) -> None:
    assert compared(text=text) == ()


def test_comments_order_of_words_and_long_form_make_no_difference() -> None:
    assert compared(("site:\n", "# a remark\n\nsite:\n"), ("breaker: 20 A C 2P 6 kA", "breaker: 6 kA 2P C 20 A"),
                    ("rcd: 40 A 2P 30 mA type A", "rcd: {rating: 40 A, poles: 2P, residual: 30 mA, type: A}")) == ()


def test_a_changed_value_is_one_difference_with_both_places() -> None:
    line = TEXT[:TEXT.index("breaker: 20 A C 2P 6 kA")].count("\n") + 1
    found, = compared(("breaker: 20 A C 2P 6 kA", "breaker: 25 A C 2P 6 kA"))
    assert (found.id, found.fact, found.change, found.old, found.new) == ("SB.1.breaker", "rating", "changed", "20 A", "25 A")
    assert (found.at_old.file, found.at_old.line, found.at_new.file, found.at_new.line) == ("old.yaml", line, "new.yaml", line)  # type: ignore[union-attr]


def test_what_becomes_unknown_is_a_difference() -> None:
    found, = compared(("length: 3 m", "length: TBC"))
    assert (found.id, found.old, found.new) == ("control.BAT1-BAT2", "3 m", "TBC")


def test_facts_outside_objects_go_by_their_trail() -> None:
    found, = compared(("export: 5 kW", "export: 4 kW"))
    assert (found.id, found.fact, found.old, found.new) == ("site", "limits export", "5 kW", "4 kW")


def test_a_removed_circuit_is_named_with_all_that_stood_in_it() -> None:
    gone = "      - {way: 9-10, name: Gateway, in_line: [breaker: 6 A C 2P 6 kA], feeds: GW1}\n"
    assert [(d.id, d.change) for d in compared((gone, ""))] == [("SB.9", "taken away"), ("SB.9.breaker", "taken away")]
    back = compare(read_bytes(TEXT.replace(gone, "").encode()), read_bytes(TEXT.encode()))
    assert {(d.id, d.change) for d in back} == {("SB.9", "added"), ("SB.9.breaker", "added")}


GATEWAY = "      - {way: 9-10, name: Gateway, in_line: [breaker: 6 A C 2P 6 kA], feeds: GW1}\n"


def test_a_circuit_on_other_ways_is_renumbered_and_nothing_else() -> None:
    found, = compared((GATEWAY, GATEWAY.replace("9-10", "11-12")))
    assert (found.id, found.change, found.old, found.new) == ("SB.11", "renumbered", "SB.9, way 9-10", "SB.11, way 11-12")
    both = compared((GATEWAY, GATEWAY.replace("9-10", "11-12").replace("6 A C", "10 A C")))
    assert [(d.id, d.fact, d.change) for d in both] == [("SB.11", "", "renumbered"), ("SB.11.breaker", "rating", "changed")]


def test_a_circuit_on_another_board_is_moved() -> None:
    line = next(line for line in TEXT.splitlines(keepends=True) if "name: Hot water" in line)
    found, = compared((line, ""), (GATEWAY, GATEWAY + re.sub(r"way: \d+", "way: 12", line)))
    assert (found.change, found.new) == ("moved", "SB.12, way 12")


def test_a_renamed_device_is_one_difference_wherever_it_is_spoken_of() -> None:
    found, = compare(read_bytes(TEXT.encode(), "old.yaml"), read_bytes(TEXT.replace("GW1", "GW9").encode(), "new.yaml"))
    assert (found.id, found.change, found.old, found.new) == ("GW9", "renamed", "GW1", "GW9")


def test_circuits_of_one_name_that_have_little_in_common_are_not_taken_for_one() -> None:
    other = "      - {way: 11, name: Gateway, in_line: [rcbo: 32 A B 1P+N 10 mA type B 10 kA, cable: 6 mm² 2C+2.5E Cu XLPE 30 m], load: cooking 7 kW}\n"
    assert {(d.id, d.change) for d in compared((GATEWAY, other)) if not d.fact} >= {("SB.9", "taken away"), ("SB.11", "added")}


@pytest.mark.parametrize("seed", range(4))
def test_no_object_is_lost_between_two_random_sites(seed: int) -> None:
    old, new = (read_bytes(site(n, 80, 3).encode()) for n in (seed, seed + 50))
    said = compare(old, new)
    paired = {d.old.partition(",")[0]: d.id for d in said if d.change in ("renamed", "moved", "renumbered")}
    gone, come = ({d.id for d in said if d.change == change and not d.fact} for change in ("taken away", "added"))
    own = {id_ for id_, o in old.objects.items() if o.marks and "." not in id_}, {id_ for id_, o in new.objects.items() if o.marks and "." not in id_}
    assert own[0] - own[1] <= gone | paired.keys() and own[1] - own[0] <= come | set(paired.values())
    assert not own[0] & own[1] & (gone | come)


def test_another_order_of_devices_in_line_shows_in_their_chain() -> None:
    found = compared(("          - breaker: 63 A C 2P 6 kA\n          - filter: {id: RF1, kind: ferrite}\n",
                      "          - filter: {id: RF1, kind: ferrite}\n          - breaker: 63 A C 2P 6 kA\n"))
    assert [(d.id, d.fact, d.old, d.new) for d in found] == [("MSB.9", "in_line", "MSB.9.breaker RF1 W2", "RF1 MSB.9.breaker W2")]


def test_turning_the_comparison_round_turns_each_difference_round() -> None:
    other = TEXT.replace("name: Hot water", "name: Boiler").replace("6 mm² 2C+2.5E Cu XLPE 8 m", "10 mm² 2C+4E Cu XLPE 8 m").encode()
    one = compare(read_bytes(TEXT.encode()), read_bytes(other))
    two = compare(read_bytes(other), read_bytes(TEXT.encode()))
    assert {(d.id, d.fact, d.old, d.new) for d in one} == {(d.id, d.fact, d.new, d.old) for d in two} and len(one) == 3


def test_a_type_of_the_file_counts_and_the_library_does_not() -> None:
    types = "types:\n  storage-x: {kind: storage, power: 3 kVA}\n"
    found = compare(read_bytes(TEXT.replace("types:\n", types).encode()), read_bytes(TEXT.replace("types:\n", types.replace("3 kVA", "4 kVA")).encode()))
    assert [(d.id, d.fact, d.old, d.new) for d in found] == [("type storage-x", "power", "3 kVA", "4 kVA")]


def test_the_command_exits_0_1_and_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other, broken = tmp_path / "other.yaml", tmp_path / "broken.yaml"
    other.write_text(TEXT.replace("busbar: 100 A", "busbar: 125 A"), encoding="utf-8")
    broken.write_text(TEXT + "\n  ][", encoding="utf-8")
    assert main(["compare", str(SITE), str(SITE)]) == 0
    assert "0 differences." in capsys.readouterr().out
    assert main(["compare", str(SITE), str(other)]) == 1
    assert "MSB  busbar  changed: 100 A → 125 A  (site.yaml:" in capsys.readouterr().out
    assert main(["compare", str(SITE), str(broken)]) == 2
    assert capsys.readouterr().out == ""
    assert main(["compare", str(SITE), str(tmp_path / "none.yaml")]) == 2


def test_the_json_of_the_command_is_one_document(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = tmp_path / "other.yaml"
    other.write_text(TEXT.replace("busbar: 100 A", "busbar: 125 A"), encoding="utf-8")
    main(["compare", str(SITE), str(other), "--json"])
    said = json.loads(capsys.readouterr().out)
    assert said["same"] is False
    assert [(d["id"], d["fact"], d["old"], d["new"]) for d in said["differences"]] == [("MSB", "busbar", "100 A", "125 A")]


def test_differences_make_a_schedule_of_their_own(tmp_path: Path) -> None:
    other = tmp_path / "site.yaml"
    other.write_text(TEXT.replace("busbar: 100 A", "busbar: 125 A"), encoding="utf-8")
    table = between(compare(read_file(SITE), read_file(other)))
    assert [row[:6] for row in table.texts()] == [["MSB", "board", "changed", "busbar", "100 A", "125 A"]]


def test_an_added_revision_is_said_by_what_it_says_and_not_by_a_count_of_entries(capsys: pytest.CaptureFixture[str]) -> None:
    ferry = SITE.parents[1] / "ferry"
    assert main(["compare", str(ferry / "site-A.yaml"), str(ferry / "site.yaml")]) == 1
    said = capsys.readouterr().out
    assert "drawing revisions 2 rev  added: B" in said and "entr" not in said


def test_the_differences_can_be_had_as_a_table_with_the_same_rows(capsys: pytest.CaptureFixture[str]) -> None:
    ferry = SITE.parents[1] / "ferry"
    files = [str(ferry / "site-A.yaml"), str(ferry / "site.yaml")]
    assert main(["compare", *files, "--json"]) == main(["compare", *files, "--csv"]) == 1
    document, _, table = capsys.readouterr().out.partition("\n}\n")
    found = json.loads(document + "\n}")["differences"]
    listed = list(csv.DictReader(table.splitlines()))
    assert [(d["id"], d["fact"], d["old"], d["new"]) for d in found] == [(r["id"], r["fact"], r["before"], r["after"]) for r in listed] and len(found) > 5
    assert main(["compare", files[0], files[0], "--csv"]) == 0
