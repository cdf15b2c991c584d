# SPDX-License-Identifier: MIT
"""How a site is earthed, on its single-line diagram: earth bars, electrodes, the name of the system.

That an inspector looks for electrode, main earth terminal and neutral-earth link on the single-line diagram: common practice, no source.
Names of systems (TN-C-S, TN-S, TT): IEC 60364-1, from memory.
"""
from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from scene_faults import faults
from sld.earthing_diagram import earthing_diagram
from sld.earthing_notes import earthing_notes
from sld.primitives import Scene, Sheet, Wire
from sld.single_line import single_line
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"
TT = (GALLERY / "part-tt/site.yaml").read_text(encoding="utf-8")
BARS = (GALLERY / "part-earthing/site.yaml").read_text(encoding="utf-8")


@cache
def flows(text: str) -> Flows:
    return Flows(read_bytes(text.encode()))


def drawn(text: str) -> Scene:
    return single_line(flows(text))


def words(sheet: Sheet, of: str) -> str:
    return " ".join(label.text.text for label in sheet.labels if label.of == of)


def earth(sheet: Sheet) -> list[Wire]:
    return [wire for wire in sheet.wires if wire.kind == "earth"]


def test_a_site_with_an_electrode_of_its_own_shows_it_below_the_terminal_at_its_board() -> None:
    sheet, = drawn(TT).sheets
    symbols = {placed.id: placed for placed in sheet.symbols}
    kinds = {placed.symbol.kind for placed in sheet.symbols}
    assert {"electrode", "terminal"} <= kinds and not faults(sheet)
    first, last = earth(sheet)
    assert first.ends == ("CU", "MET") and last.ends[0] == "MET" and symbols[last.ends[1]].symbol.kind == "electrode"
    assert words(sheet, "MET") == "MET main earth terminal" and words(sheet, last.id) == "earthing conductor 16 mm²"
    assert words(sheet, last.ends[1]) == "electrode rod" and words(sheet, first.id) == "PE"
    area, = (area for area in sheet.areas if area.object == "CU")
    assert symbols["MET"].at[1] < area.bbox[3] < symbols[last.ends[1]].at[1]  # the terminal in the board, the electrode outside it


def test_an_electrode_that_is_not_known_is_drawn_as_such_and_none_where_none_is_said() -> None:
    sheet, = drawn(TT.replace("electrode: rod 16 mm²", "electrode: TBC")).sheets
    assert "electrode TBC" in " ".join(label.text.text for label in sheet.labels)
    sheet, = drawn(TT.replace("electrode: rod 16 mm², ", "")).sheets
    assert [placed.symbol.kind for placed in sheet.symbols if placed.object == "MET"] == ["protective-earth"] and len(earth(sheet)) == 1


def test_earth_bars_hang_on_the_boards_whose_protective_conductors_they_hold() -> None:
    sheet, = drawn(BARS).sheets
    assert {wire.ends for wire in earth(sheet)} == {("MSB", "MET"), ("BN", "EB1")}
    assert words(sheet, "EB1") == "EB1 earth bar to NE2 6 mm²"


def test_a_bar_that_stands_in_no_board_is_drawn_at_the_main_one() -> None:
    sheet, = drawn(BARS.replace("EB1: {kind: earth bar, place: BN, ", "EB1: {kind: earth bar, ")).sheets
    assert {wire.ends for wire in earth(sheet)} == {("MSB", "MET"), ("MSB", "EB1")}
    area, = (area for area in sheet.areas if area.object == "MSB")
    assert next(placed for placed in sheet.symbols if placed.id == "EB1").at[1] > area.bbox[3]


def test_new_bars_are_thick_and_removed_ones_crossed() -> None:
    sheet, = drawn(TT.replace("MET: {kind", "MET: {status: new, kind")).sheets
    assert {wire.pen.width for wire in earth(sheet)} == {0.5}
    scene = drawn(TT.replace("MET: {kind", "MET: {status: removed, kind"))
    assert "Removed" in {mark.text for part in scene.sheets[0].furniture if part.name == "legend" for mark in part.marks if hasattr(mark, "text")}


@pytest.mark.parametrize(("text", "told"), [
    (TT, "Earthing: the supply brings no protective conductor (TT); protective conductors are earthed by the electrode of MET."),
    (TT.replace("electrode: rod 16 mm², ", ""), "Earthing: the supply brings no protective conductor (TT); no electrode is shown."),
    (TT.replace("1/N AC", "1/N/PE AC"), "Earthing: the supply brings N and PE apart (TN-S from there on)."),
    (BARS, "Earthing: neutral and protective conductor come combined (PEN); N and PE part at NE1, NE2 (TN-C-S)."),
])
def test_the_system_of_earthing_is_named(text: str, told: str) -> None:
    assert next(earthing_notes(flows(text))) == told


@pytest.mark.parametrize(("said", "told"), [("yes", "G1 has an N–E link."), ("no", "G1 has no N–E link."), ("TBC", "G1 (N–E link TBC).")])
def test_the_note_on_earthing_says_whether_a_generator_has_a_link_of_its_own(said: str, told: str) -> None:
    text = (GALLERY / "bakery/site.yaml").read_text(encoding="utf-8").replace("ne_link: yes", f"ne_link: {said}")
    assert next(earthing_notes(flows(text))).endswith(f"in backup INV1 closes an N–E link; {told}")
    words = " ".join(mark.text for part in drawn(text).sheets[0].furniture for mark in part.marks if hasattr(mark, "text"))
    assert told in " ".join(words.split())


def test_what_is_bonded_is_told_with_its_conductors() -> None:
    assert list(earthing_notes(flows(BARS)))[1:] == ["Bonded to MET: water pipe 4 mm², steel frame 4 mm²."]


def test_every_earth_wire_is_long_enough_to_be_seen_as_dashed() -> None:
    # a dashed line shows two strokes at least: common practice, no source
    for scene in (drawn(TT), drawn(BARS), earthing_diagram(flows(BARS))):
        assert scene is not None
        for wire in (wire for sheet in scene.sheets for wire in earth(sheet)):
            length = sum(abs(x1 - x0) + abs(y1 - y0) for (x0, y0), (x1, y1) in zip(wire.points, wire.points[1:]))
            stroke, gap = wire.pen.dash
            assert length >= stroke + gap + 1.0
