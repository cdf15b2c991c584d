# SPDX-License-Identifier: MIT
"""A name without end is a finding at its place in the file, and the drawing cuts it where all can see that it is cut."""
from __future__ import annotations

from pathlib import Path

import pytest
from topology.flow import Flows
from topology.read import read_bytes

import scene_faults
from sld.board_layout import board_layout
from sld.font import text_width
from sld.layout.text import LONGEST, MOST, block
from sld.single_line import single_line

COTTAGE = Path(__file__).parents[1] / "gallery/cottage/site.yaml"
A0 = (1189, 841)  # ISO 216 [mm]


def renamed(name: str) -> bytes:
    """A valid site with a circuit of our name, in quotes."""
    text = COTTAGE.read_text(encoding="utf-8")
    assert text.count("name: Oven,") == 1
    return text.replace("name: Oven,", f'name: "{name}",').encode()


@pytest.mark.parametrize("name", ["Z" * 9000, "socket " * 1285, "W" * 43, "a " * 51])
def test_a_name_that_a_label_may_not_hold_is_a_warning_at_its_place(name: str) -> None:
    data = renamed(name)
    finding, = (f for f in read_bytes(data).findings if f.rule == "name-long")
    line = data.decode().splitlines()[finding.mark.line - 1]
    assert finding.severity == "warning" and line[finding.mark.column - 1:].startswith(f'"{name}"')


@pytest.mark.parametrize("name", ["Living sockets", "W" * 40, "Pump in the shed beside the orchard gate, north"])
def test_a_name_that_every_label_holds_is_no_finding(name: str) -> None:
    assert not [f for f in read_bytes(renamed(name)).findings if f.rule == "name-long"]


@pytest.mark.parametrize("width", [21.0, 25.0, 30.0])
@pytest.mark.parametrize("text", ["Z" * 9000, "socket " * 1285, "W " * 5000])
def test_a_label_is_never_larger_than_its_bounds_and_shows_that_it_is_cut(text: str, width: float) -> None:
    made = block((text,), width)
    assert len(made.lines) <= MOST and max(text_width(line, 2.5) for line in made.lines) <= LONGEST
    assert made.lines[-1].endswith("…")


@pytest.mark.parametrize("text", ["W" * 42, "W " * 24, "Maintenance workshop immediate compressor mmm MW"])
def test_what_is_no_finding_is_never_cut(text: str) -> None:
    """The bounds of the finding against wide letters in the narrowest label: it loses nothing."""
    assert "".join(block((text,), 21.0).lines).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("name", ["Z" * 9000, "socket " * 1285])
def test_a_drawing_with_such_a_name_stands_on_paper_that_can_be_bought_without_faults(name: str) -> None:
    scene = single_line(Flows(read_bytes(renamed(name))))
    assert all(sheet.width <= A0[0] and sheet.height <= A0[0] for sheet in scene.sheets)
    assert [fault for sheet in scene.sheets for fault in scene_faults.faults(sheet)] == []
    assert any(label.text.text.endswith("…") for sheet in scene.sheets for label in sheet.labels)


def test_the_layout_of_a_board_with_such_a_name_keeps_its_designation_and_stands_on_paper_that_can_be_bought() -> None:
    text = COTTAGE.read_text(encoding="utf-8").replace("name: Main switchboard", f"name: {'Z' * 9000}")
    scene = board_layout(Flows(read_bytes(text.encode())))
    assert scene is not None and all(sheet.width <= A0[0] for sheet in scene.sheets)
    assert any(label.text.text.endswith("… (MSB)") for sheet in scene.sheets for label in sheet.labels)
