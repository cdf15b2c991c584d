# SPDX-License-Identifier: MIT
"""An as-built drawing of a site on which work is still to be done."""
from __future__ import annotations

from ..errors import Finding, Unknown
from ..flow import Flows
from ..parts import Thing
from ..rule import rule
from ..site import Drawing, Supply
from ._words import listed

__all__ = ["as_built_differs"]

PLANNED = ("new", "altered", "relocated", "removed")
"""What a job does; when it is done, everything exists, and what was removed is gone"""


@rule(each=Supply, severity="warning", by_status=False)
def as_built_differs(supply: Supply, site: Flows) -> Finding | None:
    """Drawing that is called as-built while objects are still new, altered, relocated or to be removed.

    Why: an as-built drawing is what the installation is. One that still says what is to be done was taken from the application and not
        compared with what was installed, which is how the papers and the installation come to differ.
    Bad: drawing: {status: as-built}, and a board with status: new
    Good: drawing: {status: as-built}, the board with status: existing, the removed one deleted; or status: for construction until then
    Source: Western Power, page on installing as approved, diagrams included; the standing of the drawing after ISO 7200, second-hand
    """
    drawing = site.site.drawing
    if not isinstance(drawing, Drawing) or isinstance(drawing.status, Unknown) or drawing.status != "as-built":
        return None
    open_ = [thing for thing in site.objects.values() if isinstance(thing, Thing) and "status" in thing.marks and thing.status in PLANNED]
    if not open_:
        return None
    return Finding(drawing.marks["status"], f"the drawing is as-built, and {listed([f'{t.id} ({t.status})' for t in open_])} "
                   f"{'is' if len(open_) == 1 else 'are'} still called work to be done", "compare with what was installed and set status: existing, or change the drawing's status",
                   objects=(supply.id, *(thing.id for thing in open_)))
