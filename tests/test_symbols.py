# SPDX-License-Identifier: MIT
"""Symbols: every kind compiles, wires can end on it, and it is a picture of its own."""
from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Iterator
from itertools import combinations
from time import process_time

import pytest
from fontTools.ttLib import TTFont
from sld.font import font_file
from sld.primitives import Arc, Circle, Point, Polyline, Primitive, Symbol, Text
from sld.symbols import families, kinds, symbol
from sld.symbols.base import compile_symbol
from sld.symbols.compiled import FILE
from sld.symbols.rebuild import compiled_text, drawn_families

IN_LINE = ["link", "meter-import", "meter-export", "meter-both", "breaker", "rcd", "rcbo", "fuse", "fuse-switch", "switch", "disconnector",
           "switch-disconnector", "changeover-manual", "changeover-automatic", "changeover-interlocked", "contactor",
           "disconnection-device", "interface-protection", "ct-p1-up", "ct-p1-down", "ct", "filter", "filter-ferrite", "transformer",
           "surge-arrester", "ne-link", "terminal", "junction", "unknown"]
AT_END = ["final-subcircuits", "inverter", "inverter-hybrid", "module-inverters", "storage", "battery", "array", "generator", "motor", "ev-supply", "lighting",
          "sockets", "heater", "load", "spare", "earth", "protective-earth", "electrode", "terminator", "shield-bond", "reference", "reference-lead"]
OTHERS = ["supply", "inlet", "reference-from", "gateway", "bus-adapter", "controller", "conductor-stroke", "neutral-mark", "protective-mark", "pen-mark",
          "enclosure", "revision-triangle", "warning"]
SIDES = {"ct": "secondary", "ct-p1-up": "secondary", "ct-p1-down": "secondary", "storage": "bus", "inverter": "bus", "inverter-hybrid": "bus",
         "module-inverters": "bus", "gateway": "bus", "bus-adapter": "bus", "controller": "bus", "ne-link": "earth", "changeover-manual": "alternative",
         "changeover-automatic": "alternative", "changeover-interlocked": "alternative"}


def walked(points: tuple[Point, ...], step: float = 0.05) -> Iterator[Point]:
    """Points all along straight strokes."""
    for (x, y), (u, v) in zip(points, points[1:]):
        parts = max(1, math.ceil(math.dist((x, y), (u, v)) / step))
        yield from ((x + (u - x) * n / parts, y + (v - y) * n / parts) for n in range(parts + 1))


def turned(mark: Arc | Circle) -> Iterator[Point]:
    """Points all along an arc, clockwise on paper."""
    start, end = (mark.start, mark.end) if isinstance(mark, Arc) else (0.0, 360.0)
    for n in range(361):
        angle = math.radians(start + (end - start) * n / 360)
        yield (mark.centre[0] + mark.radius * math.cos(angle), mark.centre[1] + mark.radius * math.sin(angle))


def lettered(mark: Text) -> Iterator[Point]:
    """Corners of what letters cover, from the font's own outlines: not from the code that measures text."""
    font = TTFont(font_file(mark.bold))
    scale = mark.height / font["OS/2"].sCapHeight
    names = [font.getBestCmap()[ord(letter)] for letter in mark.text]
    x = mark.at[0] - sum(font["hmtx"][name][0] for name in names) * scale / 2
    for name in names:
        glyph = font["glyf"][name]
        yield from ((x + u * scale, mark.at[1] - v * scale) for u in (glyph.xMin, glyph.xMax) for v in (glyph.yMin, glyph.yMax))
        x += font["hmtx"][name][0] * scale


def sampled(mark: Primitive) -> Iterator[Point]:
    if isinstance(mark, Polyline):
        yield from walked((*mark.points, mark.points[0]) if mark.closed else mark.points)
    else:
        yield from lettered(mark) if isinstance(mark, Text) else turned(mark)


def ink(made: Symbol) -> frozenset[tuple[int, int]]:
    """Squares of a quarter of a millimetre that strokes touch, and the middle of what is filled."""
    points = {point for mark in made.strokes for point in sampled(mark)}
    points |= {mark.centre for mark in made.strokes if isinstance(mark, Circle) and mark.fill}
    return frozenset((round(x / 0.25), round(y / 0.25)) for x, y in points)


def test_the_kinds_are_those_that_the_drawings_need_each_once() -> None:
    assert sorted(kinds()) == sorted(IN_LINE + AT_END + OTHERS)


def test_a_kind_that_nobody_draws_is_an_error() -> None:
    with pytest.raises(KeyError):
        symbol("flux-compensator")


def test_a_kind_is_compiled_once() -> None:
    assert symbol("breaker") is symbol("breaker")


@pytest.mark.parametrize("kind", kinds())
def test_box_holds_every_stroke_and_is_no_larger(kind: str) -> None:
    made = symbol(kind)
    xs, ys = zip(*(point for mark in made.strokes for point in sampled(mark)))
    seen, box = (min(xs), min(ys), max(xs), max(ys)), made.bbox
    assert box[0] <= seen[0] + 1e-3 and box[1] <= seen[1] + 1e-3 and box[2] >= seen[2] - 1e-3 and box[3] >= seen[3] - 1e-3
    assert max(abs(a - b) for a, b in zip(box, seen)) < 0.01


@pytest.mark.parametrize("kind", kinds())
def test_ports_lie_on_the_edge_that_they_look_out_of_and_on_a_stroke(kind: str) -> None:
    made = symbol(kind)
    x0, y0, x1, y1 = made.bbox
    for name, port in made.ports.items():
        x, y = port.at
        assert {"up": y - y0, "down": y1 - y, "left": x - x0, "right": x1 - x}[port.direction] == pytest.approx(0), name
        nearest = min(math.dist(port.at, point) for mark in made.strokes for point in sampled(mark))
        assert nearest < 0.05, name


@pytest.mark.parametrize("kind", IN_LINE)
def test_what_stands_in_line_has_both_ports_on_the_axis(kind: str) -> None:
    ports = symbol(kind).ports
    assert (ports["in"].at, ports["in"].direction) == ((0.0, 0.0), "up")
    assert (ports["out"].at[0], ports["out"].direction) == (0.0, "down")
    assert ports["out"].at[1] / 2.5 == pytest.approx(round(ports["out"].at[1] / 2.5))  # module of the symbols, 2.5 mm


@pytest.mark.parametrize("kind", AT_END + ["gateway", "bus-adapter", "controller"])
def test_what_ends_a_line_is_entered_from_above_on_the_axis(kind: str) -> None:
    port = symbol(kind).ports["in"]
    assert (port.at, port.direction) == ((0.0, 0.0), "up")


def test_leads_buses_and_second_supplies_leave_at_the_left_where_the_layout_has_its_lanes() -> None:
    assert {kind: port for kind in kinds() for port in symbol(kind).ports if symbol(kind).ports[port].direction == "left"} == SIDES
    assert all(symbol(kind).ports["lead"].direction == "right" for kind in ("gateway", "bus-adapter", "controller"))


@pytest.mark.parametrize("kind", kinds())
def test_symbols_are_small_enough_to_stand_beside_each_other(kind: str) -> None:
    x0, y0, x1, y1 = symbol(kind).bbox
    assert x1 - x0 <= (15.0 if kind == "enclosure" else 12.5) and y1 - y0 <= 15.0


@pytest.mark.parametrize("kind", kinds())
def test_the_label_begins_right_of_the_symbol_level_with_its_middle(kind: str) -> None:
    made = symbol(kind)
    x, base = made.label_at
    assert x - made.bbox[2] == pytest.approx(1.5)
    assert base - 2.5 / 2 == pytest.approx((made.bbox[1] + made.bbox[3]) / 2)


@pytest.mark.parametrize("kind", kinds())
def test_letters_stand_inside_the_box_and_are_high_enough_to_read(kind: str) -> None:
    for mark in symbol(kind).strokes:
        if isinstance(mark, Text):
            assert mark.height >= 2.5  # least that is legible on A3: common practice, no source


def test_any_two_kinds_differ_on_paper_by_more_than_a_hair() -> None:
    # the least difference is that of a joint and a terminal: filled or not, and a little in size
    pictures = {kind: ink(symbol(kind)) for kind in kinds()}
    words = {kind: {mark.text for mark in symbol(kind).strokes if isinstance(mark, Text)} for kind in kinds()}
    alike = [(a, b) for a, b in combinations(kinds(), 2) if len(pictures[a] ^ pictures[b]) < 8 and words[a] == words[b]]
    assert not alike


def test_each_kind_has_words_of_its_own_for_the_legend_and_names_the_source_of_its_shape() -> None:
    made = [symbol(kind) for kind in kinds()]
    assert len({shape.legend for shape in made}) == len(made)
    assert all(shape.legend[0].isupper() for shape in made)
    assert all("from memory" in shape.source or "own" in shape.source for shape in made)


def test_the_arrow_of_a_current_transformer_runs_from_p1_and_meters_show_what_they_count() -> None:
    # P1 to P2 is the positive direction of the primary current: IEC 61869-2, from memory
    def tips(kind: str) -> list[tuple[float, float]]:
        heads = [mark.points for mark in symbol(kind).strokes if isinstance(mark, Polyline) and mark.fill]
        return [(head[1][1], head[0][1]) for head in heads]

    def letters(kind: str) -> float:
        return next(mark.at[1] for mark in symbol(kind).strokes if isinstance(mark, Text) and mark.text == "P1")

    (tip, back), = tips("ct-p1-up")
    assert letters("ct-p1-up") < back < tip
    (tip, back), = tips("ct-p1-down")
    assert letters("ct-p1-down") > back > tip
    assert [tip > back for kind in ("meter-import", "meter-export", "meter-both") for tip, back in tips(kind)] == [True, False, True, False]


def test_the_file_of_compiled_symbols_is_what_schemdraw_draws() -> None:
    # after a change of a symbol: python -m sld.symbols.rebuild
    assert FILE.read_text(encoding="utf-8") == compiled_text()
    assert {name: kinds for name, kinds in drawn_families().items()} == families()
    assert [symbol(kind) for kind in kinds()] == [compile_symbol(kind) for kind in kinds()]


def test_all_symbols_compile_in_a_moment_and_a_drawing_loads_no_schemdraw() -> None:
    compile_symbol("breaker")  # the import of schemdraw is paid once
    begun = process_time()
    for kind in kinds():
        compile_symbol.__wrapped__(kind)
    assert process_time() - begun < 0.2
    code = "import sys; from sld.symbols import kinds, symbol; [symbol(k) for k in kinds()]; sys.exit('schemdraw' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
