# SPDX-License-Identifier: MIT
"""Sheet sizes, frame, zones and centring marks after ISO 5457 (two public paraphrases; where they differ it is said below)."""
from __future__ import annotations

from sld.primitives import Box, Furniture, Polyline, Primitive, Text
from sld.sheet.cells import NARROW, WIDE, outline
from sld.sheet.zones import ZONES, cuts, letter

__all__ = ["SIZES", "frame_box", "frame_furniture"]

SIZES: dict[str, tuple[float, float]] = {
    "A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0), "A0": (1189.0, 841.0)}
"""width and height of the trimmed sheet, landscape [mm], ISO 216"""

LEFT, OTHER = 20.0, 10.0  # margins [mm]: filing edge, other edges
BAND = 5.0  # width of the border with the zones [mm]
INWARD = 5.0  # how far centring marks reach into the drawing space [mm]; one source has 5, the other 10


def frame_box(width: float, height: float) -> Box:
    """The drawing space of a trimmed sheet [mm]."""
    return (LEFT, OTHER, width - OTHER, height - OTHER)


def frame_furniture(size: str, width: float, height: float) -> list[Furniture]:
    """Frame with zones, and the centring marks, which are kept free of the drawing."""
    frame = frame_box(width, height)
    marks = (outline(frame, WIDE), Text((width - OTHER, height - 1.2), size, 3.5, "end"))
    border = (outline(band(frame), NARROW), *zones(size, frame, width, height))
    return [Furniture("frame", marks), Furniture(ZONES, border), *centring(frame, width, height)]


def band(frame: Box) -> Box:
    return (frame[0] - BAND, frame[1] - BAND, frame[2] + BAND, frame[3] + BAND)


def centring(frame: Box, width: float, height: float) -> list[Furniture]:
    """Four wide strokes on the axes of the trimmed sheet, from the outer edge of the border into the drawing space."""
    outer = band(frame)
    x, y = width / 2, height / 2
    strokes = {"top": ((x, outer[1]), (x, frame[1] + INWARD)), "bottom": ((x, outer[3]), (x, frame[3] - INWARD)),
               "left": ((outer[0], y), (frame[0] + INWARD, y)), "right": ((outer[2], y), (frame[2] - INWARD, y))}
    found = []
    for side, (a, b) in strokes.items():
        box = (min(a[0], b[0]) - 0.35, min(a[1], b[1]) - 0.35, max(a[0], b[0]) + 0.35, max(a[1], b[1]) + 0.35)
        found.append(Furniture(f"centring mark {side}", (Polyline((a, b), WIDE),), box))
    return found


def zones(size: str, frame: Box, width: float, height: float) -> list[Primitive]:
    """Numerals from left to right, letters from top to bottom; A4 has them at the top and at the right only."""
    outer = band(frame)
    across, down = cuts(width, frame[0], frame[2]), cuts(height, frame[1], frame[3])
    small = size == "A4"
    marks: list[Primitive] = []
    for y0, y1 in ((outer[1], frame[1]),) if small else ((outer[1], frame[1]), (frame[3], outer[3])):
        marks += [Polyline(((x, y0), (x, y1)), NARROW) for x in across[1:-1]]
        marks += [Text(((a + b) / 2, y1 - 0.75), str(place), 3.5, "middle") for place, (a, b) in enumerate(zip(across, across[1:]), 1)]
    for x0, x1 in ((frame[2], outer[2]),) if small else ((outer[0], frame[0]), (frame[2], outer[2])):
        marks += [Polyline(((x0, y), (x1, y)), NARROW) for y in down[1:-1]]
        marks += [Text(((x0 + x1) / 2, (a + b) / 2 + 1.75), letter(place), 3.5, "middle")
                  for place, (a, b) in enumerate(zip(down, down[1:]))]
    return marks
