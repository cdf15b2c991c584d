# SPDX-License-Identifier: MIT
"""A busbar with sources that none of the American rules allows."""
from __future__ import annotations

import math

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Board, Circuit, Device
from ._busbar import Feed, feed_of, phases_of_bar, source_amperes, sources_of

__all__ = ["busbar_overfed_far_end"]


@rule(each=Board, danger=True, by_status=True, limits=("busbar-source-factor", "busbar-far-end-factor", "busbar-near-end-factor", "busbar-all-devices-factor"))
def busbar_overfed_far_end(board: Board, site: Flows) -> Finding | None:
    """Busbar with sources where the overlay for the United States is named, that passes none of its three rules.

    Why: with the sources' currents taken 1.25 times, the main device and the sources must fit the bar; or 1.2 times the bar with the source at the
        end away from the main device; or all devices but the main one together must fit the bar.
    Bad: a busbar of 200 A with a main device of 200 A and a source of 40 A at the far end (200 A + 50 A is more than 240 A)
    Good: a source of 32 A there (200 A + 40 A is 240 A)
    Source: NEC 2020, 705.12(B)(3), as a training provider and installers' forums paraphrase it
    """
    factor = site.profiles.find("busbar-source-factor")
    feed = feed_of(board, site) if factor is not None and board.id in site.graph else None
    phases = phases_of_bar(board, site)
    circuits = [c for c in board.circuits if any(sources_of(c, site, p) for p in phases)] if feed is not None else []
    if factor is None or feed is None or not circuits:
        return None
    bar = board.busbar + 0
    sources = factor.si * max(math.fsum(source_amperes(board, c, site, p) for c in circuits) for p in phases)
    if any(amperes <= most * bar * (1 + 1e-9) for amperes, most in _rules(board, site, feed, circuits, sources)):
        return None
    entry = site.profiles.entry("busbar-far-end-factor")
    ids = tuple(c.id for c in circuits)
    return Finding(board.mark, f"busbar of '{board.id}' ({bar:g} A): {feed.rating:g} A from '{feed.id}' and {sources:g} A of sources pass none of the three rules",
                   "use a smaller source or main device, a larger bar, or the far end of the bar", objects=(board.id, *ids),
                   severity=entry.severity, source=entry.reference,
                   numbers={"main": Number(feed.rating, "A"), "sources": Number(sources, "A"), "busbar": Number(bar, "A")})


def _rules(board: Board, site: Flows, feed: Feed, circuits: list[Circuit], sources: float) -> list[tuple[float, float]]:
    """For each rule that can apply the current [A] and the multiple of the bar that it must not exceed."""
    rules = [(feed.rating + sources, site.profiles.number("busbar-near-end-factor"))]
    if len(circuits) == 1 and _last(board) is circuits[0]:
        rules.append((feed.rating + sources, site.profiles.number("busbar-far-end-factor")))
    ratings = [min((d.rating for d in c.in_line if isinstance(d, Device) and d.limits_current and not isinstance(d.rating, Unknown)), default=math.inf) for c in board.circuits]
    return [*rules, (math.fsum(ratings), site.profiles.number("busbar-all-devices-factor"))]


def _last(board: Board) -> Circuit:
    """The circuit on the last way."""
    return max(board.circuits, key=lambda c: -1 if isinstance(c.way, Unknown | None) else c.way.last)
