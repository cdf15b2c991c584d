# SPDX-License-Identifier: MIT
"""Places of a board layout: items on rows of modules, the rows within an enclosure."""
from __future__ import annotations

from collections.abc import Sequence

from topology.dataclass import dataclass

from sld.font import text_box, text_width
from sld.layout import Drawn
from sld.layout.data import data_box, data_size
from sld.layout.emit import BASE, Sketch, cross
from sld.layout.text import LETTERS, LINE, NAME, shorten, wrap
from sld.primitives import Area, Label, Pen, Placed, Polyline, Port, Symbol, Text

__all__ = ["Item", "board_drawn", "board_parts", "rows_of"]

MODULE = 10.0  # width of a module on paper [mm]; in the enclosure it is 18 mm
LENGTHS = (4, 6, 8, 12, 18, 24)  # modules of a row; common practice, no source
SHORT = 8  # rows of so many modules are only made singly
MOST_ROWS = 8
WORD = 11.5  # what the word in a spare way takes, below its stroke [mm]
LOW, HIGH = 24.0, 84.0  # least and most height of a device on paper [mm]
PAD = 2.0  # above and below the text of a device
MARGIN = 3.0  # from the enclosure to its content
LEFT = 5.5  # room for the number of a row, which reads upwards
WAY = 5.5  # room for the ways above a row
BETWEEN = 3.0
LEGENDS = {"board-device": "Device on the rail, with its ways", "board-spare": "Spare way", "board-unknown": "Device of unknown width"}
DASH = (1.5, 1.0)


@dataclass(frozen=True, slots=True)
class Item:
    """What stands on a rail. lines: at most two; modules: its width, where known; ways: what is written above it."""

    id: str
    object: str
    lines: tuple[str, ...]
    kind: str = "board-unknown"
    modules: int = 1
    known: bool = True
    ways: str = ""
    pen: Pen = Pen()
    title: str = ""


def rows_of(items: Sequence[Item]) -> tuple[list[list[Item]], int]:
    """Items in rows, none of them broken, and the length of a row [modules]: the smallest enclosure that holds all."""
    widest = max(item.modules for item in items)
    found = []
    for length in (length for length in LENGTHS if length >= widest):
        rows = filled(items, length)
        if len(rows) <= (1 if length <= SHORT else MOST_ROWS):
            found.append((len(rows) * length, len(rows), length, rows))
    if not found:
        length = max(LENGTHS[-1], widest)
        return filled(items, length), length
    _, _, length, rows = min(found, key=lambda form: form[:3])
    return rows, length


def filled(items: Sequence[Item], length: int) -> list[list[Item]]:
    """One row after the other; what does not fit any more begins the next."""
    rows: list[list[Item]] = [[]]
    for item in items:
        if rows[-1] and sum(other.modules for other in rows[-1]) + item.modules > length:
            rows.append([])
        rows[-1].append(item)
    return rows


def board_drawn(board: str, name: str, facts: Sequence[str], rows: Sequence[Sequence[Item]], width: int,
                below: Sequence[str] = (), first: int = 1, part: str = "") -> Drawn:
    """A board from (0, 0): its name, facts, rows, and lines below them. first: number of the first row; part: ends ids where it is one of several."""
    sketch = Sketch()
    data_box(sketch, board, (LEFT + MARGIN, MARGIN), name, facts, "Data of a board", part)
    y = MARGIN + data_size(name, facts)[1] + 1.0
    for number, row in enumerate(rows, first):
        high = _height(row)
        _row(sketch, row, y + WAY, high, width)
        _write(sketch, row[0].id, board, Text((MARGIN + LETTERS + 0.7, y + WAY + high / 2), f"row {number}", LETTERS, "middle", turned=True))
        y += WAY + high + BETWEEN
    for line in below:
        _write(sketch, rows[-1][0].id, board, Text((LEFT + MARGIN, y + BASE - 1.0), line, LETTERS))
        y += LINE
    longest = max(box[2] for box in (*(label.bbox for label in sketch.labels), *(placed.bbox for placed in sketch.symbols)))
    right, bottom = max(LEFT + MARGIN + width * MODULE, longest) + MARGIN, y + MARGIN - BETWEEN + 1.0
    area = Area(f"{board}.area{part}", board, (0.0, 0.0, right, bottom))
    return Drawn(tuple(sketch.symbols), (), tuple(sketch.labels), (area,), tuple(sketch.marks), right, bottom, frozenset(sketch.uses))


def board_parts(board: str, name: str, facts: Sequence[str], rows: Sequence[Sequence[Item]], most: int, below: Sequence[str] = ()) -> list[Drawn]:
    """A board as one drawing a row, a row longer than `most` modules as several: for sheets on which it does not fit whole."""
    pieces = [(number, row, place, len(parts)) for number, whole in enumerate(rows, 1)
              for parts in (filled(whole, most),) for place, row in enumerate(parts, 1)]
    found = []
    for place, (number, row, part, parts) in enumerate(pieces, 1):
        where = f"Row {number} of {len(rows)}" + (f", part {part} of {parts}" if parts > 1 else "")
        lines = broken((*(facts if place == 1 else ()), where), most)
        last = broken(below, most) if place == len(pieces) else ()
        short = shorten(name, most * MODULE, NAME, True)
        wide = sum(item.modules for item in row)
        found.append(board_drawn(board, short, lines, [row], wide, last, number, f".{place}" if place > 1 else ""))
    return found


def broken(texts: Sequence[str], most: int) -> tuple[str, ...]:
    """Lines as wide as so many modules."""
    return tuple(line for text in texts for line in wrap(text, most * MODULE))


def _height(row: Sequence[Item]) -> float:
    """Of the devices of a row on paper: as high as its longest text asks for [mm]."""
    texts = [text_width(line, LETTERS, number == 0) for item in row for number, line in enumerate(_lines_of(item))]
    return min(HIGH, max(LOW, max(texts) + 2 * PAD + 0.1))


def _write(sketch: Sketch, of: str, owner: str, text: Text, inside: bool = False) -> None:
    number = sum(label.of == of for label in sketch.labels)
    sketch.labels.append(Label(f"{of}.text{number}", owner, of, text, text_box(text), inside))


def _row(sketch: Sketch, row: Sequence[Item], top: float, high: float, width: int) -> None:
    """The items from left to right, and the outline of the whole row."""
    x = LEFT + MARGIN
    right = x + width * MODULE
    sketch.marks.append(Polyline(((x, top), (right, top), (right, top + high), (x, top + high)), Pen(0.18), True))
    for item in row:
        wide = item.modules * MODULE
        sketch.symbols.append(Placed(item.id, item.object, _shape(item.kind, wide, high), (x, top), item.title, item.pen))
        if item.pen.dash:  # the pen of what is removed
            cross(sketch, (x, top, x + wide, top + high), item.pen)
        if item.ways:
            _write(sketch, item.id, item.object, Text((x + wide / 2, top - 1.2), item.ways, LETTERS, "middle"))
        _inside(sketch, item, (x, top, x + wide, top + high))
        x += wide


def _inside(sketch: Sketch, item: Item, box: tuple[float, float, float, float]) -> None:
    """Text that reads upwards, its lines side by side about the middle of the item."""
    x0, _, x1, bottom = box
    room = bottom - box[1] - 2 * PAD
    lines = _lines_of(item)
    first = (x0 + x1) / 2 - LINE * len(lines) / 2 + BASE
    for number, line in enumerate(lines):
        bold = number == 0 and item.kind != "board-spare"
        text = Text((first + LINE * number, bottom - PAD), shorten(line, room, LETTERS, bold), LETTERS, bold=bold, turned=True)
        _write(sketch, item.id, item.object, text, True)


def _lines_of(item: Item) -> tuple[str, ...]:
    """The text of an item, which says so where the width is not known."""
    return item.lines if item.known or "TBC" in item.lines[-1] else (item.lines[0], "width TBC")


def _shape(kind: str, wide: float, high: float) -> Symbol:
    outline = Polyline(((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), Pen(dash=DASH if kind == "board-unknown" else ()), True)
    strokes = (outline,) if kind != "board-spare" else (outline, Polyline(((0.0, high - WORD), (wide, 0.0)), Pen()))
    ports = {"in": Port((wide / 2, 0.0), "up")}
    return Symbol(kind, strokes, ports, (0.0, 0.0, wide, high), (0.0, 0.0), LEGENDS[kind], "common practice, no source")
