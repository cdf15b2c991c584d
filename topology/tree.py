# SPDX-License-Identifier: MIT
"""YAML text → a tree of text with marks. Nothing is typed here; every trap of YAML gets a finding of its own.

The parser's events are taken one by one, so that the limits hold before anything large is built. The first syntax error
ends the reading; every other fault is collected, and where the meaning is plain the value is mended, so that one slip
is reported once.
"""
from __future__ import annotations

import gc
import re
from bisect import bisect_right
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import Any, TypeAlias

import yaml

from . import faults
from .errors import Finding, Mark, Unusable

__all__ = ["MAX_BYTES", "UNUSABLE", "Map", "Node", "Scalar", "Sequence", "Tree", "read_tree", "to_plain"]

MAX_BYTES, MAX_DEPTH, MAX_VALUES, MAX_SCALAR = 4_000_000, 40, 400_000, 10_000
MAX_CONTROLS = 20
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What YAML or XML refuse, further line separators (they would shift our line numbers) and signs that turn the direction of writing.
CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
LINE_END = re.compile("\r\n|\n|\r")
TIGHT_HASH = re.compile(r"[ \t](#)(?=[^\s#=*~!-])")
SWALLOWED = re.compile(r"[ \t]+(#)(?=[^\s#=*~!-])")
COMMENT = re.compile(r"(?:^|[ \t]+)#(?=\s|$).*")
DASH_LINE = re.compile(r"[\r\n][ \t]*(-)[ \t]")
PIECE = re.compile(r"\\x..|\\u.{4}|\\U.{8}|\\(?:\r\n|\r|\n)[ \t]*|\\.|''|[ \t]*(?:\r\n|\r|\n)[ \t\r\n]*|.", re.S)
ONE_KEY = re.compile(r"[ \t]*(?:- +)*([^\s:#'\"\[{][^:#]*?|\"[^\"]*\"|'[^']*')[ \t]*:[ \t]+(.*)")

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


def read_tree(data: bytes, file: str) -> Tree:
    """Read the bytes of a file; `file` is its name in marks. Never raises: every fault is a finding."""
    try:
        source = _Source(file, _decode(data, file))
    except Unusable as error:
        return Tree(None, False, [error.finding], LINE_END.split(data[:MAX_BYTES].decode("utf-8", "replace")))
    findings = [faults.control_character(source.mark(m.start()), ord(m[0])) for m in islice(CONTROL.finditer(source.text), MAX_CONTROLS)]
    clean = not findings
    if not clean:
        source.text = CONTROL.sub("\ufffd", source.text)
    reader = _Reader(source, findings)
    with _no_collector():
        complete = reader.read() and clean
    return Tree(reader.root, complete, sorted(findings, key=lambda f: (f.mark, f.rule)), source.lines)


def to_plain(node: Node | None) -> Any:
    """The tree as dicts, lists and text (None for an empty value), as a JSON Schema validator wants it."""
    if isinstance(node, Map):
        return {key.text: to_plain(value) for key, value in node.items}
    if isinstance(node, Sequence):
        return [to_plain(value) for value in node.items]
    return None if node is None or (node.plain and not node.text) else node.text


@contextmanager
def _no_collector() -> Iterator[None]:
    """Switch the garbage collector off: many small objects that all stay would make reading grow faster than the file."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _decode(data: bytes, file: str) -> str:
    """The text of the file. libyaml finds the same faults, but cannot say where."""
    if len(data) > MAX_BYTES:
        raise Unusable(faults.too_large(Mark(file, 1, 1), MAX_BYTES))
    body = data.removeprefix(b"\xef\xbb\xbf")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        before = _Source(file, body[:error.start].decode("utf-8"))
        byte = body[error.start]
        letter = bytes([byte]).decode("cp1252", "replace") if data[:2] not in (b"\xff\xfe", b"\xfe\xff") else ""
        raise Unusable(faults.not_utf8(before.mark(len(before.text)), byte, letter.strip("\ufffd"))) from None


class _Source:
    """The text with its lines: an index into the text to a place in the file, and what stands around it."""

    def __init__(self, file: str, text: str) -> None:
        self.file, self.text = file, text
        self.lines = LINE_END.split(text)
        self.starts = [0, *(m.end() for m in LINE_END.finditer(text))]

    def mark(self, index: int, width: int = 1) -> Mark:
        """The place of a character."""
        line = bisect_right(self.starts, index) - 1
        return Mark(self.file, line + 1, index - self.starts[line] + 1, max(1, width))

    def index(self, mark: Mark) -> int:
        """The character of a place."""
        return self.starts[mark.line - 1] + mark.column - 1

    def line_start(self, index: int) -> int:
        """The first character of a character's line."""
        return self.starts[bisect_right(self.starts, index) - 1]

    def before(self, index: int) -> str:
        """What stands on the line before a character."""
        return self.text[self.line_start(index):index]

    def rest(self, index: int, flow: bool = False) -> str:
        """The value that begins at a character: to the end of its line, or inside brackets to the next comma or bracket."""
        end = LINE_END.search(self.text, index)
        line = COMMENT.sub("", self.text[index:end.start() if end else len(self.text)])
        return (re.split(r"[,\]}]", line, maxsplit=1)[0] if flow else line).strip()


@dataclass(slots=True)
class _Frame:
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


class _Stop(Exception):
    """The rest of the file is not read."""


class _Reader:
    """One loop over the events of the parser.

    last  : the latest scalar with the indices where it begins and ends
    ended : index where the latest event ended
    """

    def __init__(self, source: _Source, findings: list[Finding]) -> None:
        self.source, self.findings = source, findings
        self.frames: list[_Frame] = []
        self.root: Node | None = None
        self.anchors: dict[str, Scalar | _Frame] = {}
        self.values = self.documents = self.ended = 0
        self.last: tuple[Scalar, int, int] | None = None
        self.hashes = _Hashes(source)
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
            self.findings += _Broken(self, error).explain()
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
        frame = _Frame(isinstance(event, yaml.MappingStartEvent), bool(event.flow_style), start.index, mark)
        if event.tag is not None:
            self.findings.append(faults.tag_not_allowed(mark, self.source.rest(start.index).partition(" ")[0]))
        if event.anchor is not None:
            self.anchors[event.anchor] = frame
        self.frames.append(frame)

    def _close(self, _: Any) -> None:
        frame = self.frames.pop()
        self._put(Map(_Pairs(self, frame).pairs, frame.mark) if frame.is_map else Sequence(frame.nodes, frame.mark))

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


class _Hashes:
    """Hash signs that follow a space and have none behind them: each begins a comment, and was mostly not meant to.

    There are hardly any in a real file, and where there are none nothing of this costs time.
    """

    def __init__(self, source: _Source) -> None:
        self.source = source
        self.all = [m.start(1) for m in TIGHT_HASH.finditer(source.text)]
        self.quotes: list[tuple[int, int]] = []
        self.reported: set[int] = set()

    def __bool__(self) -> bool:
        return bool(self.all)

    def skip(self, start: int, end: int) -> None:
        """Between quotes a hash sign is a plain letter."""
        self.quotes.append((start, end))

    def _in_quotes(self, index: int) -> bool:
        at = bisect_right(self.quotes, (index, index))
        return at > 0 and self.quotes[at - 1][1] > index

    def behind(self, index: int) -> int | None:
        """The hash sign that cuts off a value which ends at an index."""
        found = SWALLOWED.match(self.source.text, index)
        return found.start(1) if found else None

    def between(self, start: int, end: int) -> int | None:
        """The first one that is not in quotes, in a stretch of the text."""
        return next((at for at in self.all if start < at <= end and not self._in_quotes(at)), None)

    def cut(self, index: int, key: str = "", flow: bool = True, kept: str | None = None) -> Finding:
        """The finding about one; kept: what is left of the value, read from the line where the parser did not say it."""
        self.reported.add(index)
        if kept is None:
            before = self.source.before(index)
            named = re.search(r"([\w-]+):[ \t]+[^,\[{]*$", before)
            kept, key = re.split(r"[,\[{]|:[ \t]", before)[-1].strip(), named[1] if named else ""
        return faults.bare_hash(self.source.mark(index), key, kept, f"{kept} {self.source.rest(index, flow)}".strip())

    def after_commas(self) -> list[Finding]:
        """Findings about those that swallow an entry in brackets, where YAML sees only a comment behind a comma."""
        found = []
        for index in self.all:
            before = self.source.before(index).rstrip()
            in_comment = re.search(r"(?:^|\s)#", before) is not None
            if before[-1:] in ("[", "{", ",") and not in_comment and index not in self.reported and not self._in_quotes(index):
                found.append(self.cut(index))
        return found


class _Pairs:
    """Keys with their values: keys are unique text, and what a comma in braces cut off goes back to its value."""

    def __init__(self, reader: _Reader, frame: _Frame) -> None:
        self.source, self.findings = reader.source, reader.findings
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


class _Broken:
    """YAML's syntax error in plain words: what the user most likely typed, from the place where the parser gave up.

    problem : what libyaml (or the parser in Python, whose words differ) says
    doing   : what it was reading
    at      : index of the problem
    context : index where the thing that could not be read began, or None
    """

    def __init__(self, reader: _Reader, error: yaml.YAMLError) -> None:
        self.reader, self.source, self.text = reader, reader.source, reader.source.text
        self.problem = str(getattr(error, "problem", "") or "")
        self.doing = str(getattr(error, "context", "") or "")
        problem, context = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
        self.context: int | None = context.index if context else None
        self.at: int = min(problem.index if problem else self.context or 0, len(self.text))
        self.char = self.text[self.at:self.at + 1]

    def explain(self) -> list[Finding]:
        """The finding of the first trap that fits; none where the break only follows from a trap that is reported already."""
        if self._known():
            return []
        traps = (self._tab, self._hash, self._sign, self._quote, self._colon, self._bracket, self._after, self._no_colon, self._indent)
        return [next((finding for trap in traps if (finding := trap()) is not None), None) or self._other()]

    def _known(self) -> bool:
        line = self.source.mark(self.at).line
        swallowed = self._swallowed()
        signs = any(f.rule == "leading-sign" and f.mark.line == line for f in self.reader.findings[-3:])
        return signs or swallowed is not None and swallowed in self.reader.hashes.reported

    def _swallowed(self) -> int | None:
        """The first hash sign behind the bracket that is open: its comment may have swallowed the bracket that closes."""
        outer = next((frame.index for frame in self.reader.frames if frame.flow), None)
        return self.reader.hashes.between(outer, self.at) if outer is not None else None

    def _says(self, *words: str) -> bool:
        return any(word in self.problem for word in words)

    def _same_line(self, index: int) -> bool:
        return self.source.line_start(index) == self.source.line_start(self.at)

    def _tab(self) -> Finding | None:
        start = self.source.line_start(self.at)
        line = self.text[start:start + 1000]
        tab = line[:len(line) - len(line.lstrip(" \t-"))].find("\t")
        return faults.tab_indent(self.source.mark(start + tab)) if tab >= 0 and not self.reader.flow else None

    def _hash(self) -> Finding | None:
        """A comment that swallowed a closing bracket or a comma."""
        index = self._swallowed()
        return self.reader.hashes.cut(index) if index is not None else None

    def _sign(self) -> Finding | None:
        scanned = any(thing in self.doing for thing in ("an alias", "an anchor", "a tag", "a block scalar", "a directive"))
        here = self._says("cannot start any token") and self.char in tuple("@`%>|")
        misplaced = self._says("mapping keys are not", "sequence entries are not")
        lost = self._says("node content") and self.char in tuple("?-|>@`%")
        index = self.context if scanned else self.at if here or misplaced or lost else None
        if index is None:
            return None
        text = self.source.rest(index, self.reader.flow)
        text = re.split(":(?=[ \t]|$)", text)[0] if not self.reader.frames or self.reader.frames[-1].wants_key else text
        return faults.leading_sign(self.source.mark(index, len(text)), self.reader.key, text)

    def _quote(self) -> Finding | None:
        if self._says("escape character", "decimal number"):
            at = max(0, self.text.rfind("\\", 0, self.at + 1))
            return faults.backslash_in_quotes(self.source.mark(at, 2), self.text[at:at + 2])
        if self.context is not None and "quoted scalar" in self.doing:
            return faults.open_quote(self.source.mark(self.context), self.text[self.context:self.context + 1])
        return None

    def _colon(self) -> Finding | None:
        """A colon where no key can be: inside a value, after a line without colon, or on a line that is indented too far."""
        if not self._says("mapping values are not"):
            return None
        before = self.source.before(self.at)
        found = ONE_KEY.fullmatch(before)
        if found:
            return faults.colon_in_value(self.source.mark(self.at), found[1], f"{found[2]}{self.source.rest(self.at)}")
        start = self.at - len(before.lstrip())
        last = self.reader.last
        above = self.reader.key_before
        if above and last is not None and not self._same_line(last[1]):
            reason = f"is indented further than '{faults.clip(above)}' above, which has a value already"
            return faults.indentation(self.source.mark(start, self.at - start), before.strip(), reason)
        index = last[1] if last is not None and last[2] >= start else start
        return faults.line_without_colon(self.source.mark(index, len(self.source.rest(index))), self.source.rest(index))

    def _bracket(self) -> Finding | None:
        if not self._says("',' or") or self.context is None:
            return None
        last = self.reader.last
        if self.char == ":" and last is not None and self._same_line(last[1]):
            value = f"{last[0].text}{self.source.rest(self.at, True)}"
            return faults.colon_in_value(self.source.mark(self.at), self.reader.key_before, value)
        after = self._after_quote()
        if after is not None:
            return after
        one_char = self.char in ("]", "}") or self._same_line(self.context)
        found = self.char if one_char else self.source.lines[self.source.mark(self.at).line - 1].strip()
        return faults.open_bracket(self.source.mark(self.context), self.text[self.context], self.source.mark(self.at), found)

    def _after_quote(self) -> Finding | None:
        """Text behind a closing quote; where the quote began on another line, that one was never meant to reach here."""
        last = self.reader.last
        if last is None or last[0].plain or self.text[last[2]:self.at].strip(" \t") or "\n" in self.text[last[2]:self.at]:
            return None
        if not self._same_line(last[1]):
            return faults.open_quote(self.source.mark(last[1]), self.text[last[1]])
        rest = self.source.rest(self.at, self.reader.flow)
        return faults.text_after_value(self.source.mark(self.at, len(rest)), rest, self.text[last[1]])

    def _after(self) -> Finding | None:
        if not self._says("expected key", "block end", "'-' indicator", "document start"):
            return None
        ended = self.source.before(self.at).rstrip()[-1:]
        if ended in ("]", "}"):
            rest = self.source.rest(self.at)
            return faults.text_after_value(self.source.mark(self.at, len(rest)), rest, ended)
        return self._after_quote() or self._lone_text()

    def _lone_text(self) -> Finding | None:
        """A text at the beginning of the file that is no key."""
        last = self.reader.last
        if not self._says("document start") or last is None or self.reader.root is not last[0] or "..." in self.text[last[2]:self.at]:
            return None
        text = self.source.rest(last[1])
        return faults.line_without_colon(self.source.mark(last[1], len(text)), text)

    def _no_colon(self) -> Finding | None:
        if not self._says("expected ':'") or self.context is None:
            return None
        text = self.source.rest(self.context, self.reader.flow)
        return faults.line_without_colon(self.source.mark(self.context, len(text)), text)

    def _indent(self) -> Finding | None:
        if not self._says("expected key", "block end", "'-' indicator"):
            return None
        text = self.source.rest(self.at)
        lists = bool(self.reader.frames) and not self.reader.frames[-1].is_map and self.char != "-"
        reason = "stands among the entries of a list and does not begin with '- '" if lists else "does not stand below any entry above it"
        return faults.indentation(self.source.mark(self.at, len(text)), text, reason)

    def _other(self) -> Finding:
        mark = self.source.mark(self.at)
        if self._says("nesting depth"):  # libyaml looks ahead, and its own limit comes before ours
            return faults.too_deep(mark, MAX_DEPTH)
        if self._says("document start") and re.search(r"^\.\.\.\s*$", self.text[:self.at], re.M):
            return faults.several_documents(mark)
        if self.char in ("]", "}", ",", ":"):
            return faults.yaml_syntax(mark, f"'{self.char}' stands where a value or a key belongs", "remove it, or put the value in quotes")
        text = faults.clip(self.source.rest(self.at))
        why = f"reading stopped before '{text}': this is not YAML" if text else "the file ends where more is expected"
        return faults.yaml_syntax(mark, why, "compare with the lines above; put a value with special signs in quotes")
