# SPDX-License-Identifier: MIT
"""Lettering: how wide text is, where it breaks, how it is shortened."""
from __future__ import annotations

import re
from functools import lru_cache

from topology.dataclass import dataclass

from sld.font import text_width

__all__ = ["Block", "LETTERS", "LINE", "LONGEST", "MOST", "NAME", "NAME_LINE", "block", "few", "shorten", "wrap"]

LETTERS = 2.5  # capital height of all text in a drawing [mm], the least that is legible on paper
LINE = 4.0  # from one base line to the next [mm], 1.6 times the capital height
NAME = 3.5  # capital height of the names of boards [mm]
NAME_LINE = 5.6
LONGEST = 150.0  # of one line of a label [mm]: what A4 upright leaves between its frame and the room of the symbol
MOST = 8  # lines of one text; with two lines of data below it, all stand near enough to their symbol
NUMBER = re.compile(r"[\d.,/–-]*\d|×|x|=|≤|≥|TBC")
BINDERS = ("×", "x", "=", "–", "TBC,")


@dataclass(frozen=True, slots=True)
class Block:
    """Lines of text one below the other, with their width [mm]."""

    lines: tuple[str, ...]
    width: float
    height: float


@lru_cache(maxsize=65536)
def wrap(text: str, width: float, height: float = LETTERS, bold: bool = False) -> tuple[str, ...]:
    """Break text between words so that each line is at most width [mm] wide where a break allows it.

    As few lines as possible, and of these the narrowest, so that no word is left alone on the last one.
    """
    if text and text_width(text, height, bold) <= width:
        return (text,)
    words = [(word, text_width(word, height, bold)) for word in bound(text.split())]
    space = text_width(" ", height, bold)
    lines, widest = broken(words, space, width)
    while len(lines) > 1:
        narrower, least = broken(words, space, widest - 0.01)
        if len(narrower) > len(lines) or least >= widest:
            break
        lines, widest = narrower, least
    return tuple(lines)


def broken(words: list[tuple[str, float]], space: float, width: float) -> tuple[list[str], float]:
    """Fill one line after the other; the lines, and the width of the widest."""
    lines: list[str] = []
    used = widest = 0.0
    for word, length in words:
        if lines and used + space + length <= width:
            lines[-1] += f" {word}"
            used += space + length
        else:
            lines.append(word)
            used = length
        widest = max(widest, used)
    return lines, widest


def bound(words: list[str]) -> list[str]:
    """Words that may stand on lines of their own: a number stays with its unit, a last number with the word before it."""
    parts: list[str] = []
    for word in words:
        after_number = parts and NUMBER.fullmatch(parts[-1].rsplit(" ", 1)[-1])
        if after_number or (parts and (word in BINDERS or (word is words[-1] and NUMBER.fullmatch(word)))):
            parts[-1] += f" {word}"
        else:
            parts.append(word)
    return parts


@lru_cache(maxsize=65536)
def block(texts: tuple[str, ...], width: float, height: float = LETTERS, pitch: float = LINE, bold: bool = False) -> Block:
    """Wrap each text and stack all lines. A text without end is cut, so that no label asks for a sheet of its own: an ellipsis shows it."""
    lines = tuple(line for text in texts for line in few(wrap(text, width, height, bold), height, bold))
    return Block(lines, max((text_width(line, height, bold) for line in lines), default=0.0), pitch * len(lines))


def few(lines: tuple[str, ...], height: float, bold: bool) -> tuple[str, ...]:
    """Lines of one text as far as a drawing shows them: each no wider than LONGEST, no more than MOST."""
    if len(lines) > MOST:
        lines = (*lines[:MOST - 1], f"{lines[MOST - 1]} …")
    return tuple(shorten(line, LONGEST, height, bold) for line in lines)


def shorten(text: str, width: float, height: float, bold: bool = False) -> str:
    """Cut text to width [mm]; an ellipsis shows the cut, alone where nothing else fits."""
    if text_width(text, height, bold) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        fits = text_width(text[:middle].rstrip() + "…", height, bold) <= width
        low, high = (middle, high) if fits else (low, middle - 1)
    return text[:low].rstrip() + "…"
