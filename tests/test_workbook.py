# SPDX-License-Identifier: MIT
"""The workbook against openpyxl, which is not the library that writes it: the same cells as the CSV, numbers as numbers, text inert."""
from __future__ import annotations

import csv
import io
import math
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest
import yaml
from schedules import SCHEDULES
from schedules.render import WORKBOOK, render
from schedules.write_xlsx import NoWriter
from sld.cli import main
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"
SITE = GALLERY / "boathouse/site.yaml"
TEXT = SITE.read_text(encoding="utf-8")


def flows_of(text: str) -> Flows:
    return Flows(read_bytes(text.encode()))


def read_back(data: bytes) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(data))


@pytest.fixture(scope="module")
def book() -> openpyxl.Workbook:
    return read_back(render(flows_of(TEXT), ["xlsx"])[WORKBOOK])


@pytest.mark.parametrize("name", ["boathouse", "farmhouse", "bakery"])
def test_every_sheet_reads_back_as_its_csv(name: str) -> None:
    flows = flows_of((GALLERY / name / "site.yaml").read_text(encoding="utf-8"))
    files = render(flows, ["csv", "xlsx"])
    made = read_back(files[WORKBOOK])
    assert made.sheetnames == ["Cautions", *(make(flows).title for make in SCHEDULES.values())]
    for schedule, make in SCHEDULES.items():
        lines = list(csv.reader(io.StringIO(files[f"{schedule}.csv"].decode(), newline="")))
        rows = list(made[make(flows).title].iter_rows(values_only=True))
        assert len(rows) == len(lines)
        for row, line in zip(rows, lines, strict=True):
            for cell, text in zip(row, line, strict=True):
                assert cell == float(text) if isinstance(cell, int | float) else (cell or "") == text.removeprefix("'")


def test_quantities_are_numbers_and_ids_are_text(book: openpyxl.Workbook) -> None:
    sheet = book["Cable schedule"]
    headings = [cell.value for cell in sheet[1]]
    lengths = [row[headings.index("length [m]")] for row in sheet.iter_rows(min_row=2)]
    assert lengths and all(cell.data_type == "n" for cell in lengths)
    assert {cell.number_format for cell in lengths} == {"0"}
    assert {row[headings.index("size [mm²]")].number_format for row in sheet.iter_rows(min_row=2)} == {"General"}  # 2.5 mm² and 16 mm²
    assert all(row[0].data_type == "s" for row in sheet.iter_rows(min_row=2))


def test_each_sheet_is_frozen_under_its_headings_and_prints_with_the_title_block(book: openpyxl.Workbook) -> None:
    for sheet in book.worksheets[1:]:
        assert sheet.freeze_panes == "B2" and sheet.print_title_rows == "$1:$1" and sheet.print_title_cols == "$A:$A"
        assert sheet.page_setup.orientation == "landscape" and (sheet.page_setup.fitToHeight == 0 or sheet.col_breaks.brk)
        assert "Heron Point Boathouse" in sheet.oddHeader.left.text and "HPB-E-001 rev. A" in sheet.oddHeader.right.text
        assert "licensed person" in sheet.oddFooter.left.text
        assert all(sheet.column_dimensions[cell.column_letter].width >= 5 for cell in sheet[1])


def test_no_sheet_is_shrunk_below_what_can_be_read(book: openpyxl.Workbook) -> None:
    """A character of the standard face is 7 pixels of 96 to the inch wide (ECMA-376, part 1, column widths), and A4 and A3 are 297 and 420 mm."""
    for sheet in book.worksheets[1:]:
        # a group of columns of one width bears it once
        wide = sum((each.max - each.min + 1) * each.width for each in sheet.column_dimensions.values() if each.min) * 7 * 25.4 / 96
        paper = {9: 297.0, 8: 420.0}[int(sheet.page_setup.paperSize)]
        fits = int(sheet.page_setup.fitToWidth or 1) * (paper - 2 * 0.4 * 25.4) / wide
        scale = int(sheet.page_setup.scale) / 100 if sheet.col_breaks.brk else fits
        assert scale >= 0.55, sheet.title  # 11 points become 6, of which capitals are 1.5 mm high


@pytest.mark.parametrize("name", ["boathouse", "farmhouse", "ferry", "tender"])
@pytest.mark.parametrize("title", ["Circuit schedule", "Cable schedule"])
def test_computed_columns_print_on_a_page_of_their_own_and_no_page_is_too_narrow(name: str, title: str) -> None:
    """Widths as in ECMA-376, part 1, 18.3.1.13: 7 pixels a character, 96 to the inch. The break stands where the sheets of the PDF have it."""
    flows = flows_of((GALLERY / name / "site.yaml").read_text(encoding="utf-8"))
    sheet = read_back(render(flows, ["xlsx"])[WORKBOOK])[title]
    assert not sheet.sheet_properties.pageSetUpPr or not sheet.sheet_properties.pageSetUpPr.fitToPage  # with it, breaks do not count
    breaks = [one.id for one in sheet.col_breaks.brk]
    assert len(breaks) == 1
    first = next(table for table in (make(flows) for make in SCHEDULES.values()) if table.title == title).printed()[0]
    assert [cell.value for cell in sheet[1][:breaks[0]]] == [column.title for column in first.columns]
    widths = [next(d.width for d in sheet.column_dimensions.values() if d.min and d.min <= n <= d.max) * 7 * 25.4 / 96 for n in range(1, sheet.max_column + 1)]
    room = {9: 297.0, 8: 420.0}[int(sheet.page_setup.paperSize)] - 2 * 0.4 * 25.4
    scale = int(sheet.page_setup.scale) / 100
    assert max(sum(widths[:breaks[0]]), widths[0] + sum(widths[breaks[0]:])) * scale <= room and scale >= 0.55


def test_cautions_head_the_workbook(book: openpyxl.Workbook) -> None:
    first = [cell for row in book.worksheets[0].iter_rows(values_only=True) for cell in row if cell]
    assert any("several sources" in text and "Isolate every source" in text for text in first)
    assert "Have the work verified under local rules by a licensed person." in first
    assert any("DRAFT, not confirmed" in text for text in first)


@pytest.mark.parametrize("name", ["=1+1", "+1", "@SUM(A1)", "{=1}", "http://a.example/", "&L&C", "\u202eright", "007", "1e5"])
def test_text_is_never_a_formula_a_link_or_a_number(name: str) -> None:
    said = yaml.safe_dump(name, default_style='"').strip()
    text = TEXT.replace("name: Hot water", f"name: {said}").replace("name: Heron Point Boathouse", f"name: {said}")
    made = read_back(render(flows_of(text), ["xlsx"])[WORKBOOK])
    cell = next(row[3] for row in made["Circuit schedule"].iter_rows() if row[0].value == "MSB.7")
    assert cell.data_type == "s" and cell.hyperlink is None
    assert cell.value == name.replace("\u202e", "")
    assert not any(c.data_type == "f" for sheet in made.worksheets for row in sheet.iter_rows() for c in row)


def test_the_same_site_gives_the_same_bytes() -> None:
    assert render(flows_of(TEXT), ["xlsx"]) == render(flows_of(TEXT), ["xlsx"])


def test_without_the_library_the_other_formats_work_and_the_message_says_what_to_install() -> None:
    program = ("import sys; sys.modules['xlsxwriter'] = None\n"
               "from schedules.render import render; from topology.flow import Flows; from topology.read import read_file; from pathlib import Path\n"
               f"flows = Flows(read_file(Path({str(SITE)!r})))\n"
               "assert len(render(flows, ['csv', 'html'])) > 20\n"
               "from schedules.write_xlsx import NoWriter\n"
               "try: render(flows, ['xlsx'])\n"
               "except NoWriter as error: print(error)\n")
    done = subprocess.run([sys.executable, "-c", program], env={"PYTHONPATH": ":".join(sys.path)}, capture_output=True, text=True, check=True)
    assert "pip install 'lv-site-diagrams[xlsx]'" in done.stdout
    assert issubclass(NoWriter, Exception)


def test_the_command_writes_the_workbook_beside_the_rest(tmp_path: Path) -> None:
    assert main(["schedule", str(SITE), "-o", str(tmp_path), "--format", "csv,xlsx"]) == 0
    assert {p.name for p in tmp_path.iterdir()} == {WORKBOOK, *(f"{name}.csv" for name in SCHEDULES)}


def test_every_row_is_high_enough_for_its_lines(book: openpyxl.Workbook) -> None:
    """Programs that do not find heights by themselves would print lines over each other. 15 points a line (XlsxWriter's documentation of set_row);

    running text takes at least 0.75 of a digit's width a letter (measured on free faces of the same measures)."""
    wrapped = 0
    for sheet in book.worksheets:
        for cells in sheet.iter_rows():
            for cell in cells:
                width = next(d.width for d in sheet.column_dimensions.values() if d.min and d.min <= cell.column <= d.max)
                lines = min(math.ceil(len(str(cell.value or "")) * 0.75 / width), 409 // 15)
                assert lines <= 1 or sheet.row_dimensions[cell.row].height >= lines * 15, (sheet.title, cell.coordinate)
                wrapped += lines > 1
    assert wrapped > 20
