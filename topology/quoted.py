# SPDX-License-Identifier: MIT
"""Text of the site file as messages show it: no character acts on a terminal, and no line is without end."""
from __future__ import annotations

import re
import unicodedata

__all__ = ["cut", "quoted_line", "visible"]

LINE = 200
"""Characters of a line up to which it is shown whole."""
BEFORE = 60
"""Characters that are shown before the place, where a line is longer."""
WORDS = 160
"""Characters between two quotes up to which they are shown whole."""
MESSAGE = 1200
"""Characters of one message."""
CUT = "…"
NAMED = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}
QUOTED = re.compile(f"(?<!\\w)'([^']{{{WORDS + 1},}})'")
SAFE = frozenset("\u200c\u200d")
"""Joiners, which several scripts and composed signs are written with; they move nothing."""


def visible(text: str) -> str:
    """The text in one line: characters that break it, turn its direction or act on a terminal stand as escapes, `\\n`, `\\x1b`.

    So a name with a line feed cannot pass for a line of the report.
    """
    return text if text.isprintable() else "".join(map(_shown, text))


def _shown(character: str) -> str:
    if character.isprintable() or character in SAFE or unicodedata.category(character) == "Zs":
        return character
    code = ord(character)
    return NAMED.get(character) or (f"\\x{code:02x}" if code < 256 else f"\\u{code:04x}" if code < 65536 else f"\\U{code:08x}")


def cut(text: str) -> str:
    """A message in one line; what stands in quotes without end is shortened in its middle, and so is the whole where that does not do."""
    short = QUOTED.sub(lambda match: f"'{_middle(match[1], WORDS)}'", visible(text))
    return _middle(short, MESSAGE)


def _middle(text: str, most: int) -> str:
    """The text without its middle where it is longer than most; a third of what is kept is its end."""
    return text if len(text) <= most else f"{text[:most * 2 // 3]}{CUT}{text[len(text) - most // 3:]}"


def quoted_line(line: str, column: int, width: int) -> tuple[str, str]:
    """A line of the file, or what of it stands around a place, and the carets for the line below it.

    column : of the place, from 1 [characters]
    width  : of the place [characters]
    """
    start, end = 0, len(line)
    if end > LINE:
        start = max(0, min(column - 1 - BEFORE, end - LINE))
        end = min(end, start + LINE)
    first = column - 1
    before, under = line[start:first], line[first:min(first + width, end)]
    left, right = CUT if start else "", CUT if end < len(line) else ""
    pad = " " * len(left) + "".join("\t" if c == "\t" else " " * _cells(c) for c in before)
    shown = "".join(c if c.isprintable() or c == "\t" else "·" for c in line[start:end])
    return f"{left}{shown}{right}", pad + "^" * (sum(map(_cells, under)) or 1)


def _cells(character: str) -> int:
    """How many columns of a terminal a character takes."""
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
