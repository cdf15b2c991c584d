# SPDX-License-Identifier: MIT
"""The text of a file with its lines, and how much a file may hold."""
from __future__ import annotations

import re
from bisect import bisect_right

from . import faults
from .errors import Mark, Unusable

__all__ = ["LINE_END", "MAX_BYTES", "MAX_DEPTH", "MAX_SCALAR", "MAX_VALUES", "Source", "decode"]

MAX_BYTES, MAX_DEPTH, MAX_VALUES, MAX_SCALAR = 4_000_000, 40, 400_000, 10_000
LINE_END = re.compile("\r\n|\n|\r")
COMMENT = re.compile(r"(?:^|[ \t]+)#(?=\s|$).*")


def decode(data: bytes, file: str) -> str:
    """The text of the file. libyaml finds the same faults, but cannot say where."""
    if len(data) > MAX_BYTES:
        raise Unusable(faults.too_large(Mark(file, 1, 1), MAX_BYTES))
    body = data.removeprefix(b"\xef\xbb\xbf")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        before = Source(file, body[:error.start].decode("utf-8"))
        byte = body[error.start]
        letter = bytes([byte]).decode("cp1252", "replace") if data[:2] not in (b"\xff\xfe", b"\xfe\xff") else ""
        raise Unusable(faults.not_utf8(before.mark(len(before.text)), byte, letter.strip("\ufffd"))) from None


class Source:
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

    def in_brackets(self, index: int) -> bool:
        """Whether brackets of its own line stand open before a character; brackets inside quotes do not count."""
        start = max((end.end() for end in LINE_END.finditer(self.text, 0, index)), default=0)
        before = re.sub(r"\"[^\"]*\"|'[^']*'", "", self.text[start:index])
        return sum(before.count(c) for c in "{[") > sum(before.count(c) for c in "}]")

    def rest(self, index: int, flow: bool = False) -> str:
        """The value that begins at a character: to the end of its line, or inside brackets to the next comma or bracket."""
        end = LINE_END.search(self.text, index)
        line = COMMENT.sub("", self.text[index:end.start() if end else len(self.text)])
        return (re.split(r"[,\]}]", line, maxsplit=1)[0] if flow else line).strip()
