# SPDX-License-Identifier: MIT
"""Single-line diagrams over one sheet or several: nothing overlaps, nothing is lost, and each reference leads where it says."""
from __future__ import annotations

import csv
import io
import re
from collections import Counter
from itertools import combinations, product
from pathlib import Path

import pypdf
import pytest
from scene_faults import faults, overlap, pieces, within
from sites import site
from sld.layout import Enclosure, Feed, Net, Segment, Strip
from sld.pdf import pdf
from sld.primitives import Scene, Sheet
from sld.sheet import DoesNotFit
from sld.sheet.info import SheetInfo
from sld.single_line import drawn_sheets, single_line
from sld.split import Forest, sheets
from sld.split.model import Room
from sld.split.packing import pack
from sld.svg import svg
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.site import Bond, EarthBar, Electrode, Terminal

GALLERY = Path(__file__).parents[1] / "gallery"
VILLAGE = Path(__file__).parent / "published/kerber_village.csv"
TENDER = GALLERY / "tender/site.yaml"


def drawn(text: str) -> Scene:
    return single_line(Flows(read_bytes(text.encode())))


@pytest.fixture(scope="module")
def tender() -> Scene:
    return single_line(Flows(read_file(TENDER)))


def symbols(scene: Scene) -> list[str]:
    return [placed.id for sheet in scene.sheets for placed in sheet.symbols]


def bent(scene: Scene) -> list[str]:
    return [wire.id for sheet in scene.sheets for wire in sheet.wires if wire.kind == "power" and len(wire.points) > 2]


# nothing is wrong on any sheet

@pytest.mark.parametrize(("seed", "size", "phases"), [(1, 12, 1), (2, 60, 3), (3, 110, 1), (4, 180, 3), (5, 260, 3), (26, 156, 1), (7, 420, 3)])
def test_nothing_is_wrong_on_any_sheet_of_a_random_site(seed: int, size: int, phases: int) -> None:
    scene = drawn(site(seed, size, phases))
    assert [fault for sheet in scene.sheets for fault in faults(sheet)] == []
    assert bent(scene) == []


@pytest.mark.parametrize("size", [60, 200, 1000])
def test_nothing_is_wrong_on_any_sheet_of_a_synthetic_site(size: int) -> None:
    """Asked for in objects; somewhat more than half of them have a symbol."""
    scene = drawn(site(11, round(size * 1.75), 3))
    assert len(symbols(scene)) >= 0.9 * size
    assert [fault for sheet in scene.sheets for fault in faults(sheet)] == []


@pytest.mark.parametrize("path", sorted(GALLERY.glob("*/site.yaml")), ids=lambda path: path.parent.name)
def test_nothing_is_wrong_on_any_sheet_of_the_gallery(path: Path) -> None:
    scene = single_line(Flows(read_file(path)))
    assert [fault for sheet in scene.sheets for fault in faults(sheet)] == []
    assert all(label.text.height >= 2.5 for sheet in scene.sheets for label in sheet.labels)  # legible on paper, ISO 3098 series


def village() -> Strip:
    """115 nodes, 57 houses (G. Kerber, dissertation, Technische Universitaet Muenchen, 2010; licence at the head of the file)."""
    lines = [line for line in VILLAGE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(io.StringIO("\n".join(lines))))
    below: dict[str, list[dict[str, str]]] = {row["node"]: [] for row in rows}
    for row in rows[1:]:
        below[row["fed_by"]].append(row)

    def strip(row: dict[str, str]) -> Strip:
        name = f"N{row['node']}"
        wire = Feed(f"W{row['node']}", f"W{row['node']}", lines=(f"W{row['node']}", f"{row['length_m']} m"), conductors="3/N/PE AC 400/230 V", number=5)
        house = float(row["load_w"] or 0) > 0
        return Strip(name, name, "load" if house else "junction", (name, f"{float(row['load_w']) / 1000:g} kW") if house else (name,),
                     wire=wire if row["fed_by"] else None, children=tuple(map(strip, below[row["node"]])))

    return strip(rows[0])


@pytest.mark.parametrize("size", ["A3", "A2", "A1"])
def test_a_village_network_is_drawn_on_sheets_of_each_size(size: str) -> None:
    made = sheets(Forest((village(),)), SheetInfo(), size)
    assert [fault for sheet in made for fault in faults(sheet)] == []
    houses = {placed.id for sheet in made for placed in sheet.symbols if placed.symbol.kind == "load"}
    assert len(houses) == 57  # Kerber 2010


# nothing is lost

def test_every_device_of_a_site_is_drawn_once() -> None:
    for path in sorted(GALLERY.glob("*/site.yaml")):
        flows = Flows(read_file(path))
        wanted = {node.partition(".")[0] if isinstance(obj, Terminal) else node for node, obj in flows.graph.nodes(data="obj")
                  if not isinstance(obj, Electrode | EarthBar | Bond)}
        found = Counter(symbols(single_line(flows)))
        assert wanted <= set(found), path
        assert {name for name in wanted if found[name] != 1} == set(), path


def test_ids_are_unique_over_all_sheets(tender: Scene) -> None:
    names = symbols(tender) + [wire.id for sheet in tender.sheets for wire in sheet.wires]
    names += [label.id for sheet in tender.sheets for label in sheet.labels] + [area.id for sheet in tender.sheets for area in sheet.areas]
    assert [name for name, count in Counter(names).items() if count > 1] == []


def test_the_tender_set_has_its_boards_on_several_sheets_of_one_size_and_fills_them(tender: Scene) -> None:
    assert len(tender.sheets) > 2
    assert len({sheet.size for sheet in tender.sheets}) == 1
    assert [sheet.number for sheet in tender.sheets] == list(range(1, len(tender.sheets) + 1))
    assert sum(map(filled, tender.sheets)) / len(tender.sheets) > 1 / 3


def filled(sheet: Sheet) -> float:
    """Part of the free drawing space within a board or touched by something drawn, in squares of 5 mm."""
    def squares(box: tuple[float, float, float, float]) -> set[tuple[int, int]]:
        return set(product(range(int(box[0] // 5), int(box[2] // 5) + 1), range(int(box[1] // 5), int(box[3] // 5) + 1)))

    x0, y0, x1, y1 = sheet.frame
    free = squares((x0, y0, x1 - 5, y1 - 5))
    for furniture in sheet.furniture:
        free -= squares(furniture.box) if furniture.box else set()
    boxes = [a.bbox for a in sheet.areas] + [s.bbox for s in sheet.symbols] + [t.bbox for t in sheet.labels]
    boxes += [piece for wire in sheet.wires for piece in pieces(wire)]
    return len(free & set().union(*map(squares, boxes))) / len(free)


# references

PLACE = re.compile(r"sheet (\d+)/([A-Z]+)(\d+)")


def test_each_reference_names_the_sheet_and_zone_of_its_counterpart_and_that_one_names_it(tender: Scene) -> None:
    at = {placed.id: (sheet, placed) for sheet in tender.sheets for placed in sheet.symbols}
    links = {label.of: label for sheet in tender.sheets for label in sheet.labels if label.link}
    assert len(links) > 20
    for name, label in links.items():
        sheet, placed = at[label.link[1]]
        number, row, column = PLACE.search(label.text.text).groups()
        assert int(number) == sheet.number == label.link[0]
        assert (row, int(column)) == zone(sheet, placed.at)
        assert links[label.link[1]].link == (at[name][0].number, name)


def zone(sheet: Sheet, at: tuple[float, float]) -> tuple[str, int]:
    """ISO 5457: 50 mm zones from the middle outwards, rows lettered without I and O. Read in two public paraphrases, recomputed here."""
    def place(value: float, length: float) -> int:
        half = round(length / 100)  # whole zones on each side of the middle, the outer one as long as is left
        return min(max(int((value - length / 2) // 50) + half, 0), 2 * half - 1)

    return "ABCDEFGHJKLMNPQRSTUVWXYZ"[place(at[1], sheet.height)], place(at[0], sheet.width) + 1


def test_no_part_stands_before_the_sheet_that_it_is_continued_from(tender: Scene) -> None:
    at = {placed.id: sheet.number for sheet in tender.sheets for placed in sheet.symbols if placed.symbol.kind.startswith("reference")}
    ahead = [(name, f"{name.removesuffix('.to')}.from") for name in at if name.endswith(".to") and f"{name.removesuffix('.to')}.from" in at]
    assert len(ahead) > 5
    assert [name for name, other in ahead if at[other] < at[name]] == []


def test_a_part_may_fill_a_gap_two_sheets_back_but_not_before_its_beginning() -> None:
    """A wide part begins a sheet; the narrow one that follows still fits beside the first, unless it is continued from the wide one."""
    sizes = [(60.0, 90.0), (95.0, 90.0), (30.0, 90.0)]
    room = Room(100.0, 100.0)
    assert [sheet for sheet, _, _ in pack(sizes, room)] == [0, 1, 2]
    assert [sheet for sheet, _, _ in pack(sizes, room, [None, 0, 0])] == [0, 1, 0]
    assert [sheet for sheet, _, _ in pack(sizes, room, [None, 0, 1])] == [0, 1, 2]


def test_references_are_links_in_svg(tender: Scene) -> None:
    files = {sheet.number: svg(sheet, tender) for sheet in tender.sheets}
    links = [(number, target) for number, text in files.items() for target in re.findall(r'<a xlink:href="single-line-([^"]*)">', text)]
    assert len(links) == sum(label.link is not None for sheet in tender.sheets for label in sheet.labels)
    for _, target in links:
        number, name = target.split(".svg#")
        assert f'<g id="{name}" ' in files[int(number)]


def test_references_are_links_in_pdf_that_lead_near_their_counterpart(tender: Scene) -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf(tender)))
    at = {placed.id: (sheet, placed) for sheet in tender.sheets for placed in sheet.symbols}
    for sheet, page in zip(tender.sheets, reader.pages):
        notes = [note.get_object() for note in page.get("/Annots", [])]
        labels = [label for label in sheet.labels if label.link]
        assert len(notes) == len(labels)
        for note, label in zip(notes, labels):
            goal, placed = at[label.link[1]]
            page_of, _, left, top, _ = note["/Dest"]
            assert page_of.idnum == reader.pages[goal.number - 1].indirect_reference.idnum
            mm = 25.4 / 72
            assert abs(left * mm - placed.at[0]) < 50 and abs(goal.height - top * mm - placed.at[1]) < 50


# chains, bars, lanes

def chain(length: int) -> Strip:
    strip = Strip("L", "L", "load", ("L", "3 kW"), wire=Feed("WL", "WL", lines=("2.5 mm² 2C+2.5E", "24 m")))
    for n in reversed(range(length)):
        strip = Strip(f"D{n}", f"D{n}", "fuse", (f"D{n}", "16 A gG"), wire=Feed(f"W{n}", f"W{n}") if n else None, children=(strip,))
    return strip


def test_a_chain_taller_than_a_sheet_is_continued() -> None:
    made = sheets(Forest((chain(60),)), SheetInfo(), "A3")
    assert [fault for sheet in made for fault in faults(sheet)] == []
    assert {placed.id for sheet in made for placed in sheet.symbols} >= {f"D{n}" for n in range(60)} | {"L"}


def bar(ways: int, board: str = "E") -> Strip:
    def way(n: int) -> Strip:
        load = Strip(f"L{n}", f"L{n}", "load", ("sockets 3 kW",), wire=Feed(f"W{n}", f"W{n}", lines=("2.5 mm² 2C+2.5E", "24 m")))
        return Strip(f"Q{n}", f"Q{n}", "breaker", (f"{n} Sockets", "20 A C 1P 6 kA"), wire=Feed(f"w{n}", f"w{n}"), children=(load,), enclosure=board)

    return Strip("S", "S", "supply", ("S",), children=(
        Strip("B", "B", "busbar", ("100 A",), wire=Feed("W", "W"), children=tuple(map(way, range(1, ways + 1))), enclosure=board),))


def test_a_bar_wider_than_a_sheet_is_drawn_in_sections_in_the_order_of_its_ways() -> None:
    made = sheets(Forest((bar(80),), (), (Enclosure("E", "E", ("E Board",)),)), SheetInfo(), "A3")
    assert [fault for sheet in made for fault in faults(sheet)] == []
    ways = [placed.id for sheet in made for placed in sorted(sheet.symbols, key=lambda s: (round(s.at[1]), s.at[0])) if placed.symbol.kind == "breaker"]
    assert ways == [f"Q{n}" for n in range(1, 81)]
    names = [label.text.text for sheet in made for label in sheet.labels if label.text.bold]
    assert len(names) > 2 and names == [f"E Board ({n} of {len(names)})" for n in range(1, len(names) + 1)]


def test_what_is_added_at_the_end_of_a_board_moves_no_other_circuit_to_another_sheet() -> None:
    def where(ways: int) -> dict[str, int]:
        made = sheets(Forest((bar(ways),), (), (Enclosure("E", "E", ("E Board",)),)), SheetInfo(), "A3")
        return {placed.id: sheet.number for sheet in made for placed in sheet.symbols if placed.symbol.kind == "breaker"}

    for ways in (20, 33, 47):
        before, after = where(ways), where(ways + 1)
        assert {name: number for name, number in after.items() if name in before} == before


def test_loads_of_a_board_stand_on_one_row_with_their_text_below() -> None:
    (sheet,) = sheets(Forest((bar(8),), (), (Enclosure("E", "E", ("E Board",)),)), SheetInfo(), "A2")
    loads = {placed.id: placed for placed in sheet.symbols if placed.symbol.kind == "load"}
    assert len({placed.at[1] for placed in loads.values()}) == 1
    texts = [label for label in sheet.labels if label.of in loads]
    assert len(texts) == 8 and all(label.bbox[1] > loads[label.of].bbox[3] for label in texts)


def test_a_segment_between_two_pieces_is_continued_by_a_reference_at_each_end() -> None:
    root = bar(30)
    net = Net("bus", "bus", (Segment("s", "s", "L1", "L30", "9 m"),))
    made = sheets(Forest((root,), (net,), (Enclosure("E", "E", ("E Board",)),)), SheetInfo(), "A3")
    assert [fault for sheet in made for fault in faults(sheet)] == []
    texts = {label.of: label.text.text for sheet in made for label in sheet.labels if label.text.turned}
    assert texts["s.to"].startswith("to L30, 9 m, sheet ") and texts["s.on.to"].startswith("to L1, 9 m, sheet ")


def test_pieces_are_packed_in_their_order_without_overlap() -> None:
    sizes = [(float(30 + 37 * n % 300), float(40 + 53 * n % 150)) for n in range(40)]
    spots = pack(sizes, Room(400.0, 250.0))
    boxes = [(sheet, (x, y, x + w, y + h)) for (sheet, x, y), (w, h) in zip(spots, sizes)]
    assert [sheet for sheet, _ in boxes] == sorted(sheet for sheet, _ in boxes)
    assert all(within(box, (0.0, 0.0, 400.0, 250.0)) for _, box in boxes)
    assert not any(s == t and overlap(a, b) for (s, a), (t, b) in combinations(boxes, 2))


# what comes from the site

def test_long_names_and_signs_of_any_kind_break_nothing() -> None:
    long = "Wide name of forty characters, to be cut"
    for name in (long, "x" * 40, "<&>\"$ '`", "Насосная станция", "変電所", "ماء", "a\u0301 \U0001f600"):
        quoted = name.replace("\\", "\\\\").replace('"', '\\"')
        text = site(3, 40, 1).replace("name: Main switchboard", f'name: "{quoted}"').replace("load: spare", f'name: "{quoted}", load: spare')
        scene = drawn(re.sub(r"name: Spare, ", "", text))
        assert any(name[:3].strip() in label.text.text for sheet in scene.sheets for label in sheet.labels), name
        assert [fault for sheet in scene.sheets for fault in faults(sheet)] == [], name
        assert all(svg(sheet, scene) for sheet in scene.sheets) and pdf(scene)


def test_a_line_carries_its_conductors_voltage_and_their_number() -> None:
    """IEC 61082-1 writes a three-phase line with neutral 3/N/PE AC 400/230 V (from memory); five conductors are five."""
    scene = single_line(Flows(read_file(GALLERY / "orchard/site.yaml")))
    texts = {label.id: label.text.text for sheet in scene.sheets for label in sheet.labels if label.of == "WC"}
    words = " ".join(texts.values())
    assert "3/N/PE" in words and "AC" in words and "400/230 V" in words and "WC" in words and "6 mm² 4C+2.5E" in words and "24 m" in words
    assert "5" in texts.values()


def test_the_same_site_gives_the_same_sheets() -> None:
    text = site(4, 180, 3)
    assert drawn(text) == drawn(text)


def test_a_size_that_is_asked_for_is_kept() -> None:
    forest = Forest((bar(12),), (), (Enclosure("E", "E", ("E Board",)),))
    assert {sheet.size for sheet in drawn_sheets(forest, SheetInfo(paper="A3"))} == {"A3"}
    assert {sheet.size for sheet in drawn_sheets(forest, SheetInfo(paper="A1"))} == {"A1"}


@pytest.mark.parametrize("size", ["A4", "A3", "A2", "A1", "A0"])
def test_sheets_of_any_size_hold_a_board_with_its_circuits(size: str) -> None:
    made = sheets(Forest((bar(40),), (), (Enclosure("E", "E", ("E Board",)),)), SheetInfo(), size)
    assert [fault for sheet in made for fault in faults(sheet)] == []
    *others, last = made
    assert all(sheet.size == size for sheet in others) and last.size >= size  # A4 is the smallest: the last one is as small as will do
    assert all(any(furniture.name == "caution" for furniture in sheet.furniture) for sheet in made)


def test_a_part_that_cannot_be_cut_asks_for_a_larger_sheet() -> None:
    arrays = tuple(Strip(f"P{n}", f"P{n}", "array", (f"P{n}",), wire=Feed(f"W{n}", f"W{n}", port=f"PV {n}")) for n in range(30))
    wide = Strip("S", "S", "supply", ("S",), children=(Strip("I", "I", "inverter", ("I",), wire=Feed("W", "W"), children=arrays),))
    with pytest.raises(DoesNotFit, match="larger size"):
        sheets(Forest((wide,)), SheetInfo(), "A4")
    (sheet,) = drawn_sheets(Forest((wide,)), SheetInfo())
    assert faults(sheet) == []
