# SPDX-License-Identifier: MIT
"""Order and words of application forms, by the first profile of the site: what a form asks for first, then the rest in its own order."""
from __future__ import annotations

from collections.abc import Iterator

from topology.flow import Flows

from .sourced import facts_of, profiles_of

__all__ = ["asked_by_form", "form_sources", "place_in_form", "section_in_form", "words_of_form"]


def _rows(flows: Flows) -> list[dict[str, str]]:
    profile = next(iter(profiles_of(flows)), "iec")
    return [row for row in facts_of("forms") if row["profile"] == profile]


def place_in_form(flows: Flows, section: str, item: str) -> int:
    """Where a field stands in the form; behind all that the form names where it does not ask for it. The declaration is always last."""
    rows = _rows(flows)
    own = next((n for n, row in enumerate(rows) if (row["section"], row["item"]) == (section, item)), None)
    whole = next((n for n, row in enumerate(rows) if (row["section"], row["item"]) == (section, "*")), None)
    rest = len(rows) + (section == "declaration")
    return own if own is not None else whole if whole is not None else rest


def words_of_form(flows: Flows, section: str, item: str) -> str:
    """How the form calls a field; its own name where the form does not ask for it."""
    words = next((row["words"] for row in _rows(flows) if (row["section"], row["item"]) == (section, _plain(section, item)) and row["words"]), "")
    if words and section.startswith("source: "):
        return item.replace(section.removeprefix("source: "), words, 1)
    return words or item


def asked_by_form(flows: Flows, section: str, item: str) -> bool:
    """Whether the form names a field."""
    return any((row["section"], row["item"]) == (section, _plain(section, item)) for row in _rows(flows))


def section_in_form(flows: Flows, section: str, item: str) -> str:
    """What a field stands under: the heading of the form, its section; what is behind the fields of the form, in a section that has some, is `further`."""
    rows = [row for row in _rows(flows) if row["section"] == section]
    own = next((row for row in rows if row["item"] == item), None) or next((row for row in rows if row["item"] == "*"), None)
    return own["heading"] or section if own is not None else f"{section}, further" if rows else section


def _plain(section: str, item: str) -> str:
    """A fact of a source without the id of the source: forms name it once."""
    return "*" if section.startswith("source: ") else item


def form_sources(flows: Flows) -> Iterator[str]:
    """Where order and words come from, each source once."""
    found = dict.fromkeys((row["source"], row["found"]) for row in _rows(flows))
    said = "; ".join(f"{source} ({seen})" for source, seen in found)
    yield f"Order and words after: {said}. The operator's own form prevails." if found else "No form is known for this profile: the order is an own proposal."
