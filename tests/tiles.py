# SPDX-License-Identifier: MIT
"""Pictures of a sheet compared tile by tile, whoever rendered them."""
from __future__ import annotations

from typing import Any

from sld.primitives import Sheet

TILE = 10  # mm
DPI = 127  # five pixels a mm


def darkness(image: Any, sheet: Sheet) -> dict[tuple[int, int], float]:
    """Ink in each tile, as a part of its area."""
    from PIL import Image

    columns, rows = int(sheet.width / TILE), int(sheet.height / TILE)
    side = TILE * DPI / 25.4
    cut = image.convert("L").crop((0, 0, round(columns * side), round(rows * side))).resize((columns, rows), Image.Resampling.BOX)
    return {(x, y): 1 - cut.getpixel((x, y)) / 255 for x in range(columns) for y in range(rows)}


def differing(one: Any, other: Any, sheet: Sheet, most: float = 0.025) -> dict[tuple[int, int], tuple[float, float]]:
    """Tiles whose ink differs by more than `most`: a line of 0.25 mm through a tile is 0.025, a letter about as much."""
    first, second = darkness(one, sheet), darkness(other, sheet)
    return {tile: (first[tile], second[tile]) for tile in first if abs(first[tile] - second[tile]) > most}
