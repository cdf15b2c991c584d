# SPDX-License-Identifier: MIT
"""Hash signs that follow a space and have none behind them: each begins a comment, and was mostly not meant to."""
from __future__ import annotations

import re
from bisect import bisect_right

from . import faults
from .errors import Finding
from .yaml_source import Source

__all__ = ["Hashes"]

TIGHT_HASH = re.compile(r"[ \t](#)(?=[^\s#=*~!-])")
SWALLOWED = re.compile(r"[ \t]+(#)(?=[^\s#=*~!-])")


class Hashes:
    """Hash signs that follow a space and have none behind them: each begins a comment, and was mostly not meant to.

    There are hardly any in a real file, and where there are none nothing of this costs time.
    """

    def __init__(self, source: Source) -> None:
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
