# SPDX-License-Identifier: MIT
"""Which slips a kind of site cannot have, or cannot have alone, with the reason beside each group."""
from __future__ import annotations

from slips_limits import THREE_PHASE
from slips_wiring import SEVERAL_PHASES

__all__ = ["cannot"]

ONE_PHASE = THREE_PHASE | SEVERAL_PHASES
"""Slips that need several phases."""
TWO_PHASES = frozenset(["combined-neutral-overloaded"])
"""Its units stand on three phases."""
NO_PEN = frozenset(["pen-switched", "pe-joins-linked-parts"])
"""Where the supply brings no PEN there is none to switch, and a link more is one too many whatever joins it."""
SOIL = frozenset(["loop-impedance-too-high", "protective-conductor-too-small", "source-without-isolator", "combined-neutral-overloaded",
                  "load-on-generation-circuit", "shared-neutral-adds-up", "backup-overloaded", "island-without-electrode", "link-lost-with-source",
                  "rcd-missing-in-backup"])
"""At a TT supply the soil limits the fault current, so that the first two are not asked; the others are slips in a circuit that needs a
residual current device there, which isolates, opens the neutral, or has load and source behind it."""
AUSTRALIAN = frozenset(["array-not-bonded", "rcd-type-ac"])
"""Their profile wants an N–E link in an outbuilding too, which an electrode alone is not."""


def cannot(phases: int, earthing: str = "TN-C-S", outbuildings: int = 0) -> frozenset[str]:
    """The rules whose slips say nothing on a site of a kind, or make another check speak too."""
    none: frozenset[str] = frozenset()
    by_phases = {1: ONE_PHASE, 2: TWO_PHASES}.get(phases, none)
    by_earth = {"TN-S": NO_PEN, "TT": NO_PEN | SOIL}.get(earthing, none)
    return by_phases | by_earth | (AUSTRALIAN if outbuildings else none)
