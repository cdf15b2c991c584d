# SPDX-License-Identifier: MIT
"""A character that the lettering lacks is a finding at its place in the file, and an empty box on the drawing."""
from __future__ import annotations

from pathlib import Path
from unicodedata import name

import pytest
from fontTools.ttLib import TTFont
from sld.font import font_file, missing_glyphs
from sld.primitives import Polyline, Text
from topology.glyphs import letters
from topology.read import read_bytes, read_file
from topology.report import check, explain

import sites
from sld.font import drawable
from sld.single_line import single_line
from sld.svg import texts
from sld.symbol_sheet import symbol_sheet
from topology.flow import Flows


@pytest.mark.parametrize("bold", [False, True])
def test_the_table_of_characters_is_that_of_the_font(bold: bool) -> None:
    assert letters() == {chr(code) for code in TTFont(font_file(bold)).getBestCmap()}


def test_signs_of_the_trade_and_the_letters_of_europe_have_a_shape() -> None:
    assert set("×²³ΩΔ≤≥φ°µ±½–…ÄÖÜéèçñøłşßЖабвαβγ") <= letters()


def found(text: str) -> list[tuple[int, int, int, str]]:
    read = read_bytes(text.encode(), "s.yaml")
    return [(f.mark.line, f.mark.column, f.mark.width, f.message) for f in read.findings if f.rule == "missing-glyph"]


def renamed(word: str) -> tuple[str, int, int]:
    """A valid site with a name of our choice, and where it begins."""
    lines = sites.site(1, 20, 1).splitlines()
    place = next(number for number, line in enumerate(lines) if line.lstrip().startswith("name:"))
    lines[place] = lines[place].split("name:")[0] + f"name: {word}"
    return "\n".join(lines) + "\n", place + 1, lines[place].index("name:") + 7


def test_the_finding_stands_at_the_first_character_without_a_shape() -> None:
    text, line, column = renamed("Store 倉庫 ⚡")
    assert found(text) == [(line, column + 6, 1, "the drawings have no shape of '倉' (U+5009) and of 2 more characters of this text: "
                                                 "an empty box stands for it")]
    assert name("倉") == "CJK UNIFIED IDEOGRAPH-5009"  # Unicode's own name of it


def test_the_finding_stands_at_the_character_in_quotes_too() -> None:
    text, line, column = renamed('"Store ⚡"')
    assert found(text) == [(line, column + 7, 1, "the drawings have no shape of '⚡' (U+26A1): an empty box stands for it")]


def test_letters_with_a_shape_and_comments_are_no_findings() -> None:
    text, _, _ = renamed("Küche 4×25 mm² Жук")
    assert found(text + "# 倉庫\n") == []


def test_it_is_a_warning_that_stops_nothing_and_explains_itself(tmp_path: Path) -> None:
    text, _, _ = renamed("倉庫")
    (tmp_path / "site.yaml").write_text(text, encoding="utf-8")
    report = check(read_file(tmp_path / "site.yaml"))
    finding, = (f for f in report.findings if f.rule == "missing-glyph")
    assert finding.severity == "warning" and finding.source and finding.next
    assert not report.read.unusable and "Why" in (explain("missing-glyph") or "")


def test_an_included_file_is_looked_at_too(tmp_path: Path) -> None:
    (tmp_path / "types.yaml").write_text("module-x:\n  kind: module-inverter\n  power: 400 VA\n  manual: 倉\n", encoding="utf-8")
    text, _, _ = renamed("Store")
    (tmp_path / "site.yaml").write_text("include: [types.yaml]\n" + text, encoding="utf-8")
    assert [(f.mark.file, f.mark.line) for f in read_file(tmp_path / "site.yaml").findings if f.rule == "missing-glyph"] == [("types.yaml", 4)]


def test_what_is_a_finding_is_drawn_as_an_empty_box() -> None:
    text = "Store 倉庫 ⚡"
    assert [letter for _, letter in missing_glyphs(text)] == ["倉", "庫", "⚡"]
    assert sum(isinstance(part, Polyline) for part in drawable(Text((0.0, 0.0), text))) == 3


def test_the_program_s_own_words_have_shapes_for_all_their_characters() -> None:
    drawn = single_line(Flows(read_bytes(sites.site(3, 60, 3).encode(), "s.yaml")))
    said = [text.text for scene in (drawn, symbol_sheet()) for sheet in scene.sheets for text in texts(sheet)]
    assert said and not [text for text in said if missing_glyphs(text)]
