# SPDX-License-Identifier: MIT
"""Something that no phase conductor, or not each that it should have, reaches from the point of supply."""
from __future__ import annotations

from ..conductors import PHASES, bits, phase_names
from ..errors import CannotTell, Finding, Related, Unknown
from ..flow import Flows
from ..kinds import Said
from ..rule import rule
from ..site import Board, Chain, Circuit, CurrentTransformer, Equipment, Ported, Thing

__all__ = ["not_fed"]


@rule(each=Thing, by_status=False)
def not_fed(thing: Thing, site: Flows) -> Finding | None:
    """Board, device, load or equipment with a phase conductor that does not reach the point of supply.

    Why: a feed was forgotten, or a phase is named that never arrives there; the real thing is dead, or wired otherwise than drawn.
        Only the first object without a feed is named: what hangs on it is dead for the same reason. While some circuit's
        'feeds' is TBC, or was not understood, nobody can tell which board it feeds.
    Bad: {way: 3, phase: L2, …} on a board that a single-phase supply feeds
    Good: {way: 3, phase: L1, …}, or a supply and a feed that carry L2
    Source: graph theory (connectedness of each conductor); common practice, no source
    """
    if thing.id not in site.graph or site.root is None:
        return None
    lost = _lost(thing, site)
    above = [node for node, _ in site.feeders(thing.id)]
    for node in above:
        lost &= ~_lost(site.obj(node), site)
    return _finding(thing, lost, above[0] if above else None, site) if lost else None


def _lost(thing: Thing, site: Flows) -> int:
    """Phases that should be here and do not come from the point of supply; all three where none comes. Asked again for all that stands behind."""
    if ("lost", thing.id) not in site.memo:
        site.memo["lost", thing.id] = _now_lost(thing, site)
    lost: int = site.memo["lost", thing.id]
    return lost


def _now_lost(thing: Thing, site: Flows) -> int:
    if not isinstance(thing, Board) and not site.feeders(thing.id):
        return 0  # outside the power layer, or the main switch of a board that nothing feeds
    fed = _fed(thing.id, site)
    return _wanted(thing, site) & ~fed if fed else PHASES


def _fed(node: str, site: Flows) -> int:
    """The phases of a node that come from the point of supply, or from a generator, in any position of the switches."""
    return bits(phase for phase in ("L1", "L2", "L3") if site.ever_fed(node, bits([phase])))


def _wanted(thing: Thing, site: Flows) -> int:
    """The phases that the links to an object carry, and those that it names itself."""
    phase = thing.phase if isinstance(thing, Equipment | CurrentTransformer) else None
    said = bits(phase) if phase is not None and not isinstance(phase, Unknown) else 0  # the checks of sensors ask for one that is TBC
    return site.phases_at(thing.id) | said


def _finding(thing: Thing, lost: int, above: str | None, site: Flows) -> Finding:
    if isinstance(thing, Board) and not site.feeds_of(thing.id):
        if (doubt := _doubtful(site)) is not None:
            raise CannotTell(doubt)
        return Finding(thing.mark, f"board '{thing.id}' has no path to the point of supply",
                       f"add 'feeds: {thing.id}' to the circuit that supplies it", objects=(thing.id,))
    assert above is not None  # only a board can be without
    names = ", ".join(phase_names(lost & _wanted(thing, site)))
    arrives = ", ".join(phase_names(_fed(above, site))) or "no phase"
    what = f"{thing.word} '{thing.id}'"
    message = f"{names} of {what} does not come from the point of supply" if names else f"no phase conductor leads to {what}"
    return Finding(thing.marks.get("phase", thing.mark), message,
                   f"name a phase that arrives at '{above}' ({arrives}), or bring the other one there",
                   objects=(thing.id, above), related=(Related(site.obj(above).mark, f"next upstream is '{above}', with {arrives}"),))


def _doubtful(site: Flows) -> Unknown | None:
    """A feed of which nobody knows where it leads, and which may lead to a board that seems to have none."""
    for obj in site.objects.values():
        parts = [obj.feeds, obj.circuits] if isinstance(obj, Chain) else [obj.circuits] if isinstance(obj, Board) else []
        inner = [item for part in parts if isinstance(part, tuple) and not isinstance(part, Said) for item in part]
        for part in (*parts, *inner):
            if isinstance(part, Unknown):
                return part
            if isinstance(part, Said) and (part.id not in site.objects or isinstance(site.objects[part.id], Circuit | Ported)):  # the reader has said so
                return Unknown(part.mark, f"what '{obj.id}' feeds", silent=True)
    return None
