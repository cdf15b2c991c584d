# SPDX-License-Identifier: MIT
"""How text of the site file stands in messages: nothing acts on a terminal, nothing is without end, carets stay under their place."""
from __future__ import annotations

import random
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest

from topology.quoted import cut, quoted_line, visible
from topology.read import read_bytes
from topology.report import check

SITE = """site: {{name: My cottage}}
supply:
  system: 1/PEN AC 50 Hz 230 V
  in_line: [fuse: 63 A, ne_link: {{electrode: TBC}}, switch: 63 A 2P]
  feeds: {feeds}
boards:
  MSB: {{circuits: [{{way: 1, name: Lights, in_line: [breaker: 16 A C 1P 6 kA, cable: TBC], load: lighting}}]}}
"""


def report_on(feeds: str) -> str:
    return check(read_bytes(SITE.format(feeds=feeds).encode(), "site.yaml", Path())).text()


def test_a_message_with_a_line_feed_in_a_name_stays_one_line_and_says_so() -> None:
    said = report_on('"MSB\\nsite.yaml:1:1  error  made-up: no"')
    assert "'MSB\\nsite.yaml:1:1  error  made-up: no'" in said
    assert not any(line.startswith("site.yaml:1:1") for line in said.splitlines())


def test_no_escape_sequence_of_a_name_reaches_the_terminal() -> None:
    # ECMA-48: control sequences begin with ESC (1b) or with CSI (9b)
    said = report_on('"MSB\\x1b[31m\\x9b2J\\a"')
    assert all(unicodedata.category(c) != "Cc" for line in said.split("\n") for c in line)
    assert "\\x1b[31m\\x9b2J\\x07" in said


def test_a_line_of_nine_thousand_characters_is_shown_around_its_place() -> None:
    said = report_on(f'"{"Y" * 9000}"')
    assert max(len(line) for line in said.splitlines() if "Y" * 9 in line) < 400
    shown, carets = next((a, b) for a, b in zip(said.splitlines(), said.splitlines()[1:], strict=False) if set(b) <= set(" |^") and "^" in b)
    assert shown[carets.index("^")] == '"' and shown.endswith("…")


@pytest.mark.parametrize("seed", range(60))
def test_carets_stand_under_the_place_wherever_it_is(seed: int) -> None:
    pick = random.Random(seed)
    line = "".join(pick.choices("abc \té漢字e\u0301\u200d,:{}", k=pick.choice((0, 5, 199, 200, 201, 900))))
    column, width = pick.randint(1, len(line) + 1), pick.randint(1, 12)
    shown, carets = quoted_line(line, column, width)
    assert len(shown) <= 202
    if width <= len(line) - column + 1 and not unicodedata.combining(line[column - 1]):  # a mark stands over the character before it
        start = len(carets) - len(carets.lstrip())
        before = cells(shown, start)
        wanted = line[column - 1:column - 1 + width]
        assert shown[before:before + width] == "".join(c if c.isprintable() or c == "\t" else "·" for c in wanted)


def cells(text: str, columns: int) -> int:
    """Characters that take so many columns. Source: Unicode Standard Annex 11, wide and fullwidth take two; combining marks take none."""
    taken, count = 0, 0
    while taken < columns or (count < len(text) and unicodedata.combining(text[count])):
        taken += 0 if unicodedata.combining(text[count]) else 2 if unicodedata.east_asian_width(text[count]) in "WF" else 1
        count += 1
    return count


def test_marks_that_turn_the_direction_of_writing_are_shown_as_escapes() -> None:
    # Unicode Standard Annex 9: explicit directional characters
    for code in (0x202A, 0x202B, 0x202C, 0x202D, 0x202E, 0x2066, 0x2067, 0x2068, 0x2069, 0x200E, 0x200F, 0x061C):
        assert visible(f"a{chr(code)}b") == f"a\\u{code:04x}b"


def test_a_message_that_is_short_and_plain_is_left_alone() -> None:
    for text in ("there is no board 'MSB', did you mean 'SB'?", "10 mm² at 40 °C", "مطبخ", "a\u00a0b"):
        assert cut(text) == text


def test_what_stands_in_quotes_without_end_keeps_its_beginning_and_its_end() -> None:
    said = cut(f"unknown key 'begin{'k' * 9000}end' in MSB.4")
    assert said.startswith("unknown key 'begink") and said.endswith("kend' in MSB.4") and len(said) < 220


def test_the_name_of_a_file_that_is_not_there_shows_no_control_character() -> None:
    done = subprocess.run([sys.executable, "-m", "sld.cli", "check", "\x1b[31mx.yaml"], capture_output=True, text=True, check=False)
    assert done.returncode == 2 and "\x1b" not in done.stderr and done.stderr.startswith("\\x1b[31mx.yaml:1:1")
