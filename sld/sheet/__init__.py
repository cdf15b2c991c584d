# SPDX-License-Identifier: MIT
"""Paper, frame, title block, and what stands beside a drawing."""
from __future__ import annotations

from sld.sheet.compose import DoesNotFit, compose
from sld.sheet.info import Revision, SheetInfo
from sld.sheet.zones import zone_of

__all__ = ["DoesNotFit", "Revision", "SheetInfo", "compose", "zone_of"]
