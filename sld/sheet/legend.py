# SPDX-License-Identifier: MIT
"""The legend: only symbols, lines and pens that occur on the sheet."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from topology.dataclass import dataclass

from sld.clouds import BUMP, changed, cloud
from sld.layout.model import Drawn
from sld.layout.move import moved_mark
from sld.layout.text import LINE, wrap
from sld.primitives import Arc, Box, Circle, Pen, Polyline, Primitive, Symbol, Text, Wire
from sld.sheet.cells import TEXT, heading
from sld.symbols import kinds, symbol

__all__ = ["COLUMN", "Entry", "entries", "legend_marks"]

SAMPLE = (16.0, 16.0)  # room for a symbol [mm]; larger ones are drawn smaller
WORDS = 36.0  # room for its words [mm], with some air before the next sample
COLUMN = 57.0
TOP = 6.0  # below the heading [mm]
THICK = 0.5  # width of the strokes of what is new [mm]
LINES = {"power": "Power conductors", "bus": "Control bus", "lead": "Sensor or device lead", "earth": "Earth conductor"}


@dataclass(frozen=True, slots=True)
class Entry:
    """A sample about its own origin, and what it means."""

    marks: tuple[Primitive, ...]
    box: Box
    words: str


def entries(drawn: Drawn, order: Sequence[str] | None, altered: frozenset[str] = frozenset()) -> list[Entry]:
    """Symbols in the order given (or as they occur), then kinds of line, enclosure, pens of status, and clouds round what a revision changed."""
    shapes = {kind: usual(shape) for kind, shape in {placed.symbol.kind: placed.symbol for placed in drawn.symbols}.items()}
    wanted = [kind for kind in order if kind in shapes] if order is not None else list(shapes)
    found = [symbol_entry(shapes[kind]) for kind in wanted]
    # short stubs to terminators have the pen of their device: the longest wire shows how its kind is drawn, status apart
    pens = {wire.kind: wire.pen for wire in sorted(drawn.wires, key=run_length)}
    pens |= {kind: min((w.pen for w in drawn.wires if w.kind == kind and w.pen.dash == pen.dash), key=lambda p: p.width)
             for kind, pen in pens.items()}
    found += [line_entry(pens[kind], words) for kind, words in LINES.items() if kind in pens]
    if drawn.areas:
        found.append(line_entry(drawn.areas[0].pen, "Board or place"))
    return found + status_entries(drawn) + mark_entries(drawn) + ([cloud_entry()] if any(changed(drawn, altered)) else [])


def usual(shape: Symbol) -> Symbol:
    """The symbol of a kind as it is usually drawn: on the sheet it may be stretched to its terminals."""
    return symbol(shape.kind) if shape.kind in kinds() else shape


def run_length(wire: Wire) -> float:
    """Length of a wire [mm]; its strokes are horizontal or vertical."""
    return sum(abs(x1 - x0) + abs(y1 - y0) for (x0, y0), (x1, y1) in zip(wire.points, wire.points[1:], strict=False))


def symbol_entry(shape: Symbol) -> Entry:
    """A symbol at its size where it fits, else smaller; a busbar is cut to length."""
    if shape.kind == "busbar":
        x = SAMPLE[0] / 2
        outline = Polyline(((-x, 0.0), (x, 0.0), (x, 1.2), (-x, 1.2)), Pen(), True, "pen")
        return Entry((outline,), (-x, 0.0, x, 1.2), shape.legend)
    x0, y0, x1, y1 = shape.bbox
    factor = min(1.0, SAMPLE[0] / max(x1 - x0, 0.1), SAMPLE[1] / max(y1 - y0, 0.1))
    box = (x0 * factor, y0 * factor, x1 * factor, y1 * factor)
    return Entry(tuple(scaled(mark, factor) for mark in shape.strokes), box, shape.legend)


def scaled(mark: Primitive, factor: float) -> Primitive:
    """A stroke made smaller about the origin. Letters within a symbol shrink with it: the sheet shows them at full size too."""
    if isinstance(mark, Polyline):
        return replace(mark, points=tuple((x * factor, y * factor) for x, y in mark.points))
    if isinstance(mark, (Arc, Circle)):
        return replace(mark, centre=(mark.centre[0] * factor, mark.centre[1] * factor), radius=mark.radius * factor)
    return replace(mark, at=(mark.at[0] * factor, mark.at[1] * factor), height=mark.height * factor)


def line_entry(pen: Pen, words: str) -> Entry:
    x = SAMPLE[0] / 2
    return Entry((Polyline(((-x, 0.0), (x, 0.0)), pen),), (-x, -0.5, x, 0.5), words)


def status_entries(drawn: Drawn) -> list[Entry]:
    """Thick strokes are explained where they occur, thin ones where both do, dashes where they occur on a device or a cable."""
    # a place where a lead divides is dashed like its lead, and not removed
    pens = {placed.pen for placed in drawn.symbols if placed.symbol.kind != "branch"} | {wire.pen for wire in drawn.wires if wire.kind == "power"}
    solid = sorted((pen for pen in pens if not pen.dash), key=lambda pen: pen.width)
    thick = bool(solid) and solid[-1].width >= THICK
    found = [line_entry(solid[0], "Existing (thin)")] if thick and len(solid) > 1 else []
    if thick:
        found.append(line_entry(solid[-1], "New or relocated (thick)"))
    if dashed := sorted((pen for pen in pens if pen.dash), key=lambda pen: pen.width):
        found.append(crossed_entry(dashed[0], "Removed (dashed, crossed)"))
    elif "crossed" in drawn.uses:
        found.append(crossed_entry(Pen(), "Removed"))
    return found


def crossed_entry(pen: Pen, words: str) -> Entry:
    """A line with a cross over it."""
    line = line_entry(pen, words)
    strokes = (Polyline(((-1.25, 1.25), (1.25, -1.25))), Polyline(((-1.25, -1.25), (1.25, 1.25))))
    return Entry((*line.marks, *strokes), (line.box[0], -1.25, line.box[2], 1.25), words)


def mark_entries(drawn: Drawn) -> list[Entry]:
    """What is drawn over or beside symbols and wires."""
    wire = Polyline(((-6.0, 0.0), (6.0, 0.0)))
    stroke = Polyline(((-1.25, 1.25), (1.25, -1.25)))
    triangle = Polyline(((-3.3, 3.0), (3.3, 3.0), (0.0, -3.0)), closed=True)
    samples = {"conductors": Entry((wire, stroke), (-6.0, -1.25, 6.0, 1.25), "Conductors of a line"),
               "revised": Entry((triangle,), (-3.3, -3.0, 3.3, 3.0), "Altered at the revision named")}
    return [sample for use, sample in samples.items() if use in drawn.uses]


def cloud_entry() -> Entry:
    """A cloud, and to what it calls attention."""
    x, y = 5.0, 2.5
    return Entry(tuple(cloud((-x, -y, x, y))), (-x - BUMP, -y - BUMP, x + BUMP, y + BUMP), "Changed at the last revision")


def legend_marks(found: Sequence[Entry], width: float, title: str = "LEGEND") -> tuple[list[Primitive], float]:
    """The legend in as many columns as a width allows, as low as it can be, read down each column; and its height."""
    count = max(1, int(width / COLUMN))
    marks: list[Primitive] = [heading(0.0, 0.0, title)]
    bottom = TOP
    for number, column in enumerate(columns([height(entry) for entry in found], count)):
        y = TOP
        for entry in found[column]:
            marks += entry_marks(entry, number * width / count, y + height(entry) / 2)
            y += height(entry)
        bottom = max(bottom, y)
    return marks, bottom


def height(entry: Entry) -> float:
    """Of its row [mm]."""
    return max(entry.box[3] - entry.box[1] + 1.5, LINE * len(wrap(entry.words, WORDS)) + 0.8)


def entry_marks(entry: Entry, x: float, middle: float) -> list[Primitive]:
    """A sample with its words on the right of it."""
    words = wrap(entry.words, WORDS)
    dx, dy = x + SAMPLE[0] / 2 - (entry.box[0] + entry.box[2]) / 2, middle - (entry.box[1] + entry.box[3]) / 2
    first = middle - LINE * len(words) / 2 + 3.1
    return [*(moved_mark(mark, dx, dy) for mark in entry.marks),
            *(Text((x + SAMPLE[0] + 2.5, first + LINE * line), word, TEXT) for line, word in enumerate(words))]


def columns(heights: Sequence[float], count: int) -> list[slice]:
    """Rows in order over at most so many columns, of which the highest is as low as it can be."""
    low, high = max(heights, default=0.0), sum(heights)
    while high - low > 0.25:
        middle = (low + high) / 2
        low, high = (low, middle) if len(broken(heights, middle)) <= count else (middle, high)
    return broken(heights, high + 0.01)


def broken(heights: Sequence[float], most: float) -> list[slice]:
    """Rows over columns of at most this height [mm]."""
    found: list[slice] = []
    start, used = 0, 0.0
    for place, row in enumerate(heights):
        if used + row > most and place > start:
            found.append(slice(start, place))
            start, used = place, 0.0
        used += row
    return [*found, slice(start, len(heights))]
