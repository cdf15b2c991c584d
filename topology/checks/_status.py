# SPDX-License-Identifier: MIT
"""Severity by status: what this job leaves as it is is observed, what it adds or alters is judged."""
from __future__ import annotations

from collections.abc import Iterable

from ..flow import Flows
from ..parts import Thing

__all__ = ["severity_for"]

TOUCHED = ("new", "altered", "relocated", "removed")


def severity_for(site: Flows, ids: Iterable[str], severity: str) -> str:
    """The severity of a finding about objects: "observed" where the file describes a job and this leaves all of them as they are.

    A file in which nothing is new or altered describes no job: then everything is judged.
    """
    things = [o for o in site.objects.values() if isinstance(o, Thing)]
    job = any(o.status in TOUCHED for o in things)
    return "observed" if job and all(getattr(site.objects.get(i), "status", "existing") not in TOUCHED for i in ids) else severity
