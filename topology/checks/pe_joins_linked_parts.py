# SPDX-License-Identifier: MIT
"""A protective conductor between two parts that each have their N–E link."""
from __future__ import annotations

from collections.abc import Iterator

from ..earthed import earthed_parts
from ..errors import Finding, Related
from ..flow import Flows
from ..rule import rule
from ..site import NeutralEarthLink, Supply
from ._earth import joining_cables

__all__ = ["pe_joins_linked_parts"]


@rule(each=Supply, danger=True)
def pe_joins_linked_parts(supply: Supply, site: Flows) -> Iterator[Finding]:
    """Cable whose protective conductor joins two parts that each have an N–E link of their own.

    Why: the protective conductor then lies beside the neutral from link to link and carries part of its current all the time.
    Bad: a submain with an earth core to an outbuilding that has its own electrode and link
    Good: the submain with PEN and the link at the outbuilding, or with PE and no link there
    Source: IEC 60364-5-54 (no link of N and PE after they have been parted), from memory; AS/NZS 3000, from memory
    """
    for part in earthed_parts(site):
        links = [n for n in part.nodes if isinstance(site.obj(n), NeutralEarthLink) and site.obj(n).closed == "always"]
        for cable, first, second in joining_cables(links, site) if len(links) > 1 else ():
            yield Finding(cable.mark, f"the PE of '{cable.id}' joins '{first}' and '{second}'",
                          f"feed the part by PEN up to '{second}', or take '{second}' away", objects=(cable.id, first, second),
                          related=tuple(Related(site.objects[link].mark, f"'{link}' stands here") for link in (first, second)))
