# SPDX-License-Identifier: MIT
"""Primitives as operators of a PDF page whose unit is the mm and whose origin is the upper left corner, y up (ISO 32000-1, 8 and 9)."""
from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field, replace
from functools import lru_cache
from math import ceil, cos, radians, sin, tan

from topology.dataclass import dataclass

from sld.font import drawable, font_size, from_start
from sld.primitives import Arc, Circle, Pen, Placed, Point, Polyline, Primitive, Symbol, Text
from sld.svg import sweep

__all__ = ["Ink", "Shapes", "number"]

Lettering = Callable[[str, bool, float], str]
"""text, bold and font size [mm] to the operators that select a font and show the text"""


def number(value: float) -> str:
    """Three decimals: a thousandth of a mm."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def _pair(point: Point) -> str:
    return f"{number(point[0])} {number(-point[1])}"


@lru_cache(maxsize=64)
def _colour(code: str) -> str:
    """#rrggbb as three parts of one."""
    return " ".join(number(int(code[place:place + 2], 16) / 255) for place in (1, 3, 5))


def _turn(centre: Point, radius: float, start: float, angle: float) -> list[str]:
    """Part of a circle, clockwise on paper, as Bézier curves of at most a quarter; its first point comes as a move."""
    parts = ceil(abs(angle) / 90.0 - 1e-9)
    step = radians(angle / parts)
    reach = radius * 4.0 / 3.0 * tan(step / 4.0)
    (x, y), turn = centre, radians(start)
    found = [f"{_pair((x + radius * cos(turn), y + radius * sin(turn)))} m"]
    for _ in range(parts):
        c, s, c2, s2 = cos(turn), sin(turn), cos(turn + step), sin(turn + step)
        turn += step
        bends = ((x + radius * c - reach * s, y + radius * s + reach * c), (x + radius * c2 + reach * s2, y + radius * s2 - reach * c2))
        found.append(f"{_pair(bends[0])} {_pair(bends[1])} {_pair((x + radius * c2, y + radius * s2))} c")
    return found


@dataclass(slots=True)
class Ink:
    """Collects operators; says width, dashes and colours only where they change."""

    lettering: Lettering
    code: list[str] = field(default_factory=list)
    pen: Pen | None = None
    fill: str | None = None

    def draw(self, marks: Iterable[Primitive]) -> None:
        """Primitives one after the other; a character that the font lacks comes as an empty box."""
        for mark in marks:
            if isinstance(mark, Text):
                for part in drawable(mark):
                    self.text(part) if isinstance(part, Text) else self.stroke(part)
            else:
                self.stroke(mark)

    def stroke(self, mark: Polyline | Circle | Arc) -> None:
        """A line with what it fills."""
        self.take(mark.pen)
        fill = None if isinstance(mark, Arc) else mark.fill
        if fill:
            self.colour(mark.pen.colour if fill == "pen" else fill)
        if isinstance(mark, Polyline):
            first, *others = map(_pair, mark.points)
            self.code += [f"{first} m", *(f"{point} l" for point in others)]
            closed = mark.closed
        else:
            start, angle = (mark.start, sweep(mark)) if isinstance(mark, Arc) else (0.0, 360.0)
            self.code += _turn(mark.centre, mark.radius, start, angle)
            closed = isinstance(mark, Circle)
        self.code.append(("b" if closed else "B") if fill else ("s" if closed else "S"))

    def take(self, pen: Pen) -> None:
        """Set width, dashes and colour of strokes as far as they differ from the last."""
        last, self.pen = self.pen, pen
        if last is pen:
            return
        if last is None or last.width != pen.width:
            self.code.append(f"{number(pen.width)} w")
        if last is None or last.dash != pen.dash:
            self.code.append(f"[{' '.join(map(number, pen.dash))}] 0 d")
        if last is None or last.colour != pen.colour:
            self.code.append(f"{_colour(pen.colour)} RG")

    def colour(self, code: str) -> None:
        """Set the colour of fillings and letters."""
        if self.fill != code:
            self.fill = code
            self.code.append(f"{_colour(code)} rg")

    def text(self, mark: Text) -> None:
        """Characters that the font has, on their base line."""
        self.colour(mark.colour)
        at = _pair(from_start(mark).at)
        shown = self.lettering(mark.text, mark.bold, font_size(mark.height, mark.bold))
        self.code.append(f"BT {'0 1 -1 0' if mark.turned else '1 0 0 1'} {at} Tm {shown} ET")

    def symbol(self, placed: Placed, shapes: Shapes) -> None:
        """A symbol at its place: its operators are made once, then moved."""
        self.code.append(f"q 1 0 0 1 {_pair(placed.at)} cm {shapes.operators(placed.symbol, placed.pen)} Q")


@dataclass(slots=True)
class Shapes:
    """Operators of symbols about their own origin, by shape and pen."""

    lettering: Lettering
    made: dict[tuple[int, Pen], tuple[Symbol, str]] = field(default_factory=dict)

    def operators(self, symbol: Symbol, pen: Pen) -> str:
        """What draws a symbol with a pen; a dash of its own stays."""
        key = (id(symbol), pen)
        if key not in self.made:
            ink = Ink(self.lettering)
            ink.draw(with_pen(mark, pen) for mark in symbol.strokes)
            self.made[key] = (symbol, " ".join(ink.code))  # the symbol is kept, so that no other gets its id
        return self.made[key][1]


def with_pen(mark: Primitive, pen: Pen) -> Primitive:
    """A symbol's stroke with width and colour of its place; a dash of its own stays."""
    if isinstance(mark, Text):
        return replace(mark, colour=pen.colour)
    return replace(mark, pen=Pen(pen.width, mark.pen.dash or pen.dash, pen.colour))
