# SPDX-License-Identifier: MIT
"""Characters that the lettering of drawings has, and the places in a file where it lacks one."""
from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import resources

from .errors import Finding
from .faults import missing_glyph
from .tree import Map, Node, Scalar, Tree

__all__ = ["letters", "without_glyph"]


@cache
def letters() -> frozenset[str]:
    """Every character that has a shape in the lettering; the table is compared with the font by a test."""
    rows = resources.files("topology").joinpath("lettering.csv").read_text(encoding="utf-8").splitlines()
    runs = [row.split(",") for row in rows if row and not row.startswith("#")][1:]
    return frozenset(chr(code) for first, last in runs for code in range(int(first, 16), int(last, 16) + 1))


def without_glyph(tree: Tree) -> Iterator[Finding]:
    """A finding for each value that has a character without a shape, at the first of them."""
    if all(line.isascii() for line in tree.lines):
        return
    for value in _values(tree.root):
        if not value.text.isascii() and not value.faulty:
            lacking = [(at, letter) for at, letter in enumerate(value.text) if letter not in letters() and not letter.isspace()]
            if lacking:
                yield missing_glyph(value.spot(lacking[0][0], 1), "".join(dict.fromkeys(letter for _, letter in lacking)))


def _values(node: Node | None) -> Iterator[Scalar]:
    """All values of a file, in its order; keys are names of ours, and ids are ASCII."""
    stack = [node]
    while stack:
        node = stack.pop()
        if isinstance(node, Scalar):
            yield node
        elif node is not None:
            stack += reversed([value for _, value in node.items] if isinstance(node, Map) else node.items)
