# SPDX-License-Identifier: MIT
"""Boxes with text that never flows out of them."""
from __future__ import annotations

from sld.font import text_width
from sld.layout.text import shorten, wrap
from sld.primitives import Box, Pen, Polyline, Primitive, Text

__all__ = ["CAPTION", "NARROW", "TEXT", "WIDE", "cell", "heading", "lines_fitting", "outline", "paragraph"]

CAPTION = 1.8  # capital height of captions [mm], the least of the ISO 3098 series
TEXT = 2.5
WIDE = Pen(0.7)  # line group 0.7 of ISO 128
NARROW = Pen(0.35)
INSET = 1.5  # from the side of a cell to its text [mm]
PITCH = 1.55  # from one base line to the next, in capital heights


def outline(box: Box, pen: Pen = NARROW) -> Polyline:
    x0, y0, x1, y1 = box
    return Polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pen, True)


def lines_fitting(text: str, width: float, count: int, height: float = TEXT, bold: bool = False) -> tuple[str, ...]:
    """At most count lines of at most width [mm]; what does not fit is cut with an ellipsis."""
    lines = wrap(text, width, height, bold)
    if len(lines) > count:
        lines = (*lines[:count - 1], " ".join(lines[count - 1:]))
    return tuple(shorten(line, width, height, bold) for line in lines)


def cell(box: Box, caption: str, text: str, height: float = TEXT, bold: bool = False) -> list[Primitive]:
    """A field of the title block: its caption small at the top, its text below, on as many lines as fit."""
    x0, y0, x1, y1 = box
    if text_width(text, height, bold) > x1 - x0 - 2 * INSET:
        height = min(height, TEXT)  # smaller rather than cut
    marks: list[Primitive] = [outline(box), Text((x0 + 1.0, y0 + CAPTION + 0.8), caption, CAPTION)]
    top = y0 + CAPTION + 1.2
    pitch = height * PITCH
    count = max(1, int((y1 - top - 0.3) / pitch))
    lines = lines_fitting(text, x1 - x0 - 2 * INSET, count, height, bold)
    free = y1 - top - pitch * len(lines)
    first = top + max(0.0, free / 2) + height * 1.22
    return marks + [Text((x0 + INSET, first + pitch * place), line, height, bold=bold) for place, line in enumerate(lines)]


def heading(x: float, y: float, text: str) -> Text:
    """The title of a block, its top at y."""
    return Text((x, y + 3.5), text, 2.5, bold=True)


def paragraph(x: float, y: float, texts: tuple[str, ...], width: float, numbered: bool,
              bold: bool = False, first: int = 1) -> tuple[list[Primitive], float]:
    """Lines of text from y on, wrapped, numbered from `first` on if wished; and where they end."""
    marks: list[Primitive] = []
    indent = 6.0 if numbered else 0.0
    for number, text in enumerate((text for text in texts if text.strip()), first):
        if numbered:
            marks.append(Text((x, y + 3.1), f"{number}.", TEXT))
        for line in wrap(text, width - indent, TEXT, bold):
            marks.append(Text((x + indent, y + 3.1), shorten(line, width - indent, TEXT, bold), TEXT, bold=bold))
            y += TEXT * PITCH
        y += 0.6
    return marks, y
