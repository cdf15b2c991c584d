# SPDX-License-Identifier: MIT
"""Order and words of application forms, by the first profile of the site: what a form asks for first, then the rest in its own order."""
from __future__ import annotations

from collections.abc import Iterator

from topology.flow import Flows

from .sourced import facts_of, profiles_of

__all__ = ["form_sources", "place_in_form", "words_of_form"]


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
    return next((row["words"] for row in _rows(flows) if (row["section"], row["item"]) == (section, item) and row["words"]), item)


def form_sources(flows: Flows) -> Iterator[str]:
    """Where order and words come from, each source once."""
    found = dict.fromkeys((row["source"], row["found"]) for row in _rows(flows))
    said = "; ".join(f"{source} ({seen})" for source, seen in found)
    yield f"Order and words after: {said}. The operator's own form prevails." if found else "No form is known for this profile: the order is an own proposal."
