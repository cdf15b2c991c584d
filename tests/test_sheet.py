# SPDX-License-Identifier: MIT
"""Sheets: frame and title block as the standards have them, everything within its cell, nothing on top of the drawing."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sld.files import DIAGRAMS
from sld.font import text_box
from sld.layout import Drawn, Enclosure, Feed, Strip, layout, layouts
from sld.primitives import Arc, Box, Circle, Pen, Polyline, Primitive, Sheet, Text
from sld.sheet import DoesNotFit, Revision, SheetInfo, compose, zone_of
from sld.sheet.frame import PAPERS, SIZES, frame_box
from sld.sheet.grid import Grid
from sld.sheet.legend import columns
from topology.flow import Flows
from topology.read import read_file

GALLERY = Path(__file__).parents[1] / "gallery"
LONG = "An owner with a name so long that no field of any title block could ever hold it on the lines that there are " * 3
INFO = SheetInfo(owner="R. Example", number="KLB-E-001", date="2026-03-02", title="Solar and storage", approver="B. Example",
                 creator="A. Example", document_type="Single-line diagram", revision="B", status="for application", site="Boathouse",
                 address="4 Kelp Lane, Port Example", connection="4100 0000 01", customer="C. Example", designer="D. Example",
                 licence="EC 00000", notes=("Export limited to 5 kW.",),
                 revisions=(Revision("A", "2026-03-02", "Issued", "AE"), Revision("B", "2026-04-02", "Storage added", "AE")))


def drawing(ways: int, pen: Pen = Pen()) -> tuple[Strip, tuple[()], tuple[Enclosure, ...]]:
    def way(n: int) -> Strip:
        cable = Feed(f"W{n}", f"W{n}", lines=(f"W{n}", "2.5 mm² 2C+2.5E", "24 m"), conductors="1/N/PE")
        load = Strip(f"L{n}", f"L{n}", "load", ("Sockets", "3 kW"), wire=cable)
        return Strip(f"Q{n}", f"Q{n}", "breaker", (f"Q{n}", "20 A C 1P 6 kA"), "", pen, Feed(f"w{n}", f"w{n}"), (load,), "E")

    circuits = tuple(way(n) for n in range(ways))
    bar = Strip("B", "B", "busbar", ("B",), wire=Feed("w", "w"), children=circuits, enclosure="E")
    return Strip("PS", "PS", "supply", ("Point of supply",), children=(bar,)), (), (Enclosure("E", "E", ("Main switchboard",)),)


def sheet(ways: int = 4, info: SheetInfo = INFO, size: str | None = None) -> Sheet:
    return compose(layouts(*drawing(ways)), info, size=size)


def extents(marks: tuple[Primitive, ...]) -> Iterator[Box]:
    for mark in marks:
        if isinstance(mark, Text):
            yield text_box(mark)
        elif isinstance(mark, Polyline):
            xs, ys = zip(*mark.points)
            yield (min(xs), min(ys), max(xs), max(ys))
        elif isinstance(mark, (Arc, Circle)):
            (x, y), r = mark.centre, mark.radius
            yield (x - r, y - r, x + r, y + r)


def within(a: Box, b: Box, slack: float = 0.05) -> bool:
    return a[0] >= b[0] - slack and a[1] >= b[1] - slack and a[2] <= b[2] + slack and a[3] <= b[3] + slack


def overlap(a: Box, b: Box, slack: float = 0.05) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > slack and min(a[3], b[3]) - max(a[1], b[1]) > slack


def filled(text: str) -> SheetInfo:
    """The same text in every field."""
    return SheetInfo(**{field.name: text for field in fields(SheetInfo) if field.type == "str" and field.name != "paper"})


def texts(shown: Sheet) -> list[str]:
    return [mark.text for part in shown.furniture for mark in part.marks if isinstance(mark, Text)]


def taken(shown: Sheet) -> Iterator[Box]:
    yield from (thing.bbox for thing in (*shown.areas, *shown.symbols, *shown.labels))
    for wire in shown.wires:
        for (x, y), (u, v) in zip(wire.points, wire.points[1:]):
            yield (min(x, u), min(y, v), max(x, u), max(y, v))


@pytest.mark.parametrize(("size", "space"), [("A0", (1159, 821)), ("A1", (811, 574)), ("A2", (564, 400)), ("A3", (390, 277)),
                                             ("A4", (180, 277))])
def test_drawing_space_is_that_of_iso_5457(size: str, space: tuple[int, int]) -> None:
    # ISO 5457:1999, from a public paraphrase
    x0, y0, x1, y1 = frame_box(*next(paper[1:] for paper in PAPERS if paper[0] == size))
    assert (x1 - x0, y1 - y0) == space


@pytest.mark.parametrize(("size", "zones"), [("A0", (24, 16)), ("A1", (16, 12)), ("A2", (12, 8)), ("A3", (8, 6)), ("A4", (4, 6))])
def test_number_of_zones_is_that_of_iso_5457(size: str, zones: tuple[int, int]) -> None:
    # ISO 5457:1999, table of zones, from a public paraphrase: along the long and the short side; A4 stands upright
    border = next(part for part in sheet(1, size=size).furniture if part.name == "zones")
    shown = [mark.text for mark in border.marks if isinstance(mark, Text)]
    assert {text for text in shown if text.isdigit()} == {str(n + 1) for n in range(zones[0])}
    assert {text for text in shown if text.isalpha()} == set("ABCDEFGHJKLMNPQRSTUVWXYZ"[:zones[1]])


def test_a_sheet_lies_or_stands_as_it_is_filled_best_and_stays_on_the_size_asked_for() -> None:
    small, asked = sheet(1), sheet(1, replace(INFO, paper="A2"))
    assert (small.size, small.width, small.height) == ("A4", 210.0, 297.0)  # ISO 5457: A4 upright
    assert (asked.size, asked.width, asked.height) == ("A2", 594.0, 420.0)
    with pytest.raises(DoesNotFit, match="A4"):
        sheet(40, replace(INFO, paper="A4"))


def test_trimming_marks_are_two_filled_strips_of_10_by_5_mm_in_each_corner() -> None:
    # ISO 5457:1999, two public paraphrases
    shown = sheet(1, size="A3")
    frame = next(part for part in shown.furniture if part.name == "frame")
    filled_boxes = [box for box, mark in zip(extents(frame.marks), frame.marks) if isinstance(mark, Polyline) and mark.fill]
    assert sorted((x1 - x0, y1 - y0) for x0, y0, x1, y1 in filled_boxes) == [(5, 10)] * 4 + [(10, 5)] * 4
    assert all(x0 in (0, 410, 415) and y0 in (0, 287, 292) for x0, y0, _, _ in filled_boxes)


def test_centring_marks_reach_10_mm_beyond_the_frame_on_the_axes_of_the_trimmed_sheet() -> None:
    # ISO 5457:1999 clause 4.3 (second public paraphrase, and from memory)
    shown = sheet(1, size="A3")
    marks = {part.name: part.marks[0].points for part in shown.furniture if part.name.startswith("centring")}
    assert marks == {"centring mark top": ((210, 5), (210, 20)), "centring mark bottom": ((210, 292), (210, 277)),
                     "centring mark left": ((15, 148.5), (30, 148.5)), "centring mark right": ((415, 148.5), (400, 148.5))}


def test_zones_can_be_left_off_on_a4_only() -> None:
    bare, larger = sheet(1, replace(INFO, zoned=False)), sheet(1, replace(INFO, zoned=False), "A3")
    assert zone_of(bare, 100, 100) == "" and zone_of(larger, 100, 100) != ""


def test_title_block_is_180_mm_wide_in_the_lower_right_corner() -> None:
    # ISO 7200:2004, from a public paraphrase
    for size in ("A4", "A3", "A1"):
        shown = sheet(1, size=size)
        box = next(part.box for part in shown.furniture if part.name == "title block")
        assert box is not None
        assert box[2] - box[0] == pytest.approx(180.0)  # the drawing space of A4 upright
        assert box[2:] == shown.frame[2:]


def test_all_mandatory_fields_of_iso_7200_are_on_the_sheet() -> None:
    # ISO 7200:2004: owner, number, date, sheet, title, approval person, creator, document type (from a public paraphrase)
    shown = texts(sheet(4, replace(INFO, sheet=2, sheets=3)))
    for text in (INFO.owner, INFO.number, INFO.date, "2/3", INFO.title, INFO.approver, INFO.creator, INFO.document_type):
        assert text in shown


def test_what_an_installation_needs_is_above_the_title_block() -> None:
    shown = texts(sheet())
    for text in (INFO.site, INFO.address, INFO.connection, INFO.customer, INFO.designer, INFO.licence, "Storage added"):
        assert text in shown


@pytest.mark.parametrize(("ways", "notes"), [(0, 1), (1, 1), (4, 1), (9, 1), (16, 1), (40, 1), (9, 9), (9, 18), (16, 25), (16, 40)])
def test_furniture_never_meets_the_drawing_or_other_furniture(ways: int, notes: int) -> None:
    shown = sheet(ways, replace(INFO, notes=("A note of about this length, as they are written.",) * notes))
    boxes = {part.name: part.box for part in shown.furniture if part.box}
    for box in taken(shown):
        assert within(box, shown.frame)
        assert not [name for name, other in boxes.items() if overlap(box, other)]
    for (one, a), (other, b) in combinations(boxes.items(), 2):
        assert not overlap(a, b), (one, other)


@pytest.mark.parametrize("text", ["", "x", LONG, LONG.replace(" ", "")])
def test_no_text_leaves_its_block_however_long(text: str) -> None:
    changes = (Revision(text, text, text, text),) * 9
    shown = sheet(2, replace(filled(text), revisions=changes, notes=(text, text), cautions=(text,), limits=(text,), checks=(text, text),
                                 totals=(("Sources", "L1"), ("Solar [kVA]", "2.88"))))
    for part in shown.furniture:
        if part.box:
            assert all(within(box, part.box) for box in extents(part.marks)), part.name


def test_cells_of_the_title_block_hold_their_text() -> None:
    shown = sheet(2, replace(filled(LONG), revisions=(Revision(LONG, LONG, LONG, LONG),)))
    block = next(part for part in shown.furniture if part.name == "title block")
    cells = [box for box, mark in zip(extents(block.marks), block.marks) if isinstance(mark, Polyline) and mark.closed]
    for mark in block.marks:
        if isinstance(mark, Text):
            assert sum(within(text_box(mark), cell) for cell in cells) >= 2, mark  # its own cell and the outline of the block


def test_lettering_is_never_smaller_than_legible() -> None:
    shown = sheet(9)
    heights = {mark.height for part in shown.furniture for mark in part.marks if isinstance(mark, Text)}
    heights |= {label.text.height for label in shown.labels}
    assert min(heights) == 1.8  # ISO 3098 series: captions of the title block
    assert sorted(heights)[1] >= 2.5
    small = {part.name for part in shown.furniture for mark in part.marks if isinstance(mark, Text) and mark.height < 2.5}
    assert small == {"title block"}


def test_the_smallest_sheet_that_fits_is_taken_and_grows_with_the_drawing() -> None:
    names = list(SIZES)
    sizes = [sheet(ways).size for ways in (1, 8, 16, 24)]
    assert sizes == sorted(sizes, key=names.index) and sizes[0] != sizes[-1]
    for ways, size in ((8, sizes[1]), (24, sizes[3])):
        if size != "A4":
            with pytest.raises(DoesNotFit, match="does not fit on"):
                sheet(ways, size=names[names.index(size) - 1])


def test_beyond_a0_the_sheet_gets_longer_and_says_so() -> None:
    shown = sheet(60)
    assert shown.size == f"{shown.height:.0f} × {shown.width:.0f}"
    assert shown.width > 1189
    assert any("beyond A0" in text for text in texts(shown))
    assert all(within(box, shown.frame) for box in taken(shown))


def test_a_drawing_is_not_for_energising_until_it_shows_what_was_built() -> None:
    assert "NOT FOR ENERGISING" in " ".join(texts(sheet()))
    built = texts(sheet(4, replace(INFO, status="as-built", final=True)))
    assert not any("ENERGISING" in text for text in built)
    for shown in (texts(sheet()), built):
        words = " ".join(shown)
        assert "Several sources of supply" in words and "prove dead at each" in words and "licensed person" in words
        assert "complies" not in words.lower()


def test_totals_stand_in_columns_with_their_limits_below() -> None:
    rows = (("Sources", "L1", "L2", "Total"), ("Solar [kVA]", "2.88", "TBC", "TBC"), ("Storage [kVA]", "–", "2.7", "2.7"))
    shown = sheet(3, replace(INFO, totals=rows, limits=("Limits: export 5 kW.",)))
    block = next(part for part in shown.furniture if part.name == "totals")
    marks = [mark for mark in block.marks if isinstance(mark, Text)]
    assert [mark.text for mark in marks][1:13] == [text for row in rows for text in row]
    for column in range(1, 4):
        assert len({marks[1 + 4 * row + column].at[0] for row in range(3)}) == 1
    assert marks[-1].text == "Limits: export 5 kW." and marks[-1].at[1] > marks[12].at[1]


def test_notes_and_totals_stand_on_the_first_sheet_caution_and_checks_on_each() -> None:
    info = replace(INFO, totals=(("Sources", "L1"), ("Solar [kVA]", "2.88")), counted="Checks: 2 errors.", sheets=2)
    first, second = (" ".join(texts(sheet(3, replace(info, sheet=number)))) for number in (1, 2))
    assert "Solar [kVA]" in first and "Solar [kVA]" not in second and "stand on sheet 1" in second
    for words in (first, second):
        assert "prove dead" in words and "2 errors" in words and "NOT FOR ENERGISING" in words


def test_the_legend_has_exactly_the_symbols_that_occur() -> None:
    shown = sheet()
    legend = next(part for part in shown.furniture if part.name == "legend")
    words = " ".join(mark.text for mark in legend.marks if isinstance(mark, Text))
    for placed in shown.symbols:
        assert placed.symbol.legend.split()[0] in words
    assert "Control bus" not in words and "Existing" not in words


def test_pens_of_status_are_explained_where_both_occur() -> None:
    shown = texts(compose(layout(*drawing(3, Pen(0.5))), INFO))
    assert "New or relocated (thick)" in " ".join(shown) and "Existing (thin)" in shown


def test_a_title_is_written_smaller_rather_than_cut() -> None:
    long = "What is there, what is new, altered, moved or removed"
    shown = compose(layout(*drawing(3)), replace(INFO, title=long))
    assert [(mark.text, mark.height) for part in shown.furniture for mark in part.marks if isinstance(mark, Text) and mark.text == long] == [(long, 2.5)]


def test_the_strokes_across_cables_reach_the_sheet_with_the_drawing() -> None:
    shown = sheet(3)
    strokes = next(part for part in shown.furniture if part.name == "conductor strokes")
    assert len(strokes.marks) == 3 and strokes.box is None
    xs = {placed.at[0] for placed in shown.symbols if placed.symbol.kind == "load"}
    middles = {round(sum(x for x, _ in mark.points) / 2, 3) for mark in strokes.marks if isinstance(mark, Polyline)}
    assert middles == {round(x, 3) for x in xs}


def test_the_same_drawing_gives_the_same_sheet() -> None:
    assert sheet(7) == sheet(7)


def test_nothing_is_drawn_smaller_to_fit() -> None:
    small: Drawn = layout(*drawing(2))
    shown = compose(small, INFO)
    assert {label.text.height for label in shown.labels} == {label.text.height for label in small.labels}
    a, b = shown.symbols[0].at, shown.symbols[-1].at
    c, d = small.symbols[0].at, small.symbols[-1].at
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((d[0] - c[0], d[1] - c[1]))


@pytest.mark.parametrize(("size", "x", "y", "zone"), [
    ("A3", 21, 11, "A1"), ("A3", 409, 286, "F8"), ("A3", 59, 47, "A1"), ("A3", 61, 49, "B2"), ("A3", 211, 149, "D5"),
    ("A0", 44, 70, "A1"), ("A0", 1178, 830, "R24"), ("A2", 298, 211, "E7")])
def test_a_point_is_in_the_zone_that_iso_5457_gives_it(size: str, x: float, y: float, zone: str) -> None:
    # ISO 5457:1999: 50 mm from the axes of the trimmed sheet outwards; the corner zones of A3 are then 60 by 48.5 mm over the trimmed sheet,
    # those of A0 44.5 + 26 by 70.5 (public paraphrase and arithmetic); letters without I and O: the 16th is R, A0's lowest row
    assert zone_of(sheet(1, size=size), x, y) == zone


def test_zones_are_found_where_they_are_written() -> None:
    for size in SIZES:
        shown = sheet(1, size=size)
        written = next(part for part in shown.furniture if part.name == "zones")
        for mark in written.marks:
            if isinstance(mark, Text):
                assert mark.text in zone_of(shown, *mark.at)


def test_a_sheet_without_zones_names_none() -> None:
    shown = sheet(1, size="A4")
    bare = replace(shown, furniture=tuple(part for part in shown.furniture if part.name != "zones"))
    assert zone_of(bare, 100, 100) == ""


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(*(st.integers(0, 290) for _ in range(4))), max_size=12), st.tuples(*(st.floats(0, 290) for _ in range(4))))
def test_the_grid_never_calls_taken_room_free(boxes: list[tuple[int, ...]], asked: tuple[float, ...]) -> None:
    # against the geometry of boxes itself
    taken_boxes = [(min(a, c), min(b, d), max(a, c) + 1, max(b, d) + 1) for a, b, c, d in boxes]
    box = (min(asked[0], asked[2]), min(asked[1], asked[3]), max(asked[0], asked[2]) + 3, max(asked[1], asked[3]) + 3)
    grid = Grid((0.0, 0.0, 300.0, 300.0), taken_boxes, 2.0)
    found = grid.first(box[2] - box[0], box[3] - box[1], [box[0]], [box[1]])
    if any(overlap(box, (x0 - 1, y0 - 1, x1 + 1, y1 + 1)) for x0, y0, x1, y1 in taken_boxes):
        assert found is None
    if found:
        assert found == box[:2]
        assert not any(overlap(box, other) for other in taken_boxes)


@pytest.mark.parametrize("kind", ["bus", "sensors", "earthing", "boards"])
@pytest.mark.parametrize("name", ["boathouse", "cottage", "ferry", "part-sensors"])
def test_no_block_of_text_touches_the_frame(name: str, kind: str) -> None:
    scene = DIAGRAMS[kind](Flows(read_file(GALLERY / name / "site.yaml")))
    for shown in scene.sheets if scene else ():
        x0, y0, x1, y1 = shown.frame
        for part in shown.furniture:
            if part.box and part.name in ("caution", "notes", "checks", "totals", "legend"):
                assert part.box[0] >= x0 + 2.5 and part.box[1] >= y0 + 2.5 and part.box[2] <= x1 - 2.5 and part.box[3] <= y1 - 2.5


def test_blocks_keep_their_distance_from_the_drawing() -> None:
    shown = sheet(16)
    blocks_ = [part.box for part in shown.furniture if part.box and not part.name.startswith(("title", "centring"))]
    for x0, y0, x1, y1 in taken(shown):
        assert not [box for box in blocks_ if overlap(box, (x0 - 4.5, y0 - 4.5, x1 + 4.5, y1 + 4.5))]


@settings(max_examples=80, deadline=None)
@given(st.lists(st.floats(2.0, 18.0), min_size=1, max_size=9), st.integers(1, 6))
def test_columns_of_the_legend_are_as_low_as_the_rows_allow(heights: list[float], count: int) -> None:
    # against every way of breaking the rows
    found = columns(heights, count)
    assert [place for column in found for place in range(len(heights))[column]] == list(range(len(heights))) and len(found) <= count
    ways = (cuts for number in range(count) for cuts in combinations(range(1, len(heights)), min(number, len(heights) - 1)))
    best = min(max(sum(heights[a:b]) for a, b in zip((0, *cuts), (*cuts, len(heights)))) for cuts in ways)
    assert max(sum(heights[column]) for column in found) <= best + 0.3
