# SPDX-License-Identifier: MIT
"""Names that are longer than a drawing has room for, and their places in a file."""
from __future__ import annotations

from collections.abc import Iterator

from .errors import Finding
from .faults import name_long
from .tree import Map, Node, Scalar, Tree

__all__ = ["WHOLE", "WORD", "long_names"]

WHOLE = 48  # characters of a name that any label of a drawing holds
WORD = 42  # of these without a space between them: as many of the widest letters as stand on one line


def long_names(tree: Tree) -> Iterator[Finding]:
    """A finding for each name that a drawing may have to cut."""
    stack: list[Node | None] = [tree.root]
    while stack:
        node = stack.pop()
        if isinstance(node, Map):
            yield from (name_long(value.mark, len(value.text)) for key, value in node.items if key.text == "name" and too_long(value))
            stack += reversed([value for _, value in node.items])
        elif node is not None and not isinstance(node, Scalar):
            stack += reversed(node.items)


def too_long(value: Node | None) -> bool:
    """Whether a value is a text that a label may not hold."""
    return isinstance(value, Scalar) and not value.faulty and (len(value.text) > WHOLE or any(len(word) > WORD for word in value.text.split()))
