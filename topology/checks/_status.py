# SPDX-License-Identifier: MIT
"""Severity by status for a check that decides it itself, for instance because a source makes a danger of what may otherwise stay."""
from __future__ import annotations

from collections.abc import Iterable

from ..as_found import TOUCHED, describes_a_job
from ..flow import Flows

__all__ = ["severity_for"]


def severity_for(site: Flows, ids: Iterable[str], severity: str) -> str:
    """The severity of a finding about objects: "observed" where the file describes a job and this leaves all of them as they are."""
    untouched = all(getattr(site.objects.get(i), "status", "existing") not in TOUCHED for i in ids)
    return "observed" if untouched and describes_a_job(site.read) else severity
