# SPDX-License-Identifier: MIT
"""A size of sheet that the site asks for: every diagram comes onto sheets of that size, or the message says which part of it cannot."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from scene_faults import faults
from sld.board_layout import board_layout
from sld.files import DIAGRAMS, scenes
from sld.primitives import Scene, Sheet
from sld.sheet import DoesNotFit
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"
SIZES = {"A4": {(210.0, 297.0), (297.0, 210.0)}, "A3": {(420.0, 297.0)}}  # ISO 216 [mm]
NO_CHAIN = {"faulty-bus", "part-bus"}
"""Sites with a bus that is no chain: it is drawn as a whole, and is larger than what A4 leaves."""


def asking(name: str, size: str) -> Flows:
    """A site of the gallery that asks for a size."""
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    text = re.sub(r"^drawing: \{", f"drawing: {{paper: {size}, ", text, flags=re.MULTILINE)
    text = re.sub(r"^drawing:\n", f"drawing:\n  paper: {size}\n", text, flags=re.MULTILINE)
    if "\n  paper:" not in text and "{paper:" not in text:
        text += f"\ndrawing: {{paper: {size}}}\n"
    return Flows(read_bytes(text.encode(), "site.yaml", GALLERY / name))


def wrong(sheet: Sheet, size: str) -> list[str]:
    found = [] if (sheet.width, sheet.height) in SIZES[size] else [f"sheet {sheet.number} is {sheet.width} × {sheet.height}"]
    found += [f"text {label.id} is {label.text.height} high" for label in sheet.labels if label.text.height < 2.5]
    if not any(furniture.name == "caution" for furniture in sheet.furniture):
        found.append(f"sheet {sheet.number} bears no caution")
    return found


ALL = sorted(path.parent.name for path in GALLERY.glob("*/site.yaml") if path.parent.name != "tender")


@pytest.mark.parametrize(("name", "size"), [*((name, "A4") for name in ALL), *((name, "A3") for name in ("bakery", "faulty-limits", "orchard"))])
def test_every_diagram_of_the_gallery_comes_onto_sheets_of_the_size_that_was_asked_for(name: str, size: str) -> None:
    flows = asking(name, size)
    for diagram, make in DIAGRAMS.items():
        if diagram == "bus" and size == "A4" and name in NO_CHAIN:
            with pytest.raises(DoesNotFit, match="larger than A4"):
                make(flows)
            continue
        scene = make(flows)
        sheets = scene.sheets if scene else ()
        assert [fault for sheet in sheets for fault in wrong(sheet, size)] == [], diagram
        if diagram == "single-line":
            assert [fault for sheet in sheets for fault in faults(sheet)] == []


def test_a_single_line_diagram_of_more_than_a_hundred_circuits_comes_onto_a4() -> None:
    scene = DIAGRAMS["single-line"](asking("tender", "A4"))
    assert isinstance(scene, Scene)
    assert [fault for sheet in scene.sheets for fault in (*wrong(sheet, "A4"), *faults(sheet))] == []


def test_a_board_that_is_too_long_for_a_sheet_is_drawn_row_by_row_with_every_device_once() -> None:
    whole, parts = (board_layout(asking("orchard", size)) for size in ("A3", "A4"))
    assert whole and parts
    names = [sorted(placed.id for sheet in scene.sheets for placed in sheet.symbols if placed.symbol.kind != "data") for scene in (whole, parts)]
    assert names[0] == names[1] and len(set(names[1])) == len(names[1])
    words = [label.text.text for sheet in parts.sheets for label in sheet.labels]
    assert any(re.match(r"Row \d of \d", word) for word in words)


def test_what_no_sheet_of_the_size_can_hold_is_refused_at_its_place_in_the_file() -> None:
    flows = asking("faulty-bus", "A4")
    with pytest.raises(DoesNotFit, match=r"^site\.yaml:\d+:\d+: bus: a part of the drawing is \d+ × \d+ mm, larger than A4"):
        list(scenes(flows, ["bus"]))


def test_notes_and_legend_are_divided_where_a_sheet_is_too_small_for_them_and_notes_are_numbered_on() -> None:
    scene = DIAGRAMS["single-line"](asking("ferry", "A4"))
    assert isinstance(scene, Scene)
    texts = [mark.text for sheet in scene.sheets for furniture in sheet.furniture for mark in furniture.marks if hasattr(mark, "text")]
    assert "LEGEND" in texts and "LEGEND (CONTINUED)" in texts
    numbers = [int(text[:-1]) for sheet in scene.sheets for furniture in sheet.furniture if furniture.name == "notes"
               for mark in furniture.marks if hasattr(mark, "text") for text in (mark.text,) if re.fullmatch(r"\d+\.", text)]
    assert numbers == list(range(1, len(numbers) + 1))
