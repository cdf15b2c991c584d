# SPDX-License-Identifier: MIT
"""The box with the name and the facts of what a part of a drawing shows."""
from __future__ import annotations

from collections.abc import Sequence

from sld.font import text_width
from sld.layout.emit import BASE, Sketch
from sld.layout.text import LETTERS, LINE, NAME
from sld.primitives import Pen, Placed, Polyline, Symbol, Text

__all__ = ["data_box", "data_size"]

PAD = 2.0  # from the outline to the text [mm]
HEAD = 6.0  # height of the name


def data_size(name: str, lines: Sequence[str]) -> tuple[float, float]:
    """Width and height of a box [mm]."""
    widest = max([text_width(name, NAME, True), *(text_width(line, LETTERS) for line in lines)])
    return widest + 2 * PAD, HEAD + LINE * len(lines) + (PAD if lines else PAD / 2)


def data_box(sketch: Sketch, owner: str, at: tuple[float, float], name: str, lines: Sequence[str], legend: str, part: str = "") -> None:
    """Draw the box, its upper left corner at a point. owner: the object that it tells of; legend: words of the legend; part: ends its id."""
    width, height = data_size(name, lines)
    outline = Polyline(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), Pen(0.18), True)
    shape = Symbol("data", (outline,), {}, (0.0, 0.0, width, height), (PAD, PAD), legend, "common practice, no source")
    of = f"{owner}.data{part}"
    sketch.symbols.append(Placed(of, owner, shape, at, name, Pen(0.18)))
    x, y = at[0] + PAD, at[1] + PAD / 2  # as far from the upper edge as from the lower one
    sketch.write(of, owner, 0, Text((x, y + PAD / 2 + NAME), name, NAME, bold=True), True)
    for number, line in enumerate(lines):
        sketch.write(of, owner, number + 1, Text((x, y + HEAD + BASE + LINE * number), line, LETTERS), True)
