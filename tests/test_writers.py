# SPDX-License-Identifier: MIT
"""One small sheet through every writer, read back with parsers that are not ours."""
from __future__ import annotations

import builtins
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from sld.font import text_box, text_width
from sld.pdf import pdf
from sld.png import check_cairo, png
from sld.primitives import Arc, Area, Circle, Furniture, Label, Pen, Placed, Polyline, Port, Scene, Sheet, Symbol, Text, Wire
from sld.scene_json import scene_json
from sld.svg import svg
from topology.errors import SiteError

HOSTILE = 'A & B <c> "d" $x$ =1+1 \x07'
INERT = 'A & B <c> "d" $x$ =1+1 '
SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"

SWITCH = Symbol("switch", (Polyline(((0.0, 0.0), (0.0, 3.0))), Polyline(((0.0, 3.0), (-3.0, 8.0))), Polyline(((0.0, 8.0), (0.0, 10.0))),
                           Polyline(((-4.0, 3.0), (-1.5, 3.0)), Pen(0.18, (1.0, 0.5))), Circle((0.0, 3.0), 0.5, fill="pen"),
                           Text((2.0, 6.0), "S", 2.5)),
                {"in": Port((0.0, 0.0), "up")}, (-4.0, 0.0, 4.0, 10.0), (5.0, 4.0), "switch", "invented for this test")
WAVE = Symbol("wave", (Polyline(((-5.0, 0.0), (5.0, 0.0), (5.0, 10.0), (-5.0, 10.0)), closed=True, fill="#ffffff"),
                       Arc((0.0, 5.0), 3.0, 180.0, 270.0)),
              {}, (-5.0, 0.0, 5.0, 10.0), (6.0, 4.0), "wave", "invented for this test")


def example() -> Scene:
    """An A5 sheet with one of everything, and an empty A3 sheet."""
    texts = (Text((55.0, 45.0), "4×25 mm²"), Text((30.0, 90.0), "upwards", turned=True), Text((60.0, 90.0), "gap ⏚ here", bold=True),
             Text((60.0, 80.0), HOSTILE))
    labels = tuple(Label(f"Q1.text{place}", "Q1", "Q1", text, text_box(text)) for place, text in enumerate(texts))
    furniture = (Furniture("frame", (Polyline(((20.0, 10.0), (200.0, 10.0), (200.0, 138.0), (20.0, 138.0)), Pen(0.7), True),)),
                 Furniture("title block", (Text((198.0, 130.0), HOSTILE, anchor="end"),), (120.0, 110.0, 200.0, 138.0)))
    wires = (Wire("W1", "W1", "power", ((50.0, 30.0), (50.0, 40.0)), ("Q1",)),
             Wire("B1", "B1", "bus", ((-0.001, 20.0), (0.0, 25.456)), ("Q1", "Q2"), "bus1", Pen(0.25, (2.0, 1.0))))
    symbols = (Placed("Q1", "Q1", SWITCH, (50.0, 40.0), HOSTILE, Pen(0.5)),
               Placed("Q2", "Q2", SWITCH, (100.0, 40.0), "", Pen(0.18, (1.5, 0.75), "#0055cc")),
               Placed("INV1", "INV1", WAVE, (140.0, 40.0)))
    first = Sheet(1, "A5", 210.0, 148.0, (20.0, 10.0, 200.0, 138.0), furniture, (Area("MSB.area", "MSB", (25.0, 20.0, 110.0, 100.0)),),
                  wires, symbols, labels)
    return Scene("single-line", HOSTILE, (first, Sheet(2, "A3", 420.0, 297.0, (20.0, 10.0, 410.0, 287.0))))


def parsed(scene: Scene) -> ElementTree.Element:
    return ElementTree.fromstring(svg(scene.sheets[0], scene))


def by_id(root: ElementTree.Element) -> dict[str, ElementTree.Element]:
    return {element.attrib["id"]: element for element in root.iter() if "id" in element.attrib}


def test_site_text_stays_text_in_svg() -> None:
    root = parsed(example())
    assert sum(element.text == INERT for element in root.iter(f"{SVG}text")) == 2
    assert by_id(root)["Q1"].find(f"{SVG}title").text == INERT
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "title", "style", "defs", "g", "use", "rect", "polyline", "polygon", "circle", "path", "text"}


def test_hostile_ids_names_and_colours_break_no_svg() -> None:
    scene = example()
    sheet = scene.sheets[0]
    bad = '"><script>alert(1)</script>'
    wires = (replace(sheet.wires[0], id=bad, object=bad, pen=Pen(0.25, (), bad)), replace(sheet.wires[1], id=bad),
             replace(sheet.wires[1], id="1"))
    drawing = svg(replace(sheet, wires=wires, furniture=(Furniture(bad, ()),)), scene)
    root = ElementTree.fromstring(drawing)
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert "<script" not in drawing and len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.-]*", given) for given in ids)  # NCName, XML Namespaces 1.0, ASCII part


def test_svg_measures_are_mm_with_at_most_two_decimals() -> None:
    root = parsed(example())
    assert (root.attrib["width"], root.attrib["height"], root.attrib["viewBox"]) == ("210mm", "148mm", "0 0 210 148")
    for element in root.iter():
        for name, value in element.attrib.items():
            if name not in ("id", "class", "data-id", HREF):
                assert not re.search(r"\.\d{3}|\.\d?0(?!\d)|-0(?![.\d])|e-", value), (name, value)
    assert by_id(root)["B1"].find(f"{SVG}polyline").attrib["points"] == "0,20 0,25.46"


def test_every_object_is_a_group_with_its_class_site_id_and_title() -> None:
    groups = by_id(parsed(example()))
    for given, kind, site_id in (("Q1", "symbol", "Q1"), ("W1", "wire", "W1"), ("MSB.area", "area", "MSB"), ("Q1.text0", "label", "Q1")):
        assert (groups[given].attrib["class"], groups[given].attrib["data-id"]) == (kind, site_id)
        assert groups[given][0].tag == f"{SVG}title" and groups[given][0].text


def test_symbols_of_a_kind_share_a_definition_and_hand_down_their_pen() -> None:
    root = parsed(example())
    groups = by_id(root)
    first, second = (groups[name].find(f"{SVG}use").attrib for name in ("Q1", "Q2"))
    assert first[HREF] == second[HREF] and len(root.find(f"{SVG}defs")) == 2
    assert first["stroke-width"] == "0.5"
    assert (second["stroke-width"], second["stroke"], second["stroke-dasharray"]) == ("0.18", "#0055cc", "1.5 0.75")
    strokes = list(groups[first[HREF].removeprefix("#")])
    assert not any("stroke-width" in stroke.attrib for stroke in strokes)
    assert [stroke.attrib["stroke-dasharray"] for stroke in strokes if "stroke-dasharray" in stroke.attrib] == ["1 0.5"]
    assert {stroke.attrib["fill"] for stroke in strokes if "fill" in stroke.attrib} == {"currentColor"}


def test_an_arc_runs_clockwise_on_paper() -> None:
    arc = next(parsed(example()).iter(f"{SVG}path")).attrib["d"]
    assert arc == "M-3,5 A3 3 0 0 1 0,2"  # from the left (180°) over the top (270°), y is down; flag 1 is clockwise (SVG 1.1, 8.3.8)


def test_the_font_in_the_svg_has_every_letter_that_the_sheet_uses() -> None:
    from base64 import b64decode

    from fontTools.ttLib import TTFont

    faces = re.findall(r"font-weight:(\w+);src:url\(data:font/ttf;base64,([^)]*)\)", svg(example().sheets[0], example()))
    letters = {weight: {chr(code) for code in TTFont(BytesIO(b64decode(data))).getBestCmap()} for weight, data in faces}
    assert letters == {"normal": set("4×25 mm²upwards" + INERT + "S"), "bold": set("gap here")}


def test_site_text_stays_text_in_pdf() -> None:
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(pdf(example())))
    assert reader.pages[0].extract_text().count(INERT.strip()) == 2
    assert "4×25 mm²" in reader.pages[0].extract_text() and "upwards" in reader.pages[0].extract_text()
    assert reader.metadata is not None and reader.metadata.title == INERT
    first, boards, second = reader.outline
    assert [first.title, boards[0].title, second.title] == [f"{INERT}, sheet 1", "MSB", f"{INERT}, sheet 2"]
    assert [reader.get_destination_page_number(entry) for entry in (first, boards[0], second)] == [0, 0, 1]
    assert float(boards[0].left) * 25.4 / 72 == pytest.approx(25.0) and float(boards[0].top) * 25.4 / 72 == pytest.approx(148.0 - 20.0)


def linked() -> Scene:
    """Two sheets that refer to each other."""
    there, back = (Text((60.0, 60.0), text) for text in ("to sheet 2, B3", "from sheet 1, A1"))
    first, second = (Sheet(number, "A6", 148.0, 105.0, (0.0, 0.0, 148.0, 105.0), symbols=(Placed(name, name, SWITCH, (30.0, 40.0)),),
                           labels=(Label(f"{name}.text0", name, name, text, text_box(text), link=link),))
                     for number, name, text, link in ((1, "Q1.out", there, (2, "Q 2<in>")), (2, "Q 2<in>", back, (1, "Q1.out"))))
    return Scene("single-line", "Two sheets", (first, second), "A. Example & Co")


def test_a_reference_leads_to_its_place_on_the_other_sheet_in_svg() -> None:
    scene = linked()
    roots = [ElementTree.fromstring(svg(sheet, scene)) for sheet in scene.sheets]
    for here, there, name in ((0, 1, "single-line-2.svg"), (1, 0, "single-line-1.svg")):
        link, = roots[here].iter(f"{SVG}a")
        file, _, place = link.attrib[HREF].partition("#")
        assert file == name and by_id(roots[there])[place].attrib["class"] == "symbol"
        assert link.find(f"{SVG}text") is not None


def test_a_reference_leads_to_its_place_on_the_other_sheet_in_pdf() -> None:
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(pdf(linked())))
    for here, there in ((0, 1), (1, 0)):
        link, = (note.get_object() for note in reader.pages[here]["/Annots"])
        assert link["/Subtype"] == "/Link" and link["/Dest"][0] == reader.pages[there].indirect_reference
        x0, y0, x1, y1 = (float(value) * 25.4 / 72 for value in link["/Rect"])
        assert (x0, 105.0 - y1, x1, 105.0 - y0) == pytest.approx(linked().sheets[here].labels[0].bbox, abs=0.01)


def test_several_diagrams_in_one_pdf_keep_their_links_apart() -> None:
    from pypdf import PdfReader

    first, second = linked(), replace(linked(), diagram="bus", title="Bus")
    reader = PdfReader(BytesIO(pdf(first, second)))
    assert [entry.title for entry in reader.outline if not isinstance(entry, list)] == ["single-line", "bus"]
    assert [entry.title for entry in reader.outline[3]] == ["Bus, sheet 1", "Bus, sheet 2"]
    assert [reader.get_destination_page_number(entry) for entry in (*reader.outline[1], *reader.outline[3])] == [0, 1, 2, 3]
    for here, there in ((0, 1), (1, 0), (2, 3), (3, 2)):
        link, = (note.get_object() for note in reader.pages[here]["/Annots"])
        assert link["/Dest"][0] == reader.pages[there].indirect_reference


def test_a_pdf_tells_its_author_opens_with_its_outline_and_wastes_no_room_on_letters() -> None:
    from pypdf import PdfReader

    made = pdf(linked())
    reader = PdfReader(BytesIO(made))
    assert reader.metadata is not None and reader.metadata.author == "A. Example & Co" and reader.metadata.subject == "single-line"
    assert reader.trailer["/Root"]["/PageMode"] == "/UseOutlines"
    assert b"ASCII85Decode" not in made


def test_pdf_pages_have_the_exact_size_and_every_font_is_embedded() -> None:
    from pypdf import PdfReader

    pages = PdfReader(BytesIO(pdf(example()))).pages
    for page, (width, height) in zip(pages, ((210, 148), (420, 297)), strict=True):
        measured = (float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72)
        assert measured == pytest.approx((width, height), abs=0.001)
    fonts = [font.get_object() for font in pages[0]["/Resources"]["/Font"].values()]
    assert {font["/BaseFont"].split("+")[1] for font in fonts} == {"SourceSansPro-Regular", "SourceSansPro-Bold"}
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts)


def operations(scene: Scene) -> list[tuple[list[float], bytes]]:
    """What the first page of the PDF draws, with numbers as written there: mm, y up from the upper edge."""
    from pypdf import PdfReader

    page = PdfReader(BytesIO(pdf(scene))).pages[0]
    return [(operands, operator) for operands, operator in page.get_contents().operations]


def test_pdf_draws_in_mm_from_the_upper_left_corner() -> None:
    text = Text((50.0, 80.0), "up", turned=True)
    line = Polyline(((10.0, 20.0), (30.0, 40.0)), Pen(0.35, (2.0, 1.0)))
    found = operations(sheet_with(line, text, Text((50.0, 30.0), "end", anchor="end")))
    matrices = [[float(value) for value in operands] for operands, operator in found if operator == b"cm"]
    assert [72 / 25.4, 0, 0, 72 / 25.4, 0, 105 * 72 / 25.4] in [pytest.approx(matrix, abs=1e-3) for matrix in matrices]
    assert ([10, -20], b"m") in found and ([30, -40], b"l") in found and ([[2, 1], 0], b"d") in found
    set_at = [[float(value) for value in operands] for operands, operator in found if operator == b"Tm"]
    set_at = [matrix for matrix in set_at if matrix != [1, 0, 0, 1, 0, 0]]  # reportlab starts each text with this one
    assert set_at[0] == [0, 1, -1, 0, 50, -80]  # a quarter turn counter-clockwise (ISO 32000-1, 9.4.2: a b c d e f)
    assert set_at[1] == pytest.approx([1, 0, 0, 1, 50 - text_width("end", 2.5), -30], abs=0.001)


@pytest.mark.parametrize(("start", "end"), [(180.0, 270.0), (270.0, 180.0)])
def test_pdf_draws_arcs_clockwise_on_paper(start: float, end: float) -> None:
    found = operations(sheet_with(Arc((50.0, 50.0), 10.0, start, end)))
    ends = {180.0: (40.0, -50.0), 270.0: (50.0, -40.0)}
    starts = [operands for operands, operator in found if operator == b"m"]
    curves = [operands for operands, operator in found if operator == b"c"]
    assert [float(value) for value in starts[-1]] == pytest.approx(ends[start], abs=0.001)
    assert [float(value) for value in curves[-1][4:]] == pytest.approx(ends[end], abs=0.001)
    assert len(curves) >= (3 if start > end else 1)  # a Bézier curve covers at most a quarter


def test_pdf_strokes_of_a_symbol_stand_at_its_place_with_its_pen_and_dashes_of_their_own() -> None:
    scene = example()
    sheet = replace(scene.sheets[0], furniture=(), areas=(), wires=(), labels=(), symbols=scene.sheets[0].symbols[1:2])
    found = operations(replace(scene, sheets=(sheet,)))
    assert ([1, 0, 0, 1, 100, -40], b"cm") in found  # Q2 stands at (100, 40)
    dashes = [operands[0] for operands, operator in found if operator == b"d"]
    assert dashes == [[1.5, 0.75], [1, 0.5], [1.5, 0.75]]  # those of its place, but for the stroke that has its own
    strokes = {tuple(round(float(part) * 255) for part in operands) for operands, operator in found if operator == b"RG"}
    fills = {tuple(round(float(part) * 255) for part in operands) for operands, operator in found if operator == b"rg"}
    assert (0x00, 0x55, 0xCC) in strokes and (0x00, 0x55, 0xCC) in fills  # the dot and the letter
    assert {float(operands[0]) for operands, operator in found if operator == b"w"} >= {0.18}
    assert [operator for _, operator in found].count(b"q") == [operator for _, operator in found].count(b"Q")


def test_a_pdf_without_sheets_is_refused() -> None:
    with pytest.raises(ValueError, match="the diagram bus has no sheet"):
        pdf(Scene("bus", "Empty"))


def pixels(scene: Scene, dpi: int = 100) -> Any:
    image = pytest.importorskip("PIL.Image")
    try:
        return image.open(BytesIO(png(scene.sheets[0], scene, dpi))).convert("RGB")
    except SiteError as fault:
        pytest.skip(str(fault))


def dark_box(image: Any) -> tuple[float, float, float, float]:
    """What is inked [mm at 254 dpi: ten pixels a mm]."""
    from PIL import ImageOps

    return tuple(edge / 10 for edge in ImageOps.invert(image.convert("L")).point(lambda level: 255 * (level > 100)).getbbox())


def sheet_with(*drawn: Polyline | Circle | Arc | Text) -> Scene:
    return Scene("bus", "Marks", (Sheet(1, "A6", 148.0, 105.0, (0.0, 0.0, 148.0, 105.0), (Furniture("marks", drawn),)),))


def test_png_has_the_size_of_the_sheet() -> None:
    assert pixels(example(), 254).size == (2100, 1480)  # 254 dpi is ten pixels a mm


def test_png_draws_text_as_wide_and_high_as_it_was_measured() -> None:
    for bold in (False, True):
        long, short = (sheet_with(Text((20.0, 50.0), "H" * letters, 2.5, bold=bold)) for letters in (30, 10))
        (x0, y0, x1, y1), (left, _, right, _) = dark_box(pixels(long, 254)), dark_box(pixels(short, 254))
        assert x1 - right == pytest.approx(text_width("H" * 20, 2.5, bold), abs=0.15)  # a pixel at either end, rounded size
        assert x0 == left and (y0, y1) == pytest.approx((47.5, 50.0), abs=0.2)


def test_png_turns_text_upwards_and_draws_arcs_clockwise() -> None:
    x0, y0, x1, y1 = dark_box(pixels(sheet_with(Text((50.0, 80.0), "HHHHHHHHHH", turned=True)), 254))
    assert (x0, x1, y1) == pytest.approx((47.5, 50.0, 80.0), abs=0.5) and y1 - y0 == pytest.approx(text_width("H" * 10, 2.5), abs=0.9)
    assert dark_box(pixels(sheet_with(Arc((50.0, 50.0), 10.0, 180.0, 270.0)), 254)) == pytest.approx((39.9, 39.9, 50.0, 50.0), abs=0.25)
    assert dark_box(pixels(sheet_with(Arc((50.0, 50.0), 10.0, 270.0, 180.0)), 254)) == pytest.approx((39.9, 39.9, 60.1, 60.1), abs=0.25)


def test_png_has_the_colours_of_places_and_ink_where_symbols_stand() -> None:
    image = pixels(example(), 254)
    assert image.getpixel((1000, 430)) == (0, 85, 204)  # the filled dot of Q2, in its pen's colour
    assert image.getpixel((500, 430)) == (0, 0, 0)
    assert image.getpixel((1400, 450)) == (255, 255, 255)


def test_png_without_libcairo_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: Any) -> Any:
        if name == "cairocffi":
            raise OSError("no library called cairo-2 was found")
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", missing)
    check_cairo.cache_clear()
    before = dict(os.environ)
    with pytest.raises(SiteError, match="libcairo.*apt-get install libcairo2.*macOS.*Windows"):
        png(example().sheets[0], example())
    assert dict(os.environ) == before


def test_scene_json_has_the_keys_of_the_contract_and_nothing_else() -> None:
    text = scene_json(example())
    document = json.loads(text)
    assert text.endswith("}\n") and not text.endswith("\n\n")
    assert set(document) == {"format", "diagram", "sheets"} and (document["format"], document["diagram"]) == (1, "single-line")
    sheet = document["sheets"][0]
    assert set(sheet) == {"sheet", "size", "frame", "keepouts", "symbols", "wires", "labels", "areas"}
    keys = {"symbols": {"id", "object", "kind", "bbox"}, "wires": {"id", "object", "kind", "net", "ends", "points"},
            "labels": {"id", "of", "bbox", "text", "inside"}, "areas": {"id", "object", "bbox"}}
    for name, expected in keys.items():
        assert sheet[name] and all(set(item) == expected for item in sheet[name])


def test_scene_json_says_mm_with_two_decimals_at_the_place_on_the_sheet() -> None:
    sheet = json.loads(scene_json(example()))["sheets"][0]
    assert sheet["symbols"][0] == {"id": "Q1", "object": "Q1", "kind": "switch", "bbox": [46.0, 40.0, 54.0, 50.0]}
    assert sheet["wires"][1] == {"id": "B1", "object": "B1", "kind": "bus", "net": "bus1", "ends": ["Q1", "Q2"],
                                 "points": [[0.0, 20.0], [0.0, 25.46]]}
    assert sheet["wires"][0]["net"] is None and sheet["keepouts"] == [[120.0, 110.0, 200.0, 138.0]]
    assert sheet["labels"][3]["text"] == INERT and "-0.0" not in scene_json(example())


def digests() -> Iterator[str]:
    scene = example()
    for written in (svg(scene.sheets[0], scene).encode(), scene_json(scene).encode(), pdf(scene)):
        yield hashlib.sha256(written).hexdigest()


@pytest.mark.parametrize("seed", ["1", "2"])
def test_same_scene_same_bytes_twice_and_under_another_hash_seed(seed: str) -> None:
    here = list(digests())
    assert here == list(digests())
    here_path = Path(__file__).resolve().parent
    script = f"import sys; sys.path.insert(0, {str(here_path)!r}); from test_writers import digests; print(*digests())"
    environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    run = subprocess.run([sys.executable, "-c", script], env=environment, cwd=here_path.parent, capture_output=True, text=True, check=True)
    assert run.stdout.split() == here


def test_png_has_the_same_bytes_twice() -> None:
    pixels(example())
    assert png(example().sheets[0], example(), 100) == png(example().sheets[0], example(), 100)


WITHOUT_CAIRO = """
import cffi, sys
real = cffi.FFI.dlopen
def hidden(self, name, *rest):
    if 'cairo' in str(name):
        raise OSError(f"cannot load library '{name}'")
    return real(self, name, *rest)
cffi.FFI.dlopen = hidden
from sld.cli import main
sys.exit(main(sys.argv[1:]))
"""


def run_without_cairo(*arguments: str) -> subprocess.CompletedProcess[str]:
    """The command line in a process of its own that finds no libcairo, as on a machine where it is not installed."""
    return subprocess.run([sys.executable, "-c", WITHOUT_CAIRO, *arguments], capture_output=True, text=True, check=False,
                          cwd=Path(__file__).resolve().parent.parent)


def test_without_libcairo_everything_but_png_works_and_the_message_says_how_to_install_it(tmp_path: Path) -> None:
    from sites import site

    (tmp_path / "site.yaml").write_text(site(2, 25, 1), encoding="utf-8")
    drawn = run_without_cairo("draw", str(tmp_path / "site.yaml"), "-o", str(tmp_path / "out"), "--format", "svg,pdf,dxf,scene")
    assert drawn.returncode == 0, drawn.stderr
    assert {path.suffix for path in (tmp_path / "out").iterdir()} == {".svg", ".pdf", ".dxf", ".json"}
    listed = run_without_cairo("schedule", str(tmp_path / "site.yaml"), "-o", str(tmp_path / "out"))
    assert listed.returncode == 0, listed.stderr
    refused = run_without_cairo("draw", str(tmp_path / "site.yaml"), "-o", str(tmp_path / "png"), "--format", "png")
    assert refused.returncode == 1 and not (tmp_path / "png").exists()
    assert refused.stderr.startswith("sld: PNG needs the system library libcairo") and "apt-get install libcairo2" in refused.stderr


def test_another_program_renders_the_pdf_as_the_png_tile_by_tile(tmp_path: Path) -> None:
    from tiles import DPI, differing

    renderer = shutil.which("pdftoppm") or pytest.skip("no pdftoppm here")
    scene = example()
    image = pytest.importorskip("PIL.Image")
    (tmp_path / "a.pdf").write_bytes(pdf(scene))
    subprocess.run([renderer, "-png", "-r", str(DPI), "-f", "1", "-l", "1", str(tmp_path / "a.pdf"), str(tmp_path / "a")], check=True)
    made, = tmp_path.glob("a*.png")
    assert differing(image.open(made), pixels(scene, DPI), scene.sheets[0]) == {}
