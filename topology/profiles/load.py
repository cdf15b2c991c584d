# SPDX-License-Identifier: MIT
"""YAML → Profile. An entry without a source, or with one that the file does not list, is refused at its file and key."""
from __future__ import annotations

from datetime import date
from functools import cache
from importlib import resources
from typing import Any

import yaml

from ..errors import SEVERITIES, SiteError
from .entries import FOUND, LimitEntry, Profile

__all__ = ["SECTIONS", "ProfileError", "load_profile", "parse_profile", "profile_names"]

SECTIONS = {"limits": "limit", "fields": "field", "labels": "label", "editions": "edition", "layings": "way of laying"}
"""Parts of a file, and what an entry of each is."""
_USUAL = {"text": "error", "second-hand": "warning", "memory": "warning"}
_KEYS = ("what", "value", "unit", "found", "source", "edition", "severity", "valid_from", "valid_until", "note")
_HEAD = ("id", "date", "title", "sources", "region", "over", *SECTIONS)


class ProfileError(SiteError):
    """A profile that lacks what makes its figures usable."""


class _Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Refuses a key that stands twice."""

    def construct_mapping(self, node: Any, deep: bool = False) -> Any:
        keys = [key.value for key, _ in node.value]
        twice = next((key for n, key in enumerate(keys) if key in keys[:n]), None)
        if twice is not None:
            raise ProfileError(f"line {node.start_mark.line + 1}: '{twice}' stands twice")
        return super().construct_mapping(node, deep)


@cache
def profile_names() -> tuple[str, ...]:
    """Every profile that ships: countries first, then overlays of operators as operator/NAME."""
    root = resources.files(__package__)
    here = sorted(p.name[:-5] for p in root.iterdir() if p.name.endswith(".yaml"))
    below = sorted(p.name[:-5] for p in root.joinpath("operator").iterdir() if p.name.endswith(".yaml"))
    return (*here, *(f"operator/{name}" for name in below))


@cache
def load_profile(name: str) -> Profile:
    """The profile that ships under a name: au, nz, uk, iec, us, operator/NAME.

    Raises ProfileError where there is none, or where it lacks a date or a source.
    """
    if name not in profile_names():
        raise ProfileError(f"there is no profile '{name}'")
    file = f"{name}.yaml"
    profile = parse_profile(resources.files(__package__).joinpath(file).read_text(encoding="utf-8"), f"profiles/{file}")
    if profile.id != name:
        raise ProfileError(f"profiles/{file}: id is '{profile.id}'")
    return profile


def parse_profile(text: str, file: str = "profile") -> Profile:
    """A profile from its YAML text. file: its name for messages. Raises ProfileError for what is missing, with file and key."""
    try:
        data = yaml.load(text, Loader=_Loader)  # noqa: S506 - a safe loader of our own
    except (yaml.YAMLError, ProfileError) as error:
        raise ProfileError(f"{file}: {error}") from error
    if not isinstance(data, dict):
        raise ProfileError(f"{file}: no mapping")
    if missing := [key for key in ("id", "date", "title", "sources") if not data.get(key)]:
        raise ProfileError(f"{file}: the profile has no {', '.join(missing)}")
    if strange := [key for key in data if key not in _HEAD]:
        raise ProfileError(f"{file}: '{strange[0]}' is none of {', '.join(_HEAD)}")
    dated: dict[str, tuple[LimitEntry, ...]] = {}
    for section in SECTIONS:
        for key, given in (data.get(section) or {}).items():
            if key in dated:
                raise ProfileError(f"{file}: {section}.{key} stands in another part too")
            dated[key] = _entries(f"{file}: {section}.{key}", SECTIONS[section], key, given, data)
    if not dated:
        raise ProfileError(f"{file}: the profile has no entries")
    return Profile(str(data["id"]), str(data["date"]), str(data["title"]), dated, str(data.get("over", "")), str(data.get("region", "")))


def _entries(where: str, section: str, key: str, given: Any, data: dict[str, Any]) -> tuple[LimitEntry, ...]:
    """The entries of one id, oldest first."""
    entries = [_entry(where, section, key, one, data) for one in (given if isinstance(given, list) else [given])]
    entries.sort(key=lambda e: e.valid_from or date.min)
    for before, after in zip(entries, entries[1:], strict=False):
        if before.valid_until is None or after.valid_from is None or before.valid_until >= after.valid_from:
            raise ProfileError(f"{where}: two entries are in force at one time")
    return tuple(entries)


def _entry(where: str, section: str, key: str, given: Any, data: dict[str, Any]) -> LimitEntry:
    if not isinstance(given, dict):
        raise ProfileError(f"{where} is no mapping")
    if strange := [name for name in given if name not in _KEYS]:
        raise ProfileError(f"{where}: '{strange[0]}' is none of {', '.join(_KEYS)}")
    for need in ("what", "unit", "source", "edition", "found"):
        if not isinstance(given.get(need), str) or not given[need].strip():
            raise ProfileError(f"{where} has no {need}")
    if "value" not in given or not isinstance(given["value"], int | float | str | None):
        raise ProfileError(f"{where} has no value (null where none is known)")
    source = data["sources"].get(given["source"])
    if not isinstance(source, str) or not source.strip():
        raise ProfileError(f"{where} has source '{given['source']}', which is not among the sources of the file")
    value = given["value"]
    number = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    return LimitEntry(key, section, given["what"], number, given["unit"], source, given["edition"], given["found"], _severity(where, given),
                      _day(where, given, "valid_from"), _day(where, given, "valid_until"), given.get("note", ""), str(data["id"]))


def _severity(where: str, given: dict[str, Any]) -> str:
    """What a check may say that rests on an entry: by how its source was seen, or less."""
    if given["found"] not in FOUND:
        raise ProfileError(f"{where}: found is one of {', '.join(FOUND)}")
    said = given.get("severity", _USUAL[given["found"]])
    if said not in SEVERITIES:
        raise ProfileError(f"{where}: severity is one of {', '.join(SEVERITIES)}")
    if said == "error" and given["found"] == "memory":
        raise ProfileError(f"{where}: a figure from memory can warn, never refuse")
    return str(said)


def _day(where: str, given: dict[str, Any], key: str) -> date | None:
    day = given.get(key)
    if day is not None and type(day) is not date:
        raise ProfileError(f"{where}: {key} is no day (2025-02-23)")
    return day
