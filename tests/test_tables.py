# SPDX-License-Identifier: MIT
"""Tables are facts with a source; a table that lacks it is refused, and a user's own table goes before what ships."""
from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest
from topology.read import read_bytes
from topology.report import check
from topology.tables import FOUND, KINDS, NoRow, TableError, Tables, parse_table, shipped

GOOD = """# table: capacity
# edition: user's licensed copy
# source: a national table, row by row
insulation,method,loaded,material,area_mm2,ampere,reference_degc,found
V-75,B2,2,Cu,2.5,26,40,text
"""


def test_every_shipped_table_says_its_source_edition_and_that_the_licensed_edition_prevails() -> None:
    folder = resources.files("topology.tables")
    files = [path for path in folder.iterdir() if path.name.endswith(".csv")]
    assert {parse_table(path.read_text(encoding="utf-8"), path.name).kind for path in files} == set(KINDS) - {"methods"}  # words of laying stand in the profiles
    for path in files:
        assert "the licensed edition prevails" in path.read_text(encoding="utf-8")
    assert all(row.source and row.edition and row.found in FOUND for table in shipped().all for row in table.rows)


@pytest.mark.parametrize("word", ["table", "edition", "source"])
def test_a_table_without_one_of_the_lines_of_its_head_is_refused(word: str) -> None:
    text = "\n".join(line for line in GOOD.splitlines() if not line.startswith(f"# {word}:"))
    with pytest.raises(TableError, match=f"own.csv has no line '# {word}: …'"):
        parse_table(text, "own.csv")


@pytest.mark.parametrize(("old", "new", "says"), [
    ("# source: a national table, row by row", "# source:", "own.csv has no line '# source: …'"),
    ("capacity", "capacities", "own.csv: there is no kind of table 'capacities'"),
    ("reference_degc,", "", "own.csv has no column reference_degc"),
    (",text", ",text,more", "own.csv:5 has more cells than columns"),
    (",text", ",hearsay", "own.csv:5: found is one of text, second-hand, derived, memory"),
    ("2.5,26", "2.5,many", r"own.csv:5: 'many' is no number \(ampere\)"),
    ("2.5,26", "2.5,-26", r"own.csv:5: '-26' cannot be \(ampere\)"),
    ("2.5,26", "2.5,nan", r"own.csv:5: 'nan' cannot be \(ampere\)"),
    ("2.5,26", "2.5,1e999", r"own.csv:5: '1e999' cannot be \(ampere\)"),
    ("2.5,26", "2.5,0", r"own.csv:5: '0' cannot be \(ampere\)"),
    ("found\nV", "found,source\nV", "own.csv:5: found is one of|own.csv:5 has no source")])
def test_a_table_that_cannot_be_trusted_is_refused_with_the_reason(old: str, new: str, says: str) -> None:
    with pytest.raises(TableError, match=says):
        parse_table(GOOD.replace(old, new), "own.csv")


def test_a_row_whose_source_cell_is_empty_is_refused() -> None:
    with pytest.raises(TableError, match="own.csv:5 has no source"):
        parse_table(GOOD.replace("found\n", "found,source\n").replace(",text", ",text,"), "own.csv")


def test_a_users_row_goes_before_the_shipped_one_and_the_rest_stays() -> None:
    own = parse_table(GOOD.replace("V-75,B2", "PVC,B2").replace("26,40", "22,30"), "own.csv")
    tables = Tables([own, *shipped().all])
    wanted = {"insulation": "PVC", "method": "B2", "loaded": 2, "material": "Cu"}
    assert (tables.row("capacity", **wanted, area_mm2=2.5)["ampere"], tables.row("capacity", **wanted, area_mm2=2.5).at) == (22, "own.csv:5")
    assert tables.row("capacity", **wanted, area_mm2=4) is shipped().row("capacity", **wanted, area_mm2=4)


def test_nothing_is_interpolated_between_rows() -> None:
    with pytest.raises(NoRow, match="the tables have no resistance for conductor class 2, material Cu, area mm2 5"):
        shipped().row("resistance", conductor_class=2, material="Cu", area_mm2=5)


def test_rows_known_from_memory_are_not_firm() -> None:
    rows = list(shipped().rows("capacity", method="E"))
    assert rows and not any(row.firm for row in rows)
    assert all(row.firm for row in shipped().rows("resistance", material="Cu"))


SITE = "site: {name: S}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, load: spare}\ntables: [own.csv]\n"


def test_a_site_file_points_to_tables_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(GOOD, encoding="utf-8")
    read = read_bytes(SITE.encode(), folder=tmp_path)
    assert read.findings == ()
    assert [t.kind for t in read.tables] == ["capacity"]


@pytest.mark.parametrize(("text", "says"), [
    (None, "table 'own.csv' is refused: No such file or directory"),
    (GOOD.replace("# source", "# sauce"), "table 'own.csv' is refused: own.csv has no line '# source: …'")])
def test_a_table_that_is_missing_or_has_no_source_is_a_fault_of_the_site_file(tmp_path: Path, text: str | None, says: str) -> None:
    if text is not None:
        (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    read = read_bytes(SITE.encode(), folder=tmp_path)
    assert [(f.rule, f.mark.line, f.mark.column, f.message) for f in read.findings] == [("table-refused", 3, 10, says)]
    assert read.tables == ()


METHOD = "# table: methods\n# edition: own\n# source: own survey\nwords,method,arrangement,found\nlaid loft,B2,enclosed,text\n"


def faults(tmp_path: Path, **tables: str) -> list[tuple[str, int, int, int, str, str]]:
    for name, text in tables.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    named = ", ".join(f"{name}.csv" for name in tables)
    read = read_bytes(SITE.replace("own.csv", named).encode(), folder=tmp_path)
    assert len(read.tables) == len(tables) - len(read.findings)
    return [(f.mark.file, f.mark.line, f.mark.column, f.mark.width, f.message.partition(": ")[2], f.next) for f in read.findings]


@pytest.mark.parametrize(("text", "at", "says", "step"), [
    (GOOD.replace("V-75,B2", "V-75,B3"), (5, 6, 2), "own.csv:5: no method 'B3' is known, so that nothing would ever use this row", "did you mean 'B"),
    (GOOD.replace("V-75,", "V75,"), (5, 1, 3), "own.csv:5: no insulation 'V75' is known, so that nothing would ever use this row", "did you mean 'V-75'?"),
    (GOOD.replace("2,Cu", "4,Cu"), (5, 9, 1), "own.csv:5: no loaded '4' is known, so that nothing would ever use this row", "there are: 2, 3"),
    (GOOD.replace(",found", ",remarks,found").replace(",text", ",,text"), (4, 66, 7), "own.csv:4: a table of capacity has no column 'remarks'", "there are: insulation,"),
    (GOOD.replace("2.5,26", "2.5,many"), (5, 18, 4), "own.csv:5: 'many' is no number (ampere)", "mend the head or the row"),
    (GOOD.replace(",text", ",txt"), (5, 24, 3), "own.csv:5: found is one of text, second-hand, derived, memory", "did you mean 'text'?"),
    (METHOD.replace("B2", "b2"), (5, 11, 2), "own.csv:5: no method 'b2' is known, so that nothing would ever use this row", "did you mean 'B2'?"),
    (METHOD.replace("laid loft", "in loft"), (5, 1, 7), "own.csv:5: no words 'in loft' is known, so that nothing would ever use this row", "did you mean 'in "),
    (METHOD.replace("enclosed", "enclosd"), (5, 14, 7), "own.csv:5: no arrangement 'enclosd' is known, so that nothing would ever use this row", "did you mean 'enclosed'?")])
def test_a_word_or_column_that_nothing_asks_for_is_a_fault_at_its_place_in_the_table(tmp_path: Path, text: str, at: tuple[int, int, int], says: str, step: str) -> None:
    (found,) = faults(tmp_path, own=text)
    assert found[:4] == ("own.csv", *at)
    assert found[4] == says
    assert found[5].startswith(step)


def test_a_method_of_your_own_needs_a_table_that_asks_for_it_and_one_that_has_its_capacities(tmp_path: Path) -> None:
    capacity, methods = GOOD.replace("V-75,B2", "V-75,N4"), METHOD.replace("B2", "N4")
    assert faults(tmp_path, a=capacity, b=methods) == []
    assert [f[4] for f in faults(tmp_path, a=capacity)] == ["a.csv:5: no method 'N4' is known, so that nothing would ever use this row"]
    assert [f[4] for f in faults(tmp_path, b=methods)] == ["b.csv:5: no method 'N4' is known, so that nothing would ever use this row"]


def test_a_note_may_stand_beside_the_facts_of_a_table(tmp_path: Path) -> None:
    assert faults(tmp_path, own=GOOD.replace("found\n", "found,note\n").replace(",text", ',text,"page 4, row 2"')) == []


def test_the_line_of_the_table_is_quoted_under_the_fault(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(GOOD.replace("V-75,B2", "V-75,B9"), encoding="utf-8")
    text = check(read_bytes(SITE.encode(), folder=tmp_path)).text()
    assert "own.csv:5:6  error  table-refused: table 'own.csv' is refused" in text
    assert " 5 | V-75,B9,2,Cu,2.5,26,40,text\n   |      ^^\n" in text
