# SPDX-License-Identifier: MIT
"""What checks of limits share: a limit with its standing, and who holds it."""
from __future__ import annotations

from typing import Any

from ..dataclass import dataclass
from ..errors import Mark, Unknown
from ..flow import Flows
from ..profiles import LimitEntry
from ..site import Limits

__all__ = ["Allowed", "by_entry", "by_file", "enforcer"]


@dataclass(frozen=True)
class Allowed:
    """A limit in force. value [W, VA or A]; id: of the entry, or the key of the site file; severity: of a finding that rests on it;
    mark: its place in the site file, None where a profile says it.
    """

    value: float
    id: str
    severity: str
    source: str
    mark: Mark | None = None


def by_entry(entry: LimitEntry | None) -> Allowed | None:
    """The limit of a profile's entry; None where there is none or it knows no figure."""
    return None if entry is None or entry.value is None else Allowed(entry.si, entry.id, entry.severity, entry.reference)


def by_file(site: Flows, key: str) -> Allowed | None:
    """A limit that the site file says the operator has set (limits: of the file); None where it says nothing or TBC."""
    said = site.site.limits
    value = getattr(said, key) if isinstance(said, Limits) and key in said.marks else None
    return None if value is None or isinstance(value, Unknown) else Allowed(value, f"limits.{key}", "error", f"limits.{key} of the site file", said.marks[key])


def enforcer(site: Flows) -> Any:
    """What the site file says holds its limits: a reference, an Unknown where it says TBC, None where it says nothing."""
    said = site.site.limits
    return said.enforced_by if isinstance(said, Limits) and "enforced_by" in said.marks else None
