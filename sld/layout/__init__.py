# SPDX-License-Identifier: MIT
"""Abstract strips and nets in, placed primitives out."""
from __future__ import annotations

from sld.layout.model import Drawn, Enclosure, Feed, Net, Segment, Strip, Style
from sld.layout.tree import layout, layouts

__all__ = ["Drawn", "Enclosure", "Feed", "Net", "Segment", "Strip", "Style", "layout", "layouts"]
