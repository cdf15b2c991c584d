# SPDX-License-Identifier: MIT
"""A syntax error of YAML in plain words."""
from __future__ import annotations

import re
from typing import TYPE_CHECKING

import yaml

from . import faults
from .errors import Finding
from .yaml_source import MAX_DEPTH

if TYPE_CHECKING:
    from .yaml_reader import EventReader

__all__ = ["Broken"]

ONE_KEY = re.compile(r"[ \t]*(?:- +)*([^\s:#'\"\[{][^:#]*?|\"[^\"]*\"|'[^']*')[ \t]*:[ \t]+(.*)")


class Broken:
    """YAML's syntax error in plain words: what the user most likely typed, from the place where the parser gave up.

    problem : what libyaml (or the parser in Python, whose words differ) says
    doing   : what it was reading
    at      : index of the problem
    context : index where the thing that could not be read began, or None
    """

    def __init__(self, reader: EventReader, error: yaml.YAMLError) -> None:
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
        text = self.source.rest(index, self.reader.flow or self.source.in_brackets(index))  # the scanner is ahead of the reader
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
