# SPDX-License-Identifier: MIT
"""A mapping or list while it is being read, and the pairs of a mapping: what a comma in braces cut off goes back to its value."""
from __future__ import annotations

import re
from dataclasses import field, replace

from . import faults
from .dataclass import dataclass
from .errors import Finding, Mark
from .tree import Map, Node, Scalar
from .yaml_source import Source

__all__ = ["Frame", "Pairs"]


@dataclass(slots=True)
class Frame:
    """A mapping or list that is being read.

    index   : of its first character
    nodes   : the entries; in a mapping key, value, key, value
    orphans : where in `nodes` the keys stand that have neither colon nor value
    """

    is_map: bool
    flow: bool
    index: int
    mark: Mark
    nodes: list[Node] = field(default_factory=list)
    orphans: set[int] = field(default_factory=set)

    @property
    def wants_value(self) -> bool:
        """A key stands without its value yet."""
        return self.is_map and len(self.nodes) % 2 == 1

    @property
    def wants_key(self) -> bool:
        """The next node is a key."""
        return self.is_map and len(self.nodes) % 2 == 0


class Pairs:
    """Keys with their values: keys are unique text, and what a comma in braces cut off goes back to its value."""

    def __init__(self, source: Source, findings: list[Finding], frame: Frame) -> None:
        self.source, self.findings = source, findings
        self.pairs: list[tuple[Scalar, Node]] = []
        self.firsts: dict[str, Mark] = {}
        self.cut_off: list[Scalar] = []
        for at in range(0, len(frame.nodes), 2):
            key = frame.nodes[at]
            value = frame.nodes[at + 1] if at + 1 < len(frame.nodes) else Scalar("", key.mark, faulty=True)
            if not isinstance(key, Scalar):
                self.findings.append(faults.key_not_text(key.mark, "mapping" if isinstance(key, Map) else "list"))
            elif at in frame.orphans:
                self._orphan(key)
            else:
                self._mend()
                self._pair(key, value)
        self._mend()

    def _pair(self, key: Scalar, value: Node) -> None:
        if key.text == "<<" and key.plain:
            self.findings.append(faults.merge_key(key.mark))
        elif key.text in self.firsts:
            self.findings.append(faults.duplicate_key(key.mark, key.text, self.firsts[key.text]))
        else:
            self.firsts[key.text] = key.mark
            self.pairs.append((key, value))

    def _orphan(self, key: Scalar) -> None:
        """A key in braces without colon: cut off from the value before it, or a value of its own that is missing."""
        name, _, rest = key.text.partition(":")
        before = self.pairs[-1][1] if self.pairs else None
        if isinstance(before, Scalar) and before.plain and not (rest and re.fullmatch(r"[a-z_]+", name)):
            self.cut_off.append(key)
            return
        self._mend()
        self.findings.append(faults.key_without_value(key.mark, key.text))
        self._pair(replace(key, text=name), replace(key, text=rest, faulty=True))

    def _mend(self) -> None:
        """Give the last value back what commas cut off, and report the first of these commas."""
        if not self.cut_off:
            return
        key, value = self.pairs[-1]
        assert isinstance(value, Scalar)
        rest = ", ".join(scalar.text for scalar in self.cut_off)
        comma = self.source.text.rfind(",", 0, self.source.index(self.cut_off[0].mark))
        self.findings.append(faults.comma_in_braces(self.source.mark(comma), key.text, value.text, rest))
        self.pairs[-1] = (key, replace(value, text=f"{value.text}, {rest}", faulty=True))
        self.cut_off.clear()
