# SPDX-License-Identifier: MIT
"""Profiles: figures that depend on the country, as data. One value, one source; a profile without sources is refused."""
from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import yaml

from ..errors import SiteError

__all__ = ["Entry", "Profile", "ProfileError", "load_profile", "parse_profile"]

FOUND = ("text", "second-hand", "memory")


class ProfileError(SiteError):
    """A profile that lacks what makes its figures usable."""


@dataclass(frozen=True)
class Entry:
    """One figure. value: None where none is known; found: how its source was seen (text, second-hand, memory)."""

    what: str
    value: float | None
    unit: str
    source: str
    found: str


@dataclass(frozen=True)
class Profile:
    """The figures of one country. date: of this edition of the figures, ISO 8601."""

    id: str
    date: str
    title: str
    entries: dict[str, Entry]


@cache
def load_profile(name: str) -> Profile:
    """The profile that ships under a name: au, nz, uk, iec.

    Raises ProfileError where there is none, or where it lacks a date or a source.
    """
    path = resources.files(__package__).joinpath(f"{name}.yaml")
    if not name.isalnum() or not path.is_file():
        raise ProfileError(f"there is no profile '{name}'")
    return parse_profile(path.read_text(encoding="utf-8"))


def parse_profile(text: str) -> Profile:
    """A profile from its YAML text. Raises ProfileError for what is missing."""
    data: dict[str, Any] = yaml.safe_load(text) or {}
    missing = [key for key in ("id", "date", "title", "entries") if not data.get(key)]
    if missing:
        raise ProfileError(f"the profile lacks {', '.join(missing)}")
    entries = {key: _entry(data["id"], key, given) for key, given in data["entries"].items()}
    return Profile(str(data["id"]), str(data["date"]), str(data["title"]), entries)


def _entry(profile: str, key: str, given: dict[str, Any]) -> Entry:
    for need in ("what", "unit", "source", "found"):
        if not isinstance(given.get(need), str) or not given[need].strip():
            raise ProfileError(f"{key} of profile '{profile}' has no {need}")
    if given["found"] not in FOUND:
        raise ProfileError(f"{key} of profile '{profile}': found is one of {', '.join(FOUND)}")
    if "value" not in given or not isinstance(given["value"], int | float | None):
        raise ProfileError(f"{key} of profile '{profile}' has no value (null where none is known)")
    value = given["value"]
    return Entry(given["what"], None if value is None else float(value), given["unit"], given["source"], given["found"])
