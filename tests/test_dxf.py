# SPDX-License-Identifier: MIT
"""DXF read, audited and rendered by a library that is not ours, and compared with the SVG tile by tile."""
from __future__ import annotations

import builtins
import hashlib
import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import pytest
from sld.dxf import dxf
from sld.font import font_file
from sld.png import png
from sld.primitives import Scene, Sheet, Text
from sld.single_line import single_line
from sld.symbol_sheet import symbol_sheet
from sld.symbols import symbol
from test_writers import HOSTILE, INERT, example, linked
from topology.errors import SiteError
from topology.flow import Flows
from topology.read import read_bytes

import sites
from tiles import DPI, darkness, differing

ezdxf = pytest.importorskip("ezdxf")

@cache
def drawn() -> Scene:
    """The single-line diagram of a random site."""
    return single_line(Flows(read_bytes(sites.site(3, 60, 3).encode(), "site.yaml")))


def opened(scene: Scene) -> Any:
    """The file as another reader sees it."""
    return ezdxf.read(StringIO(dxf(scene).decode("utf-8")))


def picture(document: Any, sheet: Sheet) -> Any:
    """A layout as ezdxf's own drawing add-on renders it, through its SVG."""
    cairosvg = pytest.importorskip("cairosvg")
    image = pytest.importorskip("PIL.Image")
    from ezdxf.addons.drawing import Frontend, RenderContext, config, layout
    from ezdxf.addons.drawing.svg import SVGBackend
    from ezdxf.fonts import fonts
    from ezdxf.math import BoundingBox2d

    fonts.font_manager.build([str(font_file().parent)], support_dirs=False)
    backend, millimetres = SVGBackend(), layout.Units.mm
    look = config.Configuration(background_policy=config.BackgroundPolicy.WHITE, lineweight_policy=config.LineweightPolicy.ABSOLUTE)
    Frontend(RenderContext(document), backend, config=look).draw_layout(document.layouts.get(f"Sheet {sheet.number}"))
    page = layout.Page(sheet.width, sheet.height, millimetres, margins=layout.Margins.all(0))
    whole = BoundingBox2d([(0, 0), (sheet.width, sheet.height)])
    drawing = backend.get_string(page, settings=layout.Settings(fit_page=False, scale=1.0), render_box=whole)
    return image.open(BytesIO(cairosvg.svg2png(bytestring=drawing.encode(), dpi=DPI))).convert("L")


def ours(scene: Scene, sheet: Sheet) -> Any:
    image = pytest.importorskip("PIL.Image")
    try:
        return image.open(BytesIO(png(sheet, scene, DPI))).convert("L")
    except SiteError as fault:
        pytest.skip(str(fault))


def alike(scene: Scene) -> None:
    document = opened(scene)
    for sheet in scene.sheets:
        other, own = picture(document, sheet), ours(scene, sheet)
        assert sum(darkness(other, sheet).values()) == pytest.approx(sum(darkness(own, sheet).values()), rel=0.03)
        assert differing(other, own, sheet) == {}


def test_a_layout_shows_what_the_svg_shows_tile_by_tile() -> None:
    alike(drawn())


def test_every_symbol_looks_as_in_the_svg() -> None:
    alike(symbol_sheet())


def test_a_picture_that_differs_is_told_from_one_that_does_not() -> None:
    sheet = drawn().sheets[0]
    longest = max(sheet.wires, key=lambda wire: sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in zip(wire.points, wire.points[1:])))
    without = replace(sheet, wires=tuple(wire for wire in sheet.wires if wire is not longest))
    assert differing(ours(drawn(), without), ours(drawn(), sheet), sheet, 0.02)


@pytest.mark.parametrize("scene", [example, drawn, symbol_sheet, linked])
def test_the_audit_finds_no_fault(scene: Any) -> None:
    auditor = opened(scene()).audit()
    assert auditor.errors == [] and auditor.fixes == []


def test_the_drawing_is_in_millimetres_of_release_2010() -> None:
    document = opened(example())
    assert document.dxfversion == "AC1024"  # DXF reference: R2010
    assert document.header["$INSUNITS"] == 4 and document.header["$MEASUREMENT"] == 1 and document.header["$LTSCALE"] == 1.0


def test_every_sheet_is_a_layout_of_its_size_that_shows_it_at_full_size() -> None:
    scene = linked()
    document = opened(scene)
    assert document.layouts.names_in_taborder() == ["Model", "Sheet 1", "Sheet 2"]
    places = []
    for sheet in scene.sheets:
        paper = document.layouts.get(f"Sheet {sheet.number}")
        assert (paper.dxf.paper_width, paper.dxf.paper_height) == (sheet.width, sheet.height)
        view, = [view for view in paper.query("VIEWPORT") if view.dxf.id != 1]
        assert view.dxf.height == view.dxf.view_height == sheet.height and view.dxf.width == sheet.width
        assert document.layers.get(view.dxf.layer).dxf.plot == 0
        places.append(view.dxf.view_center_point)
    assert places[1].x - places[0].x >= scene.sheets[0].width  # side by side


def test_a_symbol_is_a_block_with_its_id_and_its_texts_as_attributes() -> None:
    scene = drawn()
    document = opened(scene)
    found = {insert.get_attrib_text("ID"): insert for insert in document.modelspace().query("INSERT")}
    sheet = scene.sheets[0]
    assert set(found) == {placed.object for placed in sheet.symbols}
    for placed in sheet.symbols:
        insert = found[placed.object]
        assert insert.dxf.name.startswith(placed.symbol.kind.upper()) and insert.get_attrib("ID").is_invisible
        assert tuple(insert.dxf.insert)[:2] == pytest.approx((placed.at[0], sheet.height - placed.at[1]))
        texts = [attribute.dxf.text for attribute in insert.attribs if attribute.dxf.tag != "ID"]
        assert texts == [label.text.text for label in sheet.labels if label.of == placed.id]
    kinds = {placed.symbol.kind for placed in sheet.symbols} - {"busbar"}
    assert {block.name for block in document.blocks} >= {kind.upper() for kind in kinds}


def test_the_strokes_of_a_block_are_those_of_the_symbol_with_y_up() -> None:
    document = opened(symbol_sheet())
    lines = [[(x, y) for x, y, *_ in line.get_points()] for line in document.blocks.get("BREAKER").query("LWPOLYLINE")]
    assert lines == [[(x, -y) for x, y in stroke.points] for stroke in symbol("breaker").strokes]


def test_wires_and_boards_carry_the_id_of_their_object_and_lie_on_layers_of_their_kind() -> None:
    space = opened(example()).modelspace()
    found = {(entity.dxf.layer, entity.get_xdata("SLD")[0].value) for entity in space.query("LWPOLYLINE") if entity.has_xdata("SLD")}
    assert found >= {("POWER", "W1"), ("BUS", "B1"), ("BOARDS", "MSB")}


def test_strokes_across_wires_lie_on_another_layer_than_frame_and_title_block() -> None:
    sheet = drawn().sheets[0]
    strokes = sum(len(part.marks) for part in sheet.furniture if part.name == "conductor strokes")
    found = [entity for entity in opened(drawn()).modelspace() if entity.dxf.layer == "MARKS"]
    assert 0 < strokes <= len(found) and {entity.dxf.layer for entity in opened(drawn()).modelspace()} >= {"SHEET", "MARKS"}


def test_line_types_are_in_millimetres_and_weights_are_those_that_dxf_knows() -> None:
    document = opened(drawn())
    dash = document.linetypes.get("DASH_6_1.5_0.5_1.5")
    assert [tag.value for tag in dash.pattern_tags.tags if tag.code == 49] == [6.0, -1.5, 0.5, -1.5]
    assert document.layers.get("BOARDS").dxf.linetype == dash.dxf.name
    known = {0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211}  # DXF reference, group 370
    weights = {entity.dxf.get("lineweight", -1) for entity in document.modelspace()}
    assert weights <= known | {-1, -2, -3} and {layer.dxf.lineweight for layer in document.layers} <= known | {-3}


def test_bold_text_has_a_style_of_its_own_with_the_bold_font() -> None:
    document = opened(example())
    styles = {style.dxf.name: style.dxf.font for style in document.styles}
    assert styles["LETTERING"] == "SourceSansPro-Regular.ttf" and styles["LETTERING-BOLD"] == "SourceSansPro-Bold.ttf"
    bold = [text.dxf.style for text in document.modelspace().query("TEXT") if "here" in text.dxf.text]
    assert bold == ["LETTERING-BOLD"]


def test_a_character_that_the_font_lacks_is_an_empty_box_and_the_attribute_keeps_it() -> None:
    space = opened(example()).modelspace()
    attribute, = (found for insert in space.query("INSERT") for found in insert.attribs if "⏚" in found.dxf.text)
    assert attribute.is_invisible and attribute.dxf.text == "gap ⏚ here"
    assert [text.dxf.text for text in space.query("TEXT") if text.dxf.text in ("gap ", " here")] == ["gap ", " here"]
    assert sum(line.dxf.layer == "TEXT" and line.closed for line in space.query("LWPOLYLINE")) == 1


def test_the_writers_agree_on_the_example_with_one_of_everything() -> None:
    scene = example()
    assert differing(picture(opened(scene), scene.sheets[0]), ours(scene, scene.sheets[0]), scene.sheets[0]) == {}


def test_text_of_the_site_stays_what_it_is() -> None:
    document = opened(example())
    texts = [text.plain_text() for text in document.modelspace().query("TEXT")]
    texts += [attribute.plain_text() for insert in document.modelspace().query("INSERT") for attribute in insert.attribs]
    assert texts.count(INERT) == 2 and HOSTILE not in texts and "4×25 mm²" in texts


def test_signs_of_control_in_a_text_are_not_obeyed() -> None:
    scene = linked()
    sheet = scene.sheets[0]
    label = replace(sheet.labels[0], of="W9", text=Text((60.0, 60.0), "2^3 µF"))
    document = opened(replace(scene, sheets=(replace(sheet, labels=(label,)),)))
    assert [text.plain_text() for text in document.modelspace().query("TEXT")] == ["2^3 µF"]


def test_pens_that_differ_from_their_layer_are_said() -> None:
    space = opened(example()).modelspace()
    blue = [insert for insert in space.query("INSERT") if insert.dxf.hasattr("true_color")]
    assert [(insert.rgb, insert.dxf.linetype) for insert in blue] == [((0x00, 0x55, 0xCC), "DASH_1.5_0.75")]


def test_same_scene_same_bytes_twice_and_under_another_hash_seed() -> None:
    here = hashlib.sha256(dxf(example())).hexdigest()
    assert hashlib.sha256(dxf(example())).hexdigest() == here
    folder = Path(__file__).resolve().parent
    script = (f"import sys, hashlib; sys.path.insert(0, {str(folder)!r}); from test_writers import example; from sld.dxf import dxf; "
              "print(hashlib.sha256(dxf(example())).hexdigest())")
    for seed in ("0", "7"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo", "LC_ALL": "C"}
        run = subprocess.run([sys.executable, "-c", script], env=environment, cwd=folder.parent, capture_output=True, text=True, check=True)
        assert run.stdout.strip() == here


def test_without_the_library_the_message_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: Any) -> Any:
        if name.split(".")[0] == "ezdxf":
            raise ImportError("no module named ezdxf")
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(SiteError, match=r"extra 'dxf'.*lv-site-diagrams\[dxf\]"):
        dxf(example())


@pytest.mark.parametrize("seed", range(4))
def test_no_site_and_no_text_breaks_the_file(seed: int) -> None:
    hostile = 'Ω≤ "q" & <b> $x$ %%d ^J \\P {x} 倉庫 ⚡ \u00a0'
    scene = single_line(Flows(read_bytes(sites.site(seed, 10 + 20 * seed, 1 + 2 * (seed % 2)).encode(), "site.yaml")))
    sheets = tuple(replace(sheet, labels=tuple(replace(label, text=replace(label.text, text=hostile)) for label in sheet.labels))
                   for sheet in scene.sheets)
    auditor = opened(replace(scene, sheets=sheets, title=hostile)).audit()
    assert auditor.errors == [] and auditor.fixes == []
