# SPDX-License-Identifier: MIT
"""Lines between two ends that stand already: they pass everything in the way, or there is none."""
from __future__ import annotations

import random

import pytest
from scene_faults import cuts, faults
from sld.layout import Enclosure, Feed, Strip, joined, layout
from sld.layout.routing import End, Obstacles, route
from sld.primitives import Box, Point
from sld.single_line import drawn_sheets
from sld.sheet.info import SheetInfo
from sld.split import Forest

ROOM = (0.0, 0.0, 200.0, 150.0)


def line(start: Point, corners: tuple[Point, ...], goal: Point) -> list[Box]:
    points = (start, *corners, goal)
    return [(min(x, u), min(y, v), max(x, u), max(y, v)) for (x, y), (u, v) in zip(points, points[1:])]


def test_two_ends_that_look_down_are_joined_by_the_nearest_line_below_both() -> None:
    corners = route(End((20.0, 50.0), 1), End((90.0, 30.0), 1), Obstacles([], [], ROOM))
    assert corners == ((20.0, 52.5), (90.0, 52.5))


def test_a_line_passes_below_what_stands_between_its_ends() -> None:
    box = (40.0, 0.0, 60.0, 80.0)
    corners = route(End((20.0, 50.0), 1), End((90.0, 30.0), 1), Obstacles([box], [box], ROOM))
    assert corners == ((20.0, 80.0), (90.0, 80.0))


def test_a_line_climbs_between_two_drawings_in_the_middle_of_the_gap_and_comes_down_from_above() -> None:
    left, right = (0.0, 0.0, 80.0, 60.0), (100.0, 20.0, 180.0, 100.0)
    boxes = [left, right]
    corners = route(End((40.0, 60.0), 1), End((140.0, 20.0), -1), Obstacles(boxes, boxes, ROOM))
    assert corners == ((40.0, 62.5), (90.0, 62.5), (90.0, 17.5), (140.0, 17.5))


def test_there_is_no_line_through_a_wall() -> None:
    wall = (90.0, -1.0, 110.0, 151.0)
    assert route(End((20.0, 50.0), 1), End((150.0, 50.0), 1), Obstacles([wall], [wall], ROOM)) is None


@pytest.mark.parametrize("seed", range(40))
def test_no_line_enters_anything_whatever_stands_in_the_way(seed: int) -> None:
    """Checked against a test of segment and box that the tests own; obstacles may touch, not enter."""
    draw = random.Random(seed)
    boxes = [(x, y, x + draw.uniform(2, 30), y + draw.uniform(2, 25)) for x, y in
             ((draw.uniform(0, 180), draw.uniform(20, 130)) for _ in range(draw.randint(1, 25)))]
    start, goal = End((draw.uniform(0, 200), 10.0), 1), End((draw.uniform(0, 200), 12.0), 1)
    corners = route(start, goal, Obstacles(boxes, boxes, ROOM))
    for piece in line(start.at, corners, goal.at) if corners else ():
        assert piece[0] == piece[2] or piece[1] == piece[3]
        assert not any(cuts(piece, box) for box in boxes)
        assert 0 <= piece[0] and piece[2] <= 200 and piece[3] <= 150


def tied(ways: int, first: str, second: str) -> Strip:
    """A bar with lights on each way; two ways lead to references that belong together."""
    def way(n: int) -> Strip:
        wire = Feed(f"w{n}", f"w{n}", lines=("2.5 mm² 2C+2.5E", "24 m"))
        if str(n) in (first, second):
            mine, other = ("tie.to", "tie.from") if str(n) == first else ("tie.from", "tie.to")
            return Strip(mine, "tie", "reference", ("to B", "sheet 00/A00"), wire=wire, pair=other, enclosure=None)
        return Strip(f"L{n}", f"L{n}", "lighting", ("lights 1 kW",), wire=wire)

    return Strip("S", "S", "supply", ("S",), children=(
        Strip("B", "B", "busbar", ("100 A",), wire=Feed("W", "W"), children=tuple(map(way, range(1, ways + 1))), enclosure="E"),))


@pytest.mark.parametrize(("first", "second"), [("2", "5"), ("5", "2"), ("1", "6"), ("3", "4")])
def test_a_tie_is_one_wire_with_the_text_of_its_first_part_and_no_reference(first: str, second: str) -> None:
    (sheet,) = drawn_sheets(Forest((tied(6, first, second),), (), (Enclosure("E", "E", ("E Board",)),)), SheetInfo())
    (wire,) = [one for one in sheet.wires if len(one.points) > 2]
    assert wire.id == f"w{first}" and wire.ends == ("B", "B") and len(wire.points) == 4
    assert not any(one.symbol.kind == "reference" for one in sheet.symbols)
    assert not any("sheet 00" in label.text.text for label in sheet.labels)
    assert [fault for fault in faults(sheet) if "run on top" not in fault] == []


def test_references_stay_where_there_is_no_room_for_a_line() -> None:
    plain = layout(tied(6, "2", "5"), (), (Enclosure("E", "E", ("E Board",)),))
    assert joined(plain, (0.0, 0.0, plain.width, 20.0)) is plain
    assert joined(plain, (0.0, 0.0, plain.width, plain.height + 6.0), ()) is plain
