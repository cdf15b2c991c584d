# SPDX-License-Identifier: MIT
"""A large drawing over several sheets: cut at its boards, packed, and joined again by references both ways."""
from __future__ import annotations

from sld.split.kept import Kept, kept
from sld.split.model import PLACE, Forest
from sld.split.pieces import strips_of
from sld.split.references import resolved
from sld.split.sheets import sheets

__all__ = ["Forest", "Kept", "PLACE", "kept", "resolved", "sheets", "strips_of"]
