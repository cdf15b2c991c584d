# SPDX-License-Identifier: MIT
"""The lettering of all drawings: widths, boxes and files of the one font that comes with the install."""
from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from importlib import metadata
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from sld.primitives import Box, Text

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

__all__ = ["FAMILY", "Piece", "font_file", "font_size", "missing_glyphs", "pieces", "printable", "subset", "text_box", "text_width"]

FAMILY = "Source Sans Pro"
PACKAGE = "font-source-sans-pro"
KEPT_NAMES = (0, 13, 14)  # copyright, licence and where the licence stands: they travel with every copy of the font
EPOCH = 2082844800  # 1970-01-01 in seconds since 1904, the clock of the table "head"


@dataclass(frozen=True, slots=True)
class Metrics:
    """Measures in parts of the font size."""

    advances: dict[str, float]
    missing: float
    capital: float
    descent: float


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a text: characters that the font has, or one that it lacks and that is drawn as an empty box. Measures in mm."""

    text: str
    offset: float
    width: float
    missing: bool


@lru_cache(maxsize=2)
def font_file(bold: bool = False) -> Path:
    """The TrueType file; LookupError when the package of the font is damaged. No font of the system is ever looked at."""
    name = f"SourceSansPro-{'Bold' if bold else 'Regular'}.ttf"
    for path in metadata.files(PACKAGE) or ():
        if path.name == name:
            return Path(str(path.locate()))
    raise LookupError(f"the package {PACKAGE} has no file {name}; install it again")


def opened(bold: bool) -> TTFont:
    """The font, tables read as they are asked for."""
    from fontTools.ttLib import TTFont

    return TTFont(BytesIO(font_file(bold).read_bytes()), lazy=True, recalcTimestamp=False)


@lru_cache(maxsize=2)
def metrics(bold: bool) -> Metrics:
    """Read the font's own numbers, once."""
    font = opened(bold)
    em = font["head"].unitsPerEm
    widths = {glyph: advance / em for glyph, (advance, _) in font["hmtx"].metrics.items()}
    advances = {chr(code): widths[glyph] for code, glyph in font.getBestCmap().items()}
    return Metrics(advances, widths[".notdef"], font["OS/2"].sCapHeight / em, -font["OS/2"].sTypoDescender / em)


def font_size(height: float, bold: bool = False) -> float:
    """Font size [mm] that makes capital letters `height` [mm] high."""
    return height / metrics(bold).capital


@lru_cache(maxsize=65536)
def printable(text: str) -> str:
    """Text without what has no place on one line of a drawing: white space becomes a space, control characters go."""
    spaced = "".join(" " if letter in "\t\n\r\x0b\x0c\x85\u2028\u2029" else letter for letter in text)
    return "".join(letter for letter in spaced if unicodedata.category(letter) not in ("Cc", "Cs", "Cn"))


@lru_cache(maxsize=65536)
def ems(text: str, bold: bool) -> float:
    """Width in parts of the font size."""
    font = metrics(bold)
    return sum(font.advances.get(letter, font.missing) for letter in printable(text))


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Width [mm] of text with capitals `height` [mm] high; a character that the font lacks is as wide as its empty box."""
    return ems(text, bold) * font_size(height, bold)


def text_box(text: Text) -> Box:
    """What a text covers [mm]: from the font's descender to its capital height, as wide as its advance widths."""
    width = text_width(text.text, text.height, text.bold)
    below = metrics(text.bold).descent * font_size(text.height, text.bold)
    before = width * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    x, y = text.at
    if text.turned:
        return (x - text.height, y + before - width, x + below, y + before)
    return (x - before, y - text.height, x - before + width, y + below)


def missing_glyphs(text: str) -> tuple[tuple[int, str], ...]:
    """Place (from 0) and character of all that the font lacks; control characters are among them."""
    return tuple((place, letter) for place, letter in enumerate(text) if letter not in metrics(False).advances)


def pieces(text: Text) -> tuple[Piece, ...]:
    """Split a text where the font lacks a character; offsets [mm] run along the base line from its start."""
    font, size = metrics(text.bold), font_size(text.height, text.bold)
    found: list[Piece] = []
    offset = 0.0
    for letter in printable(text.text):
        missing = letter not in font.advances
        width = font.advances.get(letter, font.missing) * size
        if found and not missing and not found[-1].missing:
            last = found.pop()
            found.append(Piece(last.text + letter, last.offset, last.width + width, False))
        else:
            found.append(Piece(letter, offset, width, missing))
        offset += width
    return tuple(found)


@lru_cache(maxsize=64)
def cut(letters: str, bold: bool) -> bytes:
    """The font with these letters only, without hints, kerning and ligatures, so that it sets text as wide as measured here."""
    from fontTools.subset import Options, Subsetter

    options = Options(hinting=False, layout_features=[], name_IDs=list(KEPT_NAMES), notdef_outline=True, recalc_timestamp=False)
    options.drop_tables += ["GPOS", "GSUB", "GDEF", "BASE", "DSIG"]
    font = opened(bold)
    subsetter = Subsetter(options)
    subsetter.populate(text=letters)
    subsetter.subset(font)
    font["head"].created = font["head"].modified = EPOCH
    made = BytesIO()
    font.save(made, reorderTables=True)
    return made.getvalue()


def subset(chars: str, bold: bool = False) -> bytes:
    """A TrueType file with the characters of `chars` that the font has, to be embedded: same characters, same bytes."""
    return cut("".join(sorted({letter for letter in printable(chars) if letter in metrics(bold).advances})), bold)
