# SPDX-License-Identifier: MIT
"""The tree of text with marks that a site file is read into; nothing is typed in it."""
from __future__ import annotations

from typing import Any, TypeAlias

from .dataclass import dataclass
from .errors import Finding, Mark

__all__ = ["UNUSABLE", "Map", "Node", "Scalar", "Sequence", "Tree", "to_plain"]

UNUSABLE = frozenset({
    "no-file", "not-utf8", "control-character", "too-large", "too-deep", "too-many-values", "scalar-too-long", "tab-indent", "indentation",
    "colon-in-value", "open-quote", "open-bracket", "text-after-value", "line-without-colon", "backslash-in-quotes", "yaml-syntax"})
"""Rules of faults after which a file cannot be used at all. A `leading-sign` or a `bare-hash` may break YAML or not:
`Tree.complete` says which."""


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value, as text.

    text   : what the file says, without quotes; "" where it says nothing
    plain  : it stands without quotes
    faulty : a fault of this value is reported already, and the text may be a guess
    places : line and column of each character, where they do not simply follow each other; empty where the text stands elsewhere
    """

    text: str
    mark: Mark
    plain: bool = True
    faulty: bool = False
    places: tuple[tuple[int, int], ...] | None = None

    def spot(self, at: int, width: int) -> Mark:
        """The place of a piece of the text: `width` characters from the one with index `at`."""
        mark = self.mark
        if self.places is None:
            return Mark(mark.file, mark.line, mark.column + at + (not self.plain), width)
        if at >= len(self.places):
            return mark
        (line, column), (last_line, last) = self.places[at], self.places[min(at + width, len(self.places)) - 1]
        return Mark(mark.file, line, column, last - column + 1 if last_line == line else width)

    def tail(self, at: int) -> Scalar:
        """The text from an index on, as a value of its own."""
        text = self.text[at:]
        return Scalar(text, self.spot(at, max(1, len(text))), True, self.faulty, self.places and self.places[at:])


@dataclass(frozen=True, slots=True)
class Map:
    """Keys and values in their order; each key once."""

    items: list[tuple[Scalar, Node]]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Sequence:
    """Values in their order."""

    items: list[Node]
    mark: Mark


Node: TypeAlias = "Map | Sequence | Scalar"


@dataclass(frozen=True, slots=True)
class Tree:
    """What was read.

    root     : None where nothing could be read
    complete : False where the file is over a limit or no YAML; the tree then ends at that place
    findings : faults of the text, in file order
    lines    : the file line by line, for messages
    """

    root: Node | None
    complete: bool
    findings: list[Finding]
    lines: list[str]


def to_plain(node: Node | None) -> Any:
    """The tree as dicts, lists and text (None for an empty value), as a JSON Schema validator wants it."""
    if isinstance(node, Map):
        return {key.text: to_plain(value) for key, value in node.items}
    if isinstance(node, Sequence):
        return [to_plain(value) for value in node.items]
    return None if node is None or (node.plain and not node.text) else node.text
