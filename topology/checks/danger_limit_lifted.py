# SPDX-License-Identifier: MIT
"""A limit against shock or fire that the site file makes weaker."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number
from ..flow import Flows
from ..limits import standing
from ..profiles import LimitEntry
from ..rule import RULES, rule
from ..site import LimitOverride, Supply

__all__ = ["danger_limit_lifted"]

SMALLER_IS_WEAKER = ("busbar-source-factor",)


@rule(each=Supply, danger=True)
def danger_limit_lifted(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Limit that keeps from shock, fire or back-feed, and that the site sets weaker than its profile.

    Why: who takes a danger upon themselves does not remove it. The limit is set as the file says and is printed with who set it, but the finding
        stays an error, as an accepted danger does. A stricter limit is set without a word.
    Bad: limits_override: {busbar-sum-factor: {value: 1.2, …}}
    Good: limits_override: {busbar-sum-factor: {value: 0.9, …}}
    Source: common practice, no source
    """
    table = site.site.limits_override if isinstance(site.site.limits_override, dict) else {}
    for id_, said in table.items():
        rules = sorted(r.name for r in RULES.values() if r.danger and id_ in r.limits)
        if not rules or not isinstance(said, LimitOverride):
            continue
        entry, usual = site.profiles.find(id_), standing(site.profiles, id_)
        if entry is None or usual is None or not _weaker(entry, usual):
            continue
        numbers = {name: Number(e.value, e.unit) for name, e in (("set", entry), ("profile", usual)) if isinstance(e.value, float)}
        yield Finding(said.mark, f"'{id_}' is set to {entry.shown} where the profile has {usual.shown}; {', '.join(rules)} goes by it",
                      "leave the limit of the profile, and mend what it finds", objects=(id_,), source=usual.reference, numbers=numbers)


def _weaker(entry: LimitEntry, usual: LimitEntry) -> bool:
    """Whether the site's value lets more through than the profile's."""
    if isinstance(entry.value, float) and isinstance(usual.value, float):
        return entry.value < usual.value if entry.id in SMALLER_IS_WEAKER else entry.value > usual.value
    return entry.value != usual.value
