# SPDX-License-Identifier: MIT
"""Paper, frame, title block, and what stands beside a drawing."""
from __future__ import annotations

from sld.sheet.compose import DoesNotFit, compose
from sld.sheet.info import Revision, SheetInfo

__all__ = ["DoesNotFit", "Revision", "SheetInfo", "compose"]
