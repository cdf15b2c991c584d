# SPDX-License-Identifier: MIT
"""The limits that bind one site: its profiles on the day work begins, and what licensed persons set for it."""
from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from .errors import Mark, Unknown
from .profiles import LimitEntry, Override, Profiles, load_profiles
from .site import LimitOverride, Site

__all__ = ["limits_said", "profiles_of", "standing"]


def profiles_of(site: Site) -> Profiles:
    """The profiles that a site names, on the day work begins and with its own limits; without that day the newest entries apply.

    Asking them raises CannotTell where the site's profile is TBC.
    """
    named = site.profile
    mark = site.marks.get("profile", Mark(site.mark.file, 1, 1))
    unknown = named if isinstance(named, Unknown) else next((name for name in named if isinstance(name, Unknown)), None)
    begins = None if isinstance(site.site, Unknown) else site.site.work_begins
    on = begins if isinstance(begins, date) else None
    if unknown is not None:
        return Profiles((), on, mark=mark, unknown=unknown)
    return load_profiles(named, on, dict(_overrides(site)), mark)


def _overrides(site: Site) -> Iterator[tuple[str, Override]]:
    """Limits that the site sets, those that are wholly known."""
    table = site.limits_override if isinstance(site.limits_override, dict) else {}
    for id_, said in table.items():
        if isinstance(said, LimitOverride) and not any(isinstance(part, Unknown) for part in (said.value, said.by, said.role, said.reason, said.date)):
            yield id_, Override(said.value, f"{said.by}, {said.role}, {said.date}", said.reason)


def standing(profiles: Profiles, id_: str) -> LimitEntry | None:
    """The entry under an id as the profiles have it, whatever the site sets."""
    return Profiles(profiles.profiles, profiles.on, mark=profiles.mark, unknown=profiles.unknown).find(id_)


def limits_said(profiles: Profiles) -> tuple[str, ...]:
    """Each limit that the site sets itself, in words for the report and the drawing, without full stop."""
    if profiles.unknown is not None:
        return ()
    entries = [profiles.find(id_) for id_ in profiles.overrides]
    return tuple(f"limit {e.id} is {e.shown}: {e.set_by}" for e in entries if e is not None and e.set_by)
