# SPDX-License-Identifier: MIT
"""What belongs to a set that is issued for a purpose, as data."""
from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

import yaml
from schedules import SCHEDULES
from topology.dataclass import dataclass

__all__ = ["EVERYTHING", "PURPOSES", "Purpose", "purpose", "purpose_of"]

PURPOSES = ("application", "tender", "site", "record")


@dataclass(frozen=True)
class Purpose:
    """name, title, and what belongs to it. diagrams, schedules: None for all; statuses: of the drawing, that fit it, none for any."""

    name: str = ""
    title: str = ""
    statuses: tuple[str, ...] = ()
    diagrams: tuple[str, ...] | None = None
    schedules: tuple[str, ...] | None = None

    @property
    def listed(self) -> frozenset[str]:
        """Names of the schedules that belong to it."""
        return frozenset(name for name in SCHEDULES if self.wants_schedule(name))

    def wants_diagram(self, name: str) -> bool:
        return self.diagrams is None or name in self.diagrams

    def wants_schedule(self, name: str) -> bool:
        return self.schedules is None or name in self.schedules


EVERYTHING = Purpose()


def purpose(name: str | None) -> Purpose:
    """The purpose of a name; everything for None. Raises KeyError for a name that is none of PURPOSES."""
    if name is None:
        return EVERYTHING
    said = told()[name]
    return Purpose(name, said["title"], tuple(said["statuses"]), tuple(said["diagrams"]), tuple(said["schedules"]))


def purpose_of(listed: frozenset[str]) -> Purpose | None:
    """The purpose whose set has just these schedules; None where there is none: a set of another version of this program."""
    return next((one for one in (EVERYTHING, *map(purpose, PURPOSES)) if one.listed == listed), None)


@cache
def told() -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load(resources.files(__package__).joinpath("purposes.yaml").read_text(encoding="utf-8"))
    return data
