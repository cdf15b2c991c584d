# SPDX-License-Identifier: MIT
"""YAML text → a tree of text with marks. Nothing is typed here; every trap of YAML gets a finding of its own.

The parser's events are taken one by one, so that the limits hold before anything large is built. The first syntax error
ends the reading; every other fault is collected, and where the meaning is plain the value is mended, so that one slip
is reported once.
"""
from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import islice
from typing import Any

import yaml

from . import faults
from .collector import no_collection
from .errors import Finding, Mark, Unusable
from .tree import Map, Node, Scalar, Sequence, Tree
from .yaml_broken import Broken
from .yaml_hashes import Hashes
from .yaml_pairs import Frame, Pairs
from .yaml_source import LINE_END, MAX_BYTES, MAX_DEPTH, MAX_SCALAR, MAX_VALUES, Source, decode

__all__ = ["EventReader", "read_tree"]

MAX_CONTROLS = 20
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What YAML or XML refuse, further line separators (they would shift our line numbers) and signs that turn the direction of writing.
CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
DASH_LINE = re.compile(r"[\r\n][ \t]*(-)[ \t]")
PIECE = re.compile(r"\\x..|\\u.{4}|\\U.{8}|\\(?:\r\n|\r|\n)[ \t]*|\\.|''|[ \t]*(?:\r\n|\r|\n)[ \t\r\n]*|.", re.S)


def read_tree(data: bytes, file: str) -> Tree:
    """Read the bytes of a file; `file` is its name in marks. Never raises: every fault is a finding."""
    try:
        source = Source(file, decode(data, file))
    except Unusable as error:
        return Tree(None, False, [error.finding], LINE_END.split(data[:MAX_BYTES].decode("utf-8", "replace")))
    findings = [faults.control_character(source.mark(m.start()), ord(m[0])) for m in islice(CONTROL.finditer(source.text), MAX_CONTROLS)]
    clean = not findings
    if not clean:
        source.text = CONTROL.sub("\ufffd", source.text)
    reader = EventReader(source, findings)
    with no_collection():
        complete = reader.read() and clean
    return Tree(reader.root, complete, sorted(findings, key=lambda f: (f.mark, f.rule)), source.lines)


class _Stop(Exception):
    """The rest of the file is not read."""


class EventReader:
    """One loop over the events of the parser.

    last  : the latest scalar with the indices where it begins and ends
    ended : index where the latest event ended
    """

    def __init__(self, source: Source, findings: list[Finding]) -> None:
        self.source, self.findings = source, findings
        self.frames: list[Frame] = []
        self.root: Node | None = None
        self.anchors: dict[str, Scalar | Frame] = {}
        self.values = self.documents = self.ended = 0
        self.last: tuple[Scalar, int, int] | None = None
        self.hashes = Hashes(source)
        self.take: dict[type, Callable[[Any], None]] = {
            yaml.ScalarEvent: self._scalar, yaml.AliasEvent: self._alias, yaml.DocumentStartEvent: self._document,
            yaml.MappingStartEvent: self._open, yaml.SequenceStartEvent: self._open,
            yaml.MappingEndEvent: self._close, yaml.SequenceEndEvent: self._close}

    def read(self) -> bool:
        """Read to the end; False where the file is not YAML or over a limit."""
        complete = False
        try:
            self._read_events()
            complete = True
        except _Stop:
            complete = True
        except Unusable as error:
            self.findings.append(error.finding)
        except yaml.YAMLError as error:
            self.findings += Broken(self, error).explain()
        while self.frames:
            self._close(None)
        self.findings += self.hashes.after_commas()
        return complete

    def _read_events(self) -> None:
        for event in yaml.parse(self.source.text, Loader=LOADER):
            handler = self.take.get(type(event))
            if handler is not None:
                handler(event)
                self.ended = event.end_mark.index

    @property
    def key(self) -> str:
        """The key whose value is being read, or ""."""
        frame = self.frames[-1] if self.frames else None
        key = frame.nodes[-1] if frame and frame.wants_value else None
        return key.text if isinstance(key, Scalar) else ""

    @property
    def key_before(self) -> str:
        """The key of the latest complete pair, or ""."""
        frame = self.frames[-1] if self.frames else None
        key = frame.nodes[-2] if frame and frame.wants_key and frame.nodes else None
        return key.text if isinstance(key, Scalar) else ""

    @property
    def flow(self) -> bool:
        """Whether reading stands inside brackets."""
        return bool(self.frames) and self.frames[-1].flow

    # ---- events ----

    def _document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            self.findings.append(faults.several_documents(self.source.mark(event.start_mark.index, 3)))
            raise _Stop

    def _open(self, event: Any) -> None:
        start = event.start_mark
        mark = Mark(self.source.file, start.line + 1, start.column + 1)
        if len(self.frames) >= MAX_DEPTH:
            raise Unusable(faults.too_deep(mark, MAX_DEPTH))
        self._count(mark)
        frame = Frame(isinstance(event, yaml.MappingStartEvent), bool(event.flow_style), start.index, mark)
        if event.tag is not None:
            self.findings.append(faults.tag_not_allowed(mark, self.source.rest(start.index).partition(" ")[0]))
        if event.anchor is not None:
            self.anchors[event.anchor] = frame
        self.frames.append(frame)

    def _close(self, _: Any) -> None:
        frame = self.frames.pop()
        self._put(Map(Pairs(self.source, self.findings, frame).pairs, frame.mark) if frame.is_map else Sequence(frame.nodes, frame.mark))

    def _put(self, node: Node) -> None:
        if self.frames:
            self.frames[-1].nodes.append(node)
        else:
            self.root = node

    def _count(self, mark: Mark) -> None:
        self.values += 1
        if self.values > MAX_VALUES:
            raise Unusable(faults.too_many_values(mark, MAX_VALUES))

    def _scalar(self, event: Any) -> None:
        start, end = event.start_mark, event.end_mark
        width = end.column - start.column if end.line == start.line else len(self.source.lines[start.line]) - start.column
        scalar = Scalar(event.value, Mark(self.source.file, start.line + 1, start.column + 1, max(1, width)), not event.style)
        if len(scalar.text) > MAX_SCALAR:
            raise Unusable(faults.scalar_too_long(scalar.mark, len(scalar.text), MAX_SCALAR))
        self._count(scalar.mark)
        if event.anchor is not None or event.tag is not None or event.style in ("|", ">"):
            scalar = self._decorated(scalar, event)
        if self.hashes:
            scalar = self._hash(scalar, event)
        if not event.value and not event.style:
            scalar = self._empty(scalar, event)
        if end.line != start.line and scalar.plain:
            scalar = self._list_inside(scalar, start.index, end.index)
        if (event.style or end.line != start.line) and not scalar.faulty:
            scalar = self._placed(scalar, end.index)
        self.last = (scalar, start.index, end.index)
        self._put(scalar)

    def _placed(self, scalar: Scalar, end: int) -> Scalar:
        """A value in quotes or over several lines, with the place of each character where escapes or line ends shift them."""
        start = self.source.index(scalar.mark)
        raw = self.source.text[start:end]
        quote = "" if scalar.plain else raw[:1]
        if raw[len(quote):len(raw) - len(quote)] == scalar.text:
            return scalar
        at = _indices(raw.rstrip(), quote)
        marks = (self.source.mark(start + index) for index in at)
        return replace(scalar, places=tuple((m.line, m.column) for m in marks) if len(at) == len(scalar.text) else ())

    def _decorated(self, scalar: Scalar, event: Any) -> Scalar:
        """A value with an anchor, a tag or the sign of a block text."""
        start = event.start_mark.index
        raw = self.source.text[start:event.end_mark.index].strip()
        if event.style in ("|", ">"):
            sign = self.source.mark(self.source.text.find(event.style, start))
            self.findings.append(faults.leading_sign(sign, self.key, f"{event.style} {event.value}"))
            return replace(scalar, text=event.value.strip(), faulty=True)
        if event.tag is not None and raw.startswith(("!!", "!<")):
            tag = raw.split(None, 1)[0]
            self.findings.append(faults.tag_not_allowed(replace(scalar.mark, width=len(tag)), tag))
            return replace(scalar, faulty=True)
        if event.tag is not None or not event.value and not event.style:
            self.findings.append(faults.leading_sign(scalar.mark, self.key, raw))
            return replace(scalar, text=raw, faulty=True)
        return self._anchored(scalar, event, raw)

    def _anchored(self, scalar: Scalar, event: Any, raw: str) -> Scalar:
        """A value with a name, `&run 16 A`: the mark is that of the value."""
        skip = re.match(r"&\S+\s+", raw)
        index = event.start_mark.index + (skip.end() if skip else 0)
        width = min(event.end_mark.index - index, len(self.source.lines[self.source.mark(index).line - 1]))
        scalar = replace(scalar, mark=self.source.mark(index, width))
        self.anchors[event.anchor] = scalar
        return scalar

    def _hash(self, scalar: Scalar, event: Any) -> Scalar:
        """The value of a line with a `#` that follows a space and has none behind it: mostly part of the value."""
        if not scalar.plain:
            self.hashes.skip(event.start_mark.index, event.end_mark.index)
            return scalar
        index = self.hashes.behind(event.end_mark.index)
        if index is None or self.frames and self.frames[-1].wants_key:
            return scalar
        self.findings.append(self.hashes.cut(index, self.key, self.flow, scalar.text))
        return replace(scalar, text=scalar.text or self.source.rest(index, self.flow), faulty=True)

    def _list_inside(self, scalar: Scalar, start: int, end: int) -> Scalar:
        """A value over several lines, where a further line looks like an entry of a list."""
        dash = DASH_LINE.search(self.source.text, start, end)
        if dash is None:
            return scalar
        text = self.source.rest(dash.start(1))
        self.findings.append(faults.list_in_value(self.source.mark(dash.start(1), len(text)), text, self.source.rest(start)))
        return replace(scalar, faulty=True)

    def _empty(self, scalar: Scalar, event: Any) -> Scalar:
        """An empty value: remember a key in braces that has not even a colon; a key with '?' is a trap of its own."""
        frame = self.frames[-1] if self.frames else None
        if frame is None or not frame.wants_value:
            return scalar
        key = frame.nodes[-1]
        if frame.flow and event.start_mark.index == self.ended:
            frame.orphans.add(len(frame.nodes) - 1)
        elif not frame.flow and isinstance(key, Scalar) and key.plain:
            return self._question(scalar, key)
        return scalar

    def _question(self, scalar: Scalar, key: Scalar) -> Scalar:
        """`- ?` in a block list makes a key of what follows."""
        at = self.source.text.rfind("?", 0, self.source.index(key.mark) + 1)
        if at < 0 or self.source.text[at + 1:self.source.index(key.mark)].strip(" "):
            return scalar
        self.findings.append(faults.leading_sign(self.source.mark(at), "", f"? {key.text}".strip()))
        return replace(scalar, faulty=True)

    def _alias(self, event: Any) -> None:
        start = event.start_mark.index
        mark = self.source.mark(start, event.end_mark.index - start)
        self._count(mark)
        known = self.anchors.get(event.anchor)
        if isinstance(known, Scalar):
            self._put(replace(known, mark=mark, places=()))
            return
        text = self.source.rest(start, self.flow)
        if known is None and self.key != "<<":
            self.findings.append(faults.leading_sign(mark, self.key, text))
        elif known is not None and self.key != "<<":
            self.findings.append(faults.alias_misuse(mark, event.anchor, known.mark, "mapping" if known.is_map else "list"))
        self._put(Scalar(text, mark, faulty=True))


def _indices(raw: str, quote: str) -> list[int]:
    """For each character of a value, the index in its source where it stands; quote: the sign that it stands in, or ""."""
    found: list[int] = []
    for piece in PIECE.finditer(raw, len(quote), len(raw) - len(quote)):
        text, ends = piece[0], len(LINE_END.findall(piece[0]))
        if text[0] == "\\" and quote == '"':
            found += [] if ends else [piece.start()]
        elif ends and text[0] != "\\":
            found += [piece.start()] * max(1, ends - 1)
        else:
            found += range(piece.start(), piece.end() - (text == "''" and quote == "'"))
    return found
