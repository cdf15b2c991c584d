# SPDX-License-Identifier: MIT
"""Sheet sizes, frame, zones, centring and trimming marks after ISO 5457 (two public paraphrases; where they differ it is said below)."""
from __future__ import annotations

from sld.primitives import Box, Furniture, Pen, Polyline, Primitive, Text
from sld.sheet.cells import NARROW, WIDE, outline
from sld.sheet.zones import ZONES, cuts, letter

__all__ = ["INWARD", "PAPERS", "SIZES", "frame_box", "frame_furniture", "papers"]

SIZES: dict[str, tuple[float, float]] = {
    "A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0), "A0": (1189.0, 841.0)}
"""width and height of the trimmed sheet, landscape [mm], ISO 216"""
Paper = tuple[str, float, float]
"""size, width, height [mm]"""
PAPERS: tuple[Paper, ...] = (("A4", 210.0, 297.0), *((name, *size) for name, size in SIZES.items()))
"""from the smallest on; A4 stands upright as ISO 5457 has it, or lies"""

LEFT, OTHER = 20.0, 10.0  # margins [mm]: filing edge, other edges
BAND = 5.0  # width of the border with the zones [mm]
INWARD = 10.0  # how far centring marks reach into the drawing space [mm]; one source counts the 10 mm from the border
TRIM = (10.0, 5.0)  # length and width of the two strips that make a trimming mark [mm]
SOLID = Pen(0.01)


def papers(size: str | None) -> tuple[Paper, ...]:
    """The papers to try in turn: those of the size asked for, else all. Raises KeyError for a size that is none of A4 to A0."""
    if size and size not in SIZES:
        raise KeyError(size)
    return tuple(paper for paper in PAPERS if paper[0] == (size or paper[0]))


def frame_box(width: float, height: float) -> Box:
    """The drawing space of a trimmed sheet [mm]."""
    return (LEFT, OTHER, width - OTHER, height - OTHER)


def frame_furniture(size: str, width: float, height: float, zoned: bool = True, corner: Box | None = None,
                    inward: float = INWARD) -> list[Furniture]:
    """Frame, zones unless left off, trimming marks, centring marks; the drawing keeps off the last.

    corner: title block; inward: how far centring marks reach into the drawing space [mm]
    """
    frame = frame_box(width, height)
    marks = (outline(frame, WIDE), *trimming(width, height), Text((width - TRIM[0] - 1.5, height - 0.9), size, 3.5, "end"))
    border = [Furniture(ZONES, (outline(band(frame), NARROW), *zones(size, frame, width, height)))] if zoned else []
    return [Furniture("frame", marks), *border, *centring(frame, width, height, corner, inward)]


def band(frame: Box) -> Box:
    return (frame[0] - BAND, frame[1] - BAND, frame[2] + BAND, frame[3] + BAND)


def trimming(width: float, height: float) -> list[Primitive]:
    """Two filled strips in each corner of the trimmed sheet, one over the other."""
    long, short = TRIM
    corners = ((x, y, a, b) for x in (0.0, width) for y in (0.0, height) for a, b in ((long, short), (short, long)))
    return [Polyline(((x, y), (u, y), (u, v), (x, v)), SOLID, True, "pen")
            for x, y, a, b in corners for u, v in ((abs(x - a), abs(y - b)),)]


def centring(frame: Box, width: float, height: float, corner: Box | None, inward: float) -> list[Furniture]:
    """Four wide strokes on the axes of the trimmed sheet, from the outer edge of the border into the drawing space.

    corner : the title block, before which a stroke ends at the frame (A4)
    """
    outer = band(frame)
    x, y = width / 2, height / 2
    strokes = {"top": ((x, outer[1]), (x, frame[1]), (0, inward)), "bottom": ((x, outer[3]), (x, frame[3]), (0, -inward)),
               "left": ((outer[0], y), (frame[0], y), (inward, 0)), "right": ((outer[2], y), (frame[2], y), (-inward, 0))}
    found = []
    for side, (a, edge, (dx, dy)) in strokes.items():
        b = (edge[0] + dx, edge[1] + dy)
        box = (min(a[0], b[0]) - 0.35, min(a[1], b[1]) - 0.35, max(a[0], b[0]) + 0.35, max(a[1], b[1]) + 0.35)
        free = corner is None or box[2] <= corner[0] or box[3] <= corner[1]
        found.append(Furniture(f"centring mark {side}", (Polyline((a, b if free else edge), WIDE),), box if free else None))
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
