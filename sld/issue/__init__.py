# SPDX-License-Identifier: MIT
"""The issued set: all drawings, schedules and findings of a site at one revision, in one folder.

This package and the command line are the only places that see both drawings and schedules.
"""
from __future__ import annotations

from sld.issue.purposes import PURPOSES
from sld.issue.refused import Refused
from sld.issue.run import Issued, issue

__all__ = ["Issued", "PURPOSES", "Refused", "issue"]
