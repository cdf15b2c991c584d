# SPDX-License-Identifier: MIT
"""A board or terminal with two feeds that nothing keeps apart."""
from __future__ import annotations

from ..errors import Finding, Number, Related
from ..flow import Flows
from ..rule import rule
from ..site import Board, Coupler, Own, Terminal

__all__ = ["terminal_fed_twice"]


@rule(each=Board | Terminal, danger=True)
def terminal_fed_twice(thing: Board | Terminal, site: Flows) -> Finding | None:
    """Board, or terminal of a device, that two circuits feed.

    Why: both feeds are closed at once, so that opening one leaves the other live, and a fault is fed from both. A second way in leads
        through a changeover or a bus coupler; a ring final is one circuit and says ring: yes.
    Bad: two circuits of MSB with feeds: SB
    Good: the second one with feeds: QA1.alternative, and SB behind QA1.load
    Source: common practice, no source
    """
    switch = thing.main_switch if isinstance(thing, Board) else None
    entry = switch.id if isinstance(switch, Own) else thing.id
    if entry not in site.graph:
        return None
    feeds = [(u, link) for u, link in site.feeders(entry) if not _through_device(u, link, site)]
    if len(feeds) < 2:
        return None
    (first, _), (second, link) = feeds[:2]
    mark = getattr(link.run, "mark", thing.mark)
    return Finding(thing.mark, f"{thing.word} '{thing.id}' is fed by '{first}' and by '{second}'",
                   "take one feed away, or lead both through a changeover", objects=(thing.id, *(u for u, _ in feeds)),
                   numbers={"feeds": Number(len(feeds), "1")}, related=(Related(mark, f"it comes from '{second}'"),))


def _through_device(node: str, link: object, site: Flows) -> bool:
    """Whether a feed is the inside of a device, or comes from a bus coupler."""
    run = getattr(link, "run", None)
    inside = getattr(link, "id", "").endswith(".own") or hasattr(run, "terminals")
    obj = site.obj(node)
    owner = site.objects.get(obj.id.partition(".")[0]) if isinstance(obj, Terminal) else None
    return inside or isinstance(owner, Coupler)
