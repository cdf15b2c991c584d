# SPDX-License-Identifier: MIT
"""A busbar that its sources together can overload."""
from __future__ import annotations

import math

from ..busbar import Section, Tap, busbar_sections
from ..errors import Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Board
from ._busbar import has_sources, phases_of_bar, taps_of
from ._status import severity_for
from ._words import listed

__all__ = ["busbar_overfed"]


@rule(each=Board, danger=True, limits=("busbar-sum-factor", "software-limit-protects"))
def busbar_overfed(board: Board, site: Flows) -> Finding | None:
    """Busbar with a section that the supply and sources can feed together with more than it carries.

    Why: no device sees the sum, so that nothing trips while the bar overheats. What counts is each section between two ways: the devices of all
        sources on one side, as far as the devices on the other side can take it. The feed is taken to enter before the first way. Limits in
        software are no protection.
    Bad: a busbar of 80 A with the supply's 63 A and an inverter's 32 A side by side, and the loads behind both
    Good: the inverter's circuit on the last way, so that the loads stand between the two
    Source: Energy Safe Victoria, page on supplementary supplies and switchboards, 2025 (63 A and 32 A on 80 A)
    """
    entry = site.profiles.find("busbar-sum-factor")
    if entry is None or entry.value is None or site.profiles.find("busbar-source-factor") is not None:
        return None
    bars = [(phase, taps_of(board, site, phase)) for phase in phases_of_bar(board, site) if has_sources(board, site, phase)]
    found = [(_worst(taps), phase, taps) for phase, taps in bars if sum(t.gives > 0 for t in taps) > 1]
    if not found:
        return None
    section, phase, taps = max(found, key=lambda row: row[0].ampere)
    if section.ampere <= entry.si * (board.busbar + 0) * (1 + 1e-9):
        return None
    giving = _giving(taps, section)
    ids = tuple(t.id for t in giving)
    return Finding(board.mark, f"busbar of '{board.id}' ({board.busbar:g} A) can carry {section.ampere:g} A on {phase} between '{section.left}' and '{section.right}': "
                   f"{listed(f'{t.gives:g} A from {t.id}' for t in giving)}", "move the source's circuit to the far end of the bar, or use smaller devices or a larger bar",
                   objects=(board.id, *ids), severity=severity_for(site, (board.id, *ids), entry.severity), source=entry.reference,
                   numbers={"section": Number(section.ampere, "A"), "busbar": Number(board.busbar, "A")})


def _giving(taps: list[Tap], section: Section) -> list[Tap]:
    """The connections that feed a section, from the side that gives it most."""
    cut = next(n for n, t in enumerate(taps) if t.id == section.right)
    sides = ((taps[:cut], taps[cut:]), (taps[cut:], taps[:cut]))
    giving, _ = max(sides, key=lambda pair: min(math.fsum(t.gives for t in pair[0]), math.fsum(t.takes for t in pair[1])))
    return [t for t in giving if t.gives > 0]


def _worst(taps: list[Tap]) -> Section:
    return max(busbar_sections(taps), key=lambda s: s.ampere)
