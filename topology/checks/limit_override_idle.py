# SPDX-License-Identifier: MIT
"""A limit that the site sets itself and that has no effect."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import CannotTell, Finding, Unknown
from ..flow import Flows
from ..profiles import value_of
from ..rule import rule
from ..site import LimitOverride, Supply

__all__ = ["limit_override_idle"]


@rule(each=Supply, severity="warning", by_status=False)
def limit_override_idle(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Limit under limits_override: that no profile in use has in force, or whose value is not in its unit, so that it changes nothing.

    Why: whoever set it believes that the checks go by it. Where the profile is TBC, nothing that rests on a limit can be told; it is said here, once.
    Bad: limits_override: {voltage-rise-total: {value: 3 V, …}}
    Good: limits_override: {voltage-rise-total: {value: 3 %, …}}
    Source: the profiles that the site names (sld explain LIMIT)
    """
    if site.profiles.unknown is not None:
        raise CannotTell(site.profiles.unknown)
    table = site.site.limits_override if isinstance(site.site.limits_override, dict) else {}
    for id_, said in table.items():
        if not isinstance(said, LimitOverride) or isinstance(said.value, Unknown):
            continue
        entry = site.profiles.find(id_)
        if entry is None:
            names = ", ".join(p.id for p in site.profiles.profiles)
            yield Finding(said.mark, f"no profile in use ({names}) has a limit '{id_}'", "take it away, or name the profile that has it", objects=(id_,))
        elif value_of(said.value, entry) is None:
            unit = f"in {entry.unit}" if entry.unit not in ("1", "-") else "yes or no" if isinstance(entry.value, bool) else "a plain number"
            yield Finding(said.mark, f"'{said.value}' is no value of '{id_}', which is {unit}", f"write it as {entry.shown}", objects=(id_,))
