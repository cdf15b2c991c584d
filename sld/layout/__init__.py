# SPDX-License-Identifier: MIT
"""Abstract strips and nets in, placed primitives out."""
from __future__ import annotations

from sld.layout.chain import chain_layout, chain_layouts
from sld.layout.joining import joined
from sld.layout.model import Chain, ChainDevice, ChainLink, Drawn, Enclosure, Feed, Net, Segment, Strip, Style
from sld.layout.tree import Arranged, arrangements, layout, layouts

__all__ = ["Arranged", "Chain", "ChainDevice", "ChainLink", "Drawn", "Enclosure", "Feed", "Net", "Segment", "Strip", "Style", "arrangements", "chain_layout",
           "chain_layouts", "joined", "layout", "layouts"]
