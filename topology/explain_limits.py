# SPDX-License-Identifier: MIT
"""What `sld explain` says of a limit: the entry of each profile that has it, with its source."""
from __future__ import annotations

from collections.abc import Iterator

from .profiles import LimitEntry, load_profile, profile_names

__all__ = ["explain_limit", "limit_ids", "limit_lines"]


def limit_ids() -> list[str]:
    """Every id that a profile has an entry for, sorted."""
    return sorted({id_ for name in profile_names() for id_ in load_profile(name).dated})


def explain_limit(id_: str) -> str | None:
    """The entries of every profile under an id, or None where no profile has one."""
    entries = list(_entries(id_))
    if not entries:
        return None
    head = f"{id_} ({entries[0].section}): {entries[0].what}"
    return "\n\n".join([head, *("\n".join(_lines(e)) for e in entries)])


def limit_lines(id_: str) -> list[str]:
    """The entries of every profile under an id, one line each."""
    return [f"{id_}, {e.profile}{_time(e)}: {e.shown} ({e.found}: {e.source})" for e in _entries(id_)]


def _entries(id_: str) -> Iterator[LimitEntry]:
    for name in profile_names():
        yield from load_profile(name).dated.get(id_, ())


def _lines(e: LimitEntry) -> Iterator[str]:
    yield f"{e.profile}{_time(e)}: {e.shown}"
    yield f"  what      {e.what}"
    yield f"  edition   {e.edition}"
    yield f"  source    {e.source}"
    yield f"  found     {e.found}; a check that rests on it says {e.severity}"
    if e.note:
        yield f"  note      {e.note}"


def _time(e: LimitEntry) -> str:
    """The time in which work must begin, in words."""
    return (f", work from {e.valid_from}" if e.valid_from else "") + (f", work until {e.valid_until}" if e.valid_until else "")
