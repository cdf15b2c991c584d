# SPDX-License-Identifier: MIT
"""The lettering against other readers of the same font file."""
from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from io import BytesIO

import pytest

from sld.font import drawable, font_file, font_size, from_start, missing_glyphs, printable, subset, text_box, text_width
from sld.primitives import Polyline, Text

SAMPLES = ("Main switchboard", "4×25 mm² + 16E Cu XLPE, 11 m", "0.35 Ω ≤ 0.42 Ω, Δφ 3°", "AVAVAV To fi ffl", "ÄÖÜ éèç ñ ø", "", " ")


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("sample", SAMPLES)
def test_width_is_what_reportlab_measures_in_the_same_file(sample: str, bold: bool) -> None:
    from reportlab.pdfbase.ttfonts import TTFont

    width = TTFont("other-reader", str(font_file(bold))).stringWidth(sample, font_size(2.5, bold))
    assert text_width(sample, 2.5, bold) == pytest.approx(width, rel=0.001)


@pytest.mark.parametrize("bold", [False, True])
def test_width_is_what_freetype_measures_in_the_same_file(bold: bool) -> None:
    image_font = pytest.importorskip("PIL.ImageFont")
    font = image_font.truetype(str(font_file(bold)), 1000, layout_engine=image_font.Layout.BASIC)
    for sample in ("Switchboard 4×25 mm²", "0.35 Ω"):
        measured = sum(font.getlength(letter) for letter in sample)  # letter by letter: no kerning, as in our drawings
        assert text_width(sample, 1000 / font_size(1.0, bold), bold) == pytest.approx(measured, rel=0.001)


@pytest.mark.parametrize("bold", [False, True])
def test_a_capital_letter_is_as_high_as_asked_for(bold: bool) -> None:
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont

    font = TTFont(font_file(bold))
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()["H"].draw(pen)
    drawn = pen.bounds[3] / font["head"].unitsPerEm * font_size(2.5, bold)
    assert drawn == pytest.approx(2.5, rel=0.02)  # the file states the height rounded to 10 of 1000, the letters differ by up to 8


def test_bold_is_wider_and_width_grows_with_height_and_adds_up() -> None:
    assert text_width("Main switch", 2.5, True) > text_width("Main switch", 2.5)
    assert text_width("Main switch", 5.0) == pytest.approx(2 * text_width("Main switch", 2.5))
    assert text_width("Main switch", 2.5) == pytest.approx(text_width("Main ", 2.5) + text_width("switch", 2.5))


def test_box_follows_anchor() -> None:
    start, middle, end = (text_box(Text((10.0, 20.0), "Way 3", 2.5, anchor)) for anchor in ("start", "middle", "end"))
    assert start[0] == 10.0 and end[2] == pytest.approx(10.0) and (middle[0] + middle[2]) / 2 == pytest.approx(10.0)
    assert start[1] == 17.5 and start[3] > 20.0
    assert start[2] - start[0] == pytest.approx(text_width("Way 3", 2.5))


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_box_of_turned_text_is_the_level_box_turned_counter_clockwise(anchor: str) -> None:
    x, y = 10.0, 20.0
    x0, y0, x1, y1 = text_box(Text((x, y), "Way 3", 2.5, anchor))
    # a quarter turn counter-clockwise on paper (y down) takes (dx, dy) to (dy, -dx)
    corners = [(x + dy, y - dx) for dx, dy in ((x0 - x, y0 - y), (x1 - x, y1 - y))]
    turned = (min(c[0] for c in corners), min(c[1] for c in corners), max(c[0] for c in corners), max(c[1] for c in corners))
    assert text_box(Text((x, y), "Way 3", 2.5, anchor, turned=True)) == pytest.approx(turned)


def test_signs_of_the_trade_are_in_the_font_and_others_are_reported_with_their_place() -> None:
    assert missing_glyphs("×²³ΩΔ≤≥φ°µ–… ½ äéñ") == ()
    assert missing_glyphs("a⏚b中") == ((1, "⏚"), (3, "中"))
    assert missing_glyphs("x\x07") == ((1, "\x07"),)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_missing_character_becomes_an_empty_box_and_the_rest_stays_at_its_place(anchor: str, turned: bool) -> None:
    text = Text((10.0, 20.0), "ab⏚cd", 2.5, anchor, turned=turned)
    before, box, after = drawable(text)
    assert isinstance(before, Text) and isinstance(box, Polyline) and isinstance(after, Text)
    assert (before.text, after.text) == ("ab", "cd") and box.fill is None
    whole, first, last = text_box(text), text_box(before), text_box(after)
    assert min(whole[0], first[0]) == pytest.approx(whole[0]) and max(whole[2], last[2]) == pytest.approx(whole[2])
    along = [(-first[3], -first[1], -last[3], -last[1]) if turned else (first[0], first[2], last[0], last[2])][0]
    corners = [-y if turned else x for x, y in box.points]
    assert along[1] < min(corners) < max(corners) < along[2]
    assert along[3] - along[0] == pytest.approx(text_width("ab⏚cd", 2.5))


def test_text_without_missing_characters_is_drawn_as_it_is() -> None:
    text = Text((1.0, 2.0), "Way 3", anchor="end")
    assert drawable(text) == (text,)
    assert drawable(Text((1.0, 2.0), "")) == ()
    assert text_box(from_start(text)) == pytest.approx(text_box(text))


def test_control_characters_take_no_room_and_line_breaks_become_spaces() -> None:
    assert printable("a\x07b\nc\td\ud800\ufffe") == "ab c d"
    assert text_width("a\x07b", 2.5) == text_width("ab", 2.5)


@pytest.mark.parametrize("bold", [False, True])
def test_a_subset_has_just_the_characters_asked_for_at_their_width_and_the_licence(bold: bool) -> None:
    from fontTools.ttLib import TTFont

    cut, whole = TTFont(BytesIO(subset("Way 3 ×⏚", bold))), TTFont(font_file(bold))
    assert {chr(code) for code in cut.getBestCmap()} == set("Way 3×")
    for code, glyph in cut.getBestCmap().items():
        assert cut["hmtx"][glyph][0] == whole["hmtx"][whole.getBestCmap()[code]][0]
    assert "Open Font License" in cut["name"].getDebugName(13)
    assert not {"GPOS", "GSUB", "kern"} & set(cut.keys())


def test_a_subset_has_the_same_bytes_whatever_the_order_of_characters_and_the_hash_seed() -> None:
    assert subset("cab") == subset("abcabc")
    script = "import hashlib; from sld.font import subset; print(hashlib.sha256(subset('Way 3 ×²')).hexdigest())"
    folder = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    for seed in ("1", "2"):
        run = subprocess.run([sys.executable, "-c", script], env={**os.environ, "PYTHONHASHSEED": seed}, cwd=folder,
                             capture_output=True, text=True, check=True)
        assert run.stdout.strip() == hashlib.sha256(subset("Way 3 ×²")).hexdigest()


@pytest.mark.parametrize("bold", [False, True])
def test_a_subset_of_everything_draws_every_character_as_the_whole_font_does(bold: bool) -> None:
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.ttLib import TTFont

    whole = TTFont(font_file(bold))
    letters = "".join(letter for letter in map(chr, whole.getBestCmap()) if printable(letter) == letter)
    made = TTFont(BytesIO(subset(letters, bold)), checkChecksums=2)  # 2: a wrong checksum is an error
    assert set(map(chr, made.getBestCmap())) == set(letters)
    for letter in letters:
        drawn = []
        for font in (made, whole):
            glyph = font.getGlyphSet()[font.getBestCmap()[ord(letter)]]
            pen = DecomposingRecordingPen(font.getGlyphSet())
            glyph.draw(pen)
            drawn.append((glyph.width, pen.value))
        assert drawn[0] == drawn[1], letter


def test_measures_are_those_of_the_font_s_own_tables_for_every_character() -> None:
    from fontTools.ttLib import TTFont

    for bold in (False, True):
        font = TTFont(font_file(bold))
        assert font_size(1.0, bold) == pytest.approx(font["head"].unitsPerEm / font["OS/2"].sCapHeight)
        for code, glyph in font.getBestCmap().items():
            if printable(chr(code)):
                assert text_width(chr(code), font["OS/2"].sCapHeight, bold) == pytest.approx(font["hmtx"][glyph][0]), code


def test_measuring_and_cutting_load_no_library_of_fonts() -> None:
    code = "import sys; from sld.font import subset, text_width; text_width('a', 1.0); subset('abc'); sys.exit('fontTools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
