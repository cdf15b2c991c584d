# SPDX-License-Identifier: MIT
"""YAML text → a tree of text with marks. Nothing is typed here; every trap of YAML gets a finding of its own."""
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from . import faults
from .errors import Finding, Mark

__all__ = ["Map", "Node", "Scalar", "Sequence", "Tree", "read_tree", "to_plain"]

MAX_BYTES, MAX_DEPTH, MAX_VALUES, MAX_SCALAR = 4_000_000, 40, 400_000, 10_000
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
HASH = re.compile(r"[ \t]+(#[^\s#].*)")
SIGNS = "@*&`%|>!?"
VALUE = re.compile(r"(?:^|[:,{\[-])[ \t]+(?=\S)|^(?=\S)")


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value, as text. plain: it stands without quotes."""

    text: str
    mark: Mark
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Map:
    """Keys and values in their order."""

    items: list[tuple[Scalar, Any]]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Sequence:
    """Values in their order."""

    items: list[Any]
    mark: Mark


Node = Map | Sequence | Scalar


@dataclass(frozen=True, slots=True)
class Tree:
    """What was read. complete: False where the file is not usable or YAML broke; then the tree ends at that place."""

    root: Node | None
    complete: bool
    findings: list[Finding]
    lines: list[str]


def read_tree(data: bytes, file: str) -> Tree:
    """Read the bytes of a file. Never raises: every fault is a finding."""
    if len(data) > MAX_BYTES:
        return Tree(None, False, [faults.too_large(Mark(file, 1, 1), "the file", "4 MB")], [])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return Tree(None, False, [_bad_byte(data, error.start, file)], [])
    lines = re.split("\r\n|\n|\r", text)
    findings = [faults.control_character(Mark(file, n, m.start() + 1), ord(m[0]))
                for n, line in enumerate(lines, 1) for m in CONTROL.finditer(line)][:50]
    reader = _Reader(file, lines, findings)
    return reader.read(CONTROL.sub(" ", text))


def to_plain(node: Node | None) -> Any:
    """The tree as dicts, lists and text."""
    if isinstance(node, Map):
        return {key.text: to_plain(value) for key, value in node.items}
    if isinstance(node, Sequence):
        return [to_plain(value) for value in node.items]
    return None if node is None or (node.plain and not node.text) else node.text


def _bad_byte(data: bytes, at: int, file: str) -> Finding:
    before = data[:at].decode("utf-8", "replace")
    line = before.count("\n") + 1
    return faults.not_utf8(Mark(file, line, len(before) - (before.rfind("\n") + 1) + 1), data[at])


@dataclass(slots=True)
class _Frame:
    """A mapping or list that is being read; key: of the value to come; keys: where each key was seen first."""

    node: Map | Sequence
    flow: bool
    key: Scalar | None = None
    keys: dict[str, Mark] = field(default_factory=dict)


class _Stop(Exception):
    """The rest of the file is not read."""


class _Reader:
    """One loop over the events of the parser."""

    def __init__(self, file: str, lines: list[str], findings: list[Finding]) -> None:
        self.file, self.lines, self.findings = file, lines, findings
        self.frames: list[_Frame] = []
        self.root: Node | None = None
        self.anchors: dict[str, Scalar] = {}
        self.values = self.documents = 0

    def read(self, text: str) -> Tree:
        complete = True
        try:
            for event in self._events(text):
                self._take(event)
        except yaml.YAMLError as error:
            complete = False
            self.findings.append(self._syntax(error))
        except _Stop:
            complete = False
        return Tree(self.root, complete, self.findings, self.lines)

    def _events(self, text: str) -> Iterator[Any]:
        return yaml.parse(text, Loader=LOADER)

    def _take(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._open(event)
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            self.frames.pop()
        elif isinstance(event, yaml.AliasEvent):
            self._alias(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.findings.append(faults.alias_misuse(self._mark(event), "---", "a site file is one document"))
                raise _Stop

    def _mark(self, event: Any, width: int = 0) -> Mark:
        start, end = event.start_mark, event.end_mark
        wide = width or (end.column - start.column if end.line == start.line else len(self._line(start.line)) - start.column)
        return Mark(self.file, start.line + 1, start.column + 1, max(1, wide))

    def _line(self, number: int) -> str:
        return self.lines[number] if number < len(self.lines) else ""

    # ---- events ----

    def _open(self, event: Any) -> None:
        mark = self._mark(event, 1)
        if event.anchor:
            self.findings.append(faults.alias_misuse(mark, f"&{event.anchor}", "an anchor can stand on one value only"))
        if event.tag:
            self.findings.append(faults.leading_sign(mark, "!", event.tag))
        if len(self.frames) >= MAX_DEPTH:
            self.findings.append(faults.too_deep(mark, MAX_DEPTH))
            raise _Stop
        node = Map([], mark) if isinstance(event, yaml.MappingStartEvent) else Sequence([], mark)
        self._put(node)
        self.frames.append(_Frame(node, bool(event.flow_style)))

    def _scalar(self, event: Any) -> None:
        text, mark, plain = event.value, self._mark(event), event.style is None or event.style == ""
        if len(text) > MAX_SCALAR:
            self.findings.append(faults.too_large(mark, "this value", f"{MAX_SCALAR} characters"))
            raise _Stop
        if event.style in ("|", ">"):
            self.findings.append(faults.leading_sign(Mark(mark.file, mark.line, mark.column, 1), event.style, f"{event.style} …"))
        if event.tag:
            self.findings.append(faults.leading_sign(mark, "!", self._line(mark.line - 1)[mark.column - 1:].strip()))
        if plain:
            self._hash(event, text)
        scalar = Scalar(text, mark, plain)
        if event.anchor:
            self.anchors[event.anchor] = scalar
        self._put(scalar)

    def _hash(self, event: Any, text: str) -> None:
        rest = self._line(event.end_mark.line)[event.end_mark.column:]
        found = HASH.match(rest) if not self._is_key() else None
        if found:
            mark = Mark(self.file, event.end_mark.line + 1, event.end_mark.column + found.start(1) + 1, len(found[1].rstrip()))
            self.findings.append(faults.bare_hash(mark, text, found[1].rstrip()))

    def _is_key(self) -> bool:
        frame = self.frames[-1] if self.frames else None
        return frame is not None and isinstance(frame.node, Map) and frame.key is None

    def _alias(self, event: Any) -> None:
        mark = self._mark(event)
        known = self.anchors.get(event.anchor)
        if known is None:
            self.findings.append(faults.leading_sign(mark, "*", self._line(mark.line - 1)[mark.column - 1:].strip(" ,]}")))
        self._put(Scalar(known.text if known else "", mark, known.plain if known else False))

    def _put(self, node: Node) -> None:
        self.values += 1
        if self.values > MAX_VALUES:
            self.findings.append(faults.too_large(node.mark, "the file", f"{MAX_VALUES} values"))
            raise _Stop
        if not self.frames:
            self.root = node
            return
        frame = self.frames[-1]
        if isinstance(frame.node, Sequence):
            frame.node.items.append(node)
        elif frame.key is None:
            self._key(frame, node)
        else:
            self._pair(frame, frame.key, node)

    def _key(self, frame: _Frame, node: Node) -> None:
        if not isinstance(node, Scalar):
            self.findings.append(faults.yaml_syntax(node.mark, "a key must be one word or text", "did you forget a quote or a comma before this?"))
            raise _Stop
        frame.key = node

    def _pair(self, frame: _Frame, key: Scalar, node: Node) -> None:
        frame.key = None
        if frame.flow and isinstance(node, Scalar) and node.plain and not node.text and not self._has_colon(key):
            before = frame.node.items[-1][1] if frame.node.items else None
            if isinstance(before, Scalar) and before.plain:
                self.findings.append(faults.comma_in_braces(key.mark, key.text, before.text))
                return
        if key.text == "<<" and key.plain:
            self.findings.append(faults.alias_misuse(key.mark, "<<", "a merge of mappings is not used here"))
        elif key.text in frame.keys:
            self.findings.append(faults.duplicate_key(key.mark, key.text, frame.keys[key.text]))
        else:
            frame.keys[key.text] = key.mark
            frame.node.items.append((key, node))

    def _has_colon(self, key: Scalar) -> bool:
        return self._line(key.mark.line - 1)[key.mark.column - 1 + key.mark.width:].lstrip().startswith(":")

    # ---- syntax errors ----

    def _syntax(self, error: Any) -> Finding:
        where = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        problem = str(getattr(error, "problem", "") or "this is not YAML")
        if where is None:
            return faults.yaml_syntax(Mark(self.file, 1, 1), "this is not YAML", "check the file in your editor")
        line, column = min(where.line, max(0, len(self.lines) - 1)), where.column
        text, mark = self._line(line), Mark(self.file, line + 1, column + 1)
        if "\t" in text[:len(text) - len(text.lstrip())]:
            return faults.tab_indent(Mark(self.file, line + 1, text.index("\t") + 1))
        sign = self._sign(line) or self._sign(getattr(getattr(error, "context_mark", None), "line", line))
        if sign is not None:
            return sign
        if "mapping values are not allowed" in problem:
            return faults.colon_in_value(mark, re.sub(r"^[\s-]*[^:]*: +", "", text).strip())
        return faults.yaml_syntax(mark, *_plain_words(problem, getattr(error, "context", "") or ""))

    def _sign(self, line: int) -> Finding | None:
        """A value on the line that begins with a sign that YAML keeps for itself."""
        text = self._line(line)
        for found in VALUE.finditer(text):
            at = found.end()
            if text[at] in SIGNS:
                return faults.leading_sign(Mark(self.file, line + 1, at + 1), text[at], re.split(r"[,}\]]", text[at:])[0].strip())
        return None


def _plain_words(problem: str, context: str) -> tuple[str, str]:
    """libyaml's words in ours: what is wrong, and what to do."""
    if "',' or '}'" in problem or "flow mapping" in context:
        return "a '{' is not closed, or a comma is missing before this", "close it with '}', or put a comma between the entries"
    if "',' or ']'" in problem or "flow sequence" in context:
        return "a '[' is not closed, or a comma is missing before this", "close it with ']', or put a comma between the entries"
    if "end of stream" in problem or "quoted scalar" in context:
        return "a quote is not closed before this", "close the text with the same quote"
    if "could not find expected ':'" in problem:
        return "a key lacks its ':'", "write 'key: value'"
    if "block" in problem or "block" in context or "indent" in problem:
        return "the indentation does not fit what stands above", "keys of one object begin in the same column"
    return f"this is not YAML: {problem}", "check quotes, brackets and indentation here"
