# SPDX-License-Identifier: MIT
"""The lettering of all drawings: widths, boxes and files of the one font that comes with the install."""
from __future__ import annotations

import unicodedata
from dataclasses import replace
from functools import lru_cache
from importlib.util import find_spec
from itertools import groupby, repeat
from pathlib import Path

from topology.dataclass import dataclass

from sld.primitives import Box, Pen, Point, Polyline, Text
from sld.truetype import Face, cut, read_face

__all__ = ["FAMILY", "drawable", "font_file", "font_size", "from_start", "missing_glyphs", "printable", "subset", "text_box", "text_width"]

FAMILY = "Source Sans Pro"
PACKAGE = "font_source_sans_pro"
BEFORE = {"start": 0.0, "middle": 0.5, "end": 1.0}  # part of a text that lies before its anchor


@dataclass(frozen=True, slots=True)
class Metrics:
    """Measures in parts of the font size."""

    advances: dict[str, float]
    missing: float
    capital: float
    descent: float


@lru_cache(maxsize=2)
def font_file(bold: bool = False) -> Path:
    """The TrueType file; LookupError when the package of the font is damaged. No font of the system is ever looked at."""
    name = f"SourceSansPro-{'Bold' if bold else 'Regular'}.ttf"
    spec = find_spec(PACKAGE)
    for folder in spec.submodule_search_locations or () if spec else ():
        if (path := Path(folder, "files", name)).is_file():
            return path
    raise LookupError(f"the package {PACKAGE.replace('_', '-')} has no file {name}; install it again")


@lru_cache(maxsize=2)
def face(bold: bool) -> Face:
    """The font as read."""
    return read_face(font_file(bold).read_bytes())


@lru_cache(maxsize=2)
def metrics(bold: bool) -> Metrics:
    """The font's own numbers, read once."""
    font = face(bold)
    em, widths = font.units, font.advances
    advances = {letter: widths[glyph] / em for letter, glyph in font.glyphs.items()}
    return Metrics(advances, widths[0] / em, font.capital / em, font.descent / em)


def font_size(height: float, bold: bool = False) -> float:
    """Font size [mm] that makes capital letters `height` [mm] high."""
    return height / metrics(bold).capital


@lru_cache(maxsize=65536)
def printable(text: str) -> str:
    """Text without what has no place on one line of a drawing: white space becomes a space, control characters go.

    What is left is what XML 1.0 allows; classes of characters that change from one Unicode version to the next decide nothing.
    """
    if text.isprintable():
        return text
    spaced = "".join(" " if letter in "\t\n\r\x0b\x0c\x85\u2028\u2029" else letter for letter in text)
    return "".join(letter for letter in spaced if unicodedata.category(letter) not in ("Cc", "Cs") and letter not in "\ufffe\uffff")


@lru_cache(maxsize=65536)
def ems(text: str, bold: bool) -> float:
    """Width in parts of the font size."""
    font = metrics(bold)
    return sum(map(font.advances.get, printable(text), repeat(font.missing)))


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Width [mm] of text with capitals `height` [mm] high; a character that the font lacks is as wide as its empty box."""
    return ems(text, bold) * font_size(height, bold)


def text_box(text: Text) -> Box:
    """What a text covers [mm]: from the font's descender to its capital height, as wide as its advance widths."""
    width = text_width(text.text, text.height, text.bold)
    below = metrics(text.bold).descent * font_size(text.height, text.bold)
    before = width * BEFORE[text.anchor]
    x, y = text.at
    if text.turned:
        return (x - text.height, y + before - width, x + below, y + before)
    return (x - before, y - text.height, x - before + width, y + below)


def missing_glyphs(text: str) -> tuple[tuple[int, str], ...]:
    """Place (from 0) and character of all that the font lacks; control characters are among them."""
    return tuple((place, letter) for place, letter in enumerate(text) if letter not in metrics(False).advances)


def drawable(text: Text) -> tuple[Text | Polyline, ...]:
    """What a writer draws for a text: the text itself, or its parts with an empty box for each character that the font lacks."""
    known = metrics(text.bold).advances
    runs = [(has, "".join(run)) for has, run in groupby(printable(text.text), known.__contains__)]
    if all(has for has, _ in runs):
        return (replace(text, text="".join(run for _, run in runs)),) if runs else ()
    first, place = from_start(text), 0.0
    found: list[Text | Polyline] = []
    for has, run in runs:
        for part in (run,) if has else run:
            found.append(replace(first, at=along(first, place), text=part) if has else empty_box(first, place))
            place += text_width(part, text.height, text.bold)
    return tuple(found)


def from_start(text: Text) -> Text:
    """The same text on the same spot, anchored at its start."""
    before = text_width(text.text, text.height, text.bold) * BEFORE[text.anchor]
    return replace(text, at=along(text, -before), anchor="start")


def along(text: Text, distance: float, above: float = 0.0) -> Point:
    """The point at a distance [mm] from `at` along the base line of a text, and above it."""
    x, y = text.at
    return (x - above, y - distance) if text.turned else (x + distance, y - above)


def empty_box(text: Text, place: float) -> Polyline:
    """Stands for a character that the font lacks, from the base line to the height of capitals."""
    width = metrics(text.bold).missing * font_size(text.height, text.bold)
    left, right = place + width / 6, place + width * 5 / 6
    corners = ((left, 0.0), (right, 0.0), (right, text.height), (left, text.height))
    return Polyline(tuple(along(text, *corner) for corner in corners), Pen(text.height / 14, (), text.colour), True)


def subset(chars: str, bold: bool = False) -> bytes:
    """A TrueType file with the characters of `chars` that the font has, to be embedded: same characters, same bytes.

    It has no hints, kerning and ligatures, so that it sets text as wide as measured here; copyright and licence stay in it.
    """
    return kept("".join(sorted({letter for letter in printable(chars) if letter in metrics(bold).advances})), bold)


@lru_cache(maxsize=64)
def kept(letters: str, bold: bool) -> bytes:
    """The subset, made once: all sheets of a drawing often have the same letters."""
    return cut(face(bold), letters)
