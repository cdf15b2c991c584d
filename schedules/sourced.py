# SPDX-License-Identifier: MIT
"""Facts for schedules as CSV files in `facts/`, each row with its source; a file without sources is refused."""
from __future__ import annotations

import csv
from collections.abc import Iterable
from functools import cache
from importlib import resources

from topology.errors import SiteError
from topology.flow import Flows

__all__ = ["FOUND", "FactError", "facts_of", "parse_facts", "profiles_of"]

FOUND = ("text", "second-hand", "memory")
"""How a fact was seen: where the rule is set, in another text that repeats it, or from memory alone."""


class FactError(SiteError):
    """A file of facts that lacks what makes it usable."""


@cache
def facts_of(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a file of facts that ships. Raises FactError for one without sources, or that nobody knows."""
    path = resources.files(__package__).joinpath(f"facts/{name}.csv")
    if not name.isalpha() or not path.is_file():
        raise FactError(f"there are no facts '{name}'")
    return parse_facts(path.read_text(encoding="utf-8"), name)


def parse_facts(text: str, name: str) -> tuple[dict[str, str], ...]:
    """Rows from the text of a CSV file; lines that begin with # are for people. Raises FactError for a row without `source` or `found`."""
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    rows = tuple(csv.DictReader(lines, strict=True))
    for number, row in enumerate(rows, 2):
        if None in row or None in row.values():
            raise FactError(f"row {number} of '{name}' does not fit its columns")
        if not row.get("source", "").strip() or row.get("found") not in FOUND:
            raise FactError(f"row {number} of '{name}' has no source, or does not say how it was found: {', '.join(FOUND)}")
    return rows


def profiles_of(flows: Flows) -> tuple[str, ...]:
    """The profiles that the site names, each once."""
    named: Iterable[object] = flows.site.profile if isinstance(flows.site.profile, tuple) else ()
    return tuple(dict.fromkeys(str(name) for name in named if isinstance(name, str)))
