# SPDX-License-Identifier: MIT
"""Places of a sensor diagram: a column for each sensor, its conductor from the supply down, its lead into the box of its controller."""
from __future__ import annotations

from collections.abc import Sequence

from topology.dataclass import dataclass

from sld.font import text_box, text_width
from sld.layout import Drawn
from sld.layout.emit import BASE, Sketch, around, cross, extent
from sld.layout.text import LETTERS, LINE, NAME, Block, block
from sld.primitives import Label, Pen, Placed, Polyline, Port, Symbol, Text, Wire
from sld.symbols import symbol

__all__ = ["Column", "Reader", "columns_drawn"]

PITCH = 47.0  # from one sensor to the next [mm], more where a long designation needs it
AXIS = 14.0  # from the left edge of a column to its conductor
LANE = 9.0  # from a conductor to the lead at its left
WORDS = 25.0  # width at which text beside a sensor is broken
HEADING = 9.0
WIRE = 5.0  # least length of a conductor above and below a sensor
INPUTS = 2 * LINE + 3.0  # height of the inputs within a box
LEAD = Pen(0.25, (1.0, 0.75))


@dataclass(frozen=True, slots=True)
class Column:
    """A sensor on its conductor. kind: of symbol, empty for an input without a sensor; up, down: what stands next on the conductor.

    pen, conductor : of the sensor, and of the conductor that it is fitted round
    link : id of the lead; empty where the sensor is not read here
    lead : its pieces in words; input, reference : what is written at the end of the lead
    """

    id: str
    object: str
    kind: str
    lines: tuple[str, ...] = ()
    phase: str = ""
    up: str = ""
    down: str = ""
    pen: Pen = Pen()
    conductor: Pen = Pen()
    link: str = ""
    lead: tuple[str, ...] = ()
    input: str = ""
    reference: str = ""


@dataclass(frozen=True, slots=True)
class Reader:
    """A controller that reads sensors; without an id a heading only. lines: designation first."""

    id: str
    object: str
    lines: tuple[str, ...]
    pen: Pen = Pen()


@dataclass(frozen=True, slots=True)
class _Levels:
    """What all columns share [mm]: their pitch, the heights of a sensor, of the lower terminal, of the text of leads, of the box."""

    pitch: float
    sensor: float
    lower: float
    lead: float
    box: float


def columns_drawn(reader: Reader, columns: Sequence[Column]) -> Drawn:
    """A controller with its sensors, from (0, 0)."""
    sketch = Sketch()
    levels = _levels(columns)
    for number, column in enumerate(columns):
        x = AXIS + levels.pitch * number
        if column.kind:
            _conductor(sketch, column, x, levels)
        if column.link:
            _lead(sketch, reader, column, x, levels)
    if reader.id:
        _box(sketch, reader, columns, levels)
    else:
        text = Text((AXIS - LANE, NAME + 0.5), reader.lines[0], NAME, bold=True)
        sketch.labels.append(Label("unread.heading", "", sketch.symbols[0].id, text, text_box(text)))
    right, bottom = extent(sketch)
    return Drawn(tuple(sketch.symbols), tuple(sketch.wires), tuple(sketch.labels), (), tuple(sketch.marks), right, bottom,
                 frozenset(sketch.uses))


def _levels(columns: Sequence[Column]) -> _Levels:
    shape, ends = symbol("ct"), symbol("terminal")
    tall = max((_beside(column).height for column in columns), default=0.0)
    over = max(WIRE, (tall - shape.bbox[3]) / 2 + 2.5)
    sensor = HEADING + 2 * LINE + over
    lower = sensor + shape.bbox[3] + over
    lead = lower + ends.bbox[3] + LINE
    box = lead + max((block(c.lead, PITCH - AXIS).height for c in columns), default=0.0) + 3.0
    return _Levels(max(_width(column) for column in columns), sensor, lower, lead, box)


def _width(column: Column) -> float:
    """How far it has to be from a column to the next, so that no text reaches it [mm]."""
    beside = max([_beside(column).width, *(text_width(line, LETTERS, True) for line in column.lines[:1])])
    ends = max(text_width(text, LETTERS) for text in (f"from {column.up}", f"to {column.down}", column.input, column.reference))
    leads = block(column.lead, PITCH - AXIS).width
    return max(PITCH, symbol("ct-p1-up").bbox[2] + 1.5 + beside + AXIS, 2.5 + ends + AXIS, leads + 6.0)


def _beside(column: Column) -> Block:
    return block(column.lines, WORDS)


def _conductor(sketch: Sketch, column: Column, x: float, levels: _Levels) -> None:
    """From the supply side through the sensor to the load side."""
    shape, end = symbol(column.kind), symbol("terminal")
    top = HEADING + LINE
    upper, lower = f"{column.id}.supply", f"{column.id}.load"
    for name, y in ((upper, top), (lower, levels.lower)):
        sketch.symbols.append(Placed(name, column.object, end, (x, y), "", Pen()))
    shown = around(sketch, shape, (x, levels.sensor), column.pen, column.conductor)
    sketch.symbols.append(Placed(column.id, column.object, shown, (x, levels.sensor), " ".join(column.lines), column.pen))
    if column.pen.dash:  # the pen of what is removed
        cross(sketch, (x + shape.bbox[0], levels.sensor, x + shape.bbox[2], levels.sensor + shape.bbox[3]), column.pen)
    for name, a, b, y0, y1 in ((f"{column.id}.in", upper, column.id, top + end.bbox[3], levels.sensor),
                               (f"{column.id}.out", column.id, lower, levels.sensor + shape.bbox[3], levels.lower)):
        sketch.wires.append(Wire(name, column.object, "power", ((x, y0), (x, y1)), (a, b), column.id, column.conductor))
    _write(sketch, upper, column.object, (column.phase, f"from {column.up}"), x + 2.5, top - 2.5, True)
    text = _beside(column)
    _write(sketch, column.id, column.object, text.lines, x + shape.bbox[2] + 1.5, levels.sensor + (shape.bbox[3] - text.height) / 2, True)
    _write(sketch, lower, column.object, (f"to {column.down}",), x + 2.5, levels.lower + end.bbox[3] / 2 - LINE / 2)


def _write(sketch: Sketch, of: str, owner: str, lines: Sequence[str], x: float, y: float, bold: bool = False, inside: bool = False) -> None:
    """Lines below each other, the first one's top left corner at a point, and the first one bold if wished."""
    start = sum(label.of == of for label in sketch.labels)
    for number, line in enumerate(lines):
        sketch.write(of, owner, start + number, Text((x, y + LINE * number + BASE), line, LETTERS, bold=bold and number == 0), inside)


def _lead(sketch: Sketch, reader: Reader, column: Column, x: float, levels: _Levels) -> None:
    """From the secondary down into the box, its pieces written beside it."""
    port = symbol(column.kind).ports["secondary"].at
    lane, y = x - LANE, levels.sensor + port[1]
    points = ((x + port[0], y), (lane, y), (lane, levels.box))
    sketch.wires.append(Wire(column.link, column.object, "lead", points, (column.id, reader.id), None, LEAD))
    _write(sketch, column.link, column.object, block(column.lead, PITCH - AXIS).lines, lane + 1.5, levels.lead)


def _box(sketch: Sketch, reader: Reader, columns: Sequence[Column], levels: _Levels) -> None:
    """The controller, its inputs along the upper edge."""
    top = levels.box
    width, height = AXIS - LANE + levels.pitch * len(columns), INPUTS + LINE * len(reader.lines) + 4.0
    outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    shape = Symbol("reader", (Polyline(outline, Pen(), True),), {"in": Port((0.0, 0.0), "up")}, (0.0, 0.0, width, height), (2.5, 2.5),
                   "Controller with its inputs", "common practice, no source")
    sketch.symbols.append(Placed(reader.id, reader.object, shape, (0.0, top), " ".join(reader.lines), reader.pen))
    for number, column in enumerate(columns):
        if column.input:
            x = AXIS - LANE + levels.pitch * number
            _write(sketch, reader.id, reader.object, (column.input, column.reference), x - 2.0, top + 1.5, inside=True)
    _write(sketch, reader.id, reader.object, reader.lines, AXIS - LANE - 2.0, top + INPUTS + 1.5, True, True)
