# SPDX-License-Identifier: MIT
"""What must stand on every sheet of every diagram, read in the SVG that a user opens alone."""
from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from sld.bus_diagram import bus_diagram
from sld.primitives import Scene
from sld.sheet_info import sheet_info
from sld.single_line import single_line
from sld.svg import svg
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"
SVG = "{http://www.w3.org/2000/svg}"


def flows(name: str, *changes: tuple[str, str]) -> Flows:
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode(), "site.yaml", GALLERY / name))


def pages(site: Flows) -> list[str]:
    """The words of each sheet of all diagrams."""
    scenes: list[Scene] = [scene for scene in (single_line(site), bus_diagram(site)) if scene is not None]
    roots = [ElementTree.fromstring(svg(sheet, scene)) for scene in scenes for sheet in scene.sheets]
    return [" ".join(text.text or "" for text in root.iter(f"{SVG}text")) for root in roots]


@pytest.mark.parametrize("name", ["boathouse", "orchard", "bakery", "farmhouse"])
def test_every_sheet_warns_counts_and_says_whose_it_is(name: str) -> None:
    site = flows(name)
    info = sheet_info(site, "")
    for words in pages(site):
        assert "Several sources of supply" in words and "prove dead at each" in words and "licensed person must verify" in words
        assert f"Status of this drawing: {info.status}." in words and "NOT FOR ENERGISING until the status is as-built." in words
        assert "Checks of the program:" in words
        for fact in (info.site, info.connection, info.number, info.customer, info.licence, info.date, info.title):
            assert fact in words
        assert "complies" not in words.lower() and "compliant" not in words.lower()


def test_a_set_numbers_its_sheets_and_keeps_notes_totals_and_legend_on_one() -> None:
    found = pages(flows("orchard"))[:-1]  # the last one is the bus diagram
    assert len(found) > 1
    for number, words in enumerate(found, 1):
        assert f"{number}/{len(found)}" in words
    for heading in ("NOTES", "TOTALS AND LIMITS", "LEGEND", "CHECKS AND ASSUMPTIONS"):
        assert sum(heading in words for words in found) == 1


def test_only_an_as_built_drawing_may_be_energised_and_it_keeps_its_caution() -> None:
    for words in pages(flows("cottage", ("status: for application", "status: as-built"))):
        assert "ENERGISING" not in words and "prove dead at each" in words and "Status of this drawing: as-built." in words


@pytest.mark.parametrize("size", ["A3", "A1"])
def test_a_size_that_is_asked_for_is_the_size_of_every_sheet(size: str) -> None:
    asked = flows("boathouse", ("drawing:\n", f"drawing:\n  paper: {size}\n"))
    sheets = single_line(asked).sheets
    assert {sheet.size for sheet in sheets} == {size} and (size != "A3" or len(sheets) > 1)


def test_status_is_drawn_and_explained() -> None:
    # existing thin, new thick, removed dashed and crossed, altered with the triangle of the revision: common practice, no source
    site = flows("boathouse", ("isolator: {id: QB1,", "isolator: {id: QB1, status: removed,"),
                 ("- breaker: {id: Q1,", "- breaker: {id: Q1, status: altered,"),
                 ("isolator: {id: QB2,", "isolator: {id: QB2, status: relocated,"))
    scene = single_line(site)
    pens = {placed.object: placed.pen for sheet in scene.sheets for placed in sheet.symbols}
    assert pens["QB1"].dash and not pens["Q1"].dash
    assert pens["SF"].width == pens["Q1"].width == pens["QB1"].width < pens["QB2"].width == pens["BAT1"].width
    words = " ".join(pages(site))
    for text in ("Existing (thin)", "New or relocated (thick)", "Altered at the revision named", "relocated"):
        assert text in words
    assert "Removed" in words and "dashed, crossed" in words
