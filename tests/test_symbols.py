# SPDX-License-Identifier: MIT
"""Symbols: every kind compiles, wires can end on it, and it is a picture of its own."""
from __future__ import annotations

import math

import pytest
from sld.primitives import Arc, Circle, Polyline
from sld.symbols import kinds, symbol


@pytest.mark.parametrize("kind", kinds())
def test_ports_lie_on_the_edge_of_the_box(kind: str) -> None:
    made = symbol(kind)
    x0, y0, x1, y1 = made.bbox
    for port in made.ports.values():
        x, y = port.at
        edge = {"up": y - y0, "down": y1 - y, "left": x - x0, "right": x1 - x}[port.direction]
        assert edge == pytest.approx(0, abs=1e-6) or port.direction in ("left", "right")


@pytest.mark.parametrize("kind", kinds())
def test_box_holds_every_stroke(kind: str) -> None:
    made = symbol(kind)
    x0, y0, x1, y1 = made.bbox
    for stroke in made.strokes:
        points = stroke.points if isinstance(stroke, Polyline) else ()
        if isinstance(stroke, Circle | Arc):
            (cx, cy), r = stroke.centre, stroke.radius
            first, last = (stroke.start, stroke.end) if isinstance(stroke, Arc) else (0, 360)
            angles = [math.radians(first + (last - first) * n / 16) for n in range(17)]
            points = tuple((cx + r * math.cos(a), cy + r * math.sin(a)) for a in angles)
        assert all(x0 - 1e-6 <= x <= x1 + 1e-6 and y0 - 1e-6 <= y <= y1 + 1e-6 for x, y in points)


def test_each_kind_is_a_picture_of_its_own_with_legend_and_source() -> None:
    made = [symbol(kind) for kind in kinds()]
    assert len({repr(s.strokes) for s in made}) == len(made)
    assert all(s.legend and s.source for s in made)
