# SPDX-License-Identifier: MIT
"""A small table in a block: a column of words, then columns of figures set flush right."""
from __future__ import annotations

from collections.abc import Sequence
from math import inf

from sld.font import text_width
from sld.primitives import Polyline, Primitive, Text
from sld.sheet.cells import NARROW, TEXT

__all__ = ["table_marks"]

ROW = 4.6  # height of a row [mm]
AIR = 3.0  # between columns [mm]
MOST = 22.0  # width of a column of figures where there is room [mm]


def table_marks(rows: Sequence[Sequence[str]], y: float, width: float) -> tuple[list[Primitive], float]:
    """Rows of equal length, the first one the heading, from y on; and where they end, infinite where the width [mm] is too small.

    A line stands below the heading.
    """
    first = max(text_width(row[0], TEXT, place == 0) for place, row in enumerate(rows))
    figures = [max(text_width(row[column], TEXT, place == 0) for place, row in enumerate(rows)) + AIR for column in range(1, len(rows[0]))]
    if first + sum(figures) > width:
        return [], inf
    wide = min(MOST, (width - first) / max(1, len(figures)))
    if max(figures, default=0.0) <= wide:
        figures = [wide] * len(figures)
    marks: list[Primitive] = []
    for place, row in enumerate(rows):
        base, x = y + ROW * place + 3.3, first
        marks.append(Text((0.0, base), row[0], TEXT, bold=place == 0))
        for text, room in zip(row[1:], figures, strict=True):
            x += room
            marks.append(Text((x, base), text, TEXT, "end", bold=place == 0))
    marks.append(Polyline(((0.0, y + ROW), (first + sum(figures), y + ROW)), NARROW))
    return marks, y + ROW * len(rows) + 0.6
