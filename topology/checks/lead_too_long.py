# SPDX-License-Identifier: MIT
"""A lead that is longer than the type of its device allows."""
from __future__ import annotations

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer
from ._sources import type_or_none

__all__ = ["lead_too_long"]


@rule(each=Controller | CurrentTransformer)
def lead_too_long(thing: Controller | CurrentTransformer, site: Flows) -> Finding | None:
    """Lead of a sensor or device that is longer, its extensions included, than its type allows.

    Why: a long lead drops the small voltage of a sensor, or the supply and data of a device, below what the other end understands.
    Bad: lead: [2 m, 60 m twisted pair 1 mm²] on a sensor whose type says max_lead: 45 m
    Good: lead: [2 m, 30 m twisted pair 1 mm²]
    Source: the document of the type
    """
    type_ = type_or_none(thing, site)
    if type_ is None or type_.max_lead is None or isinstance(thing.lead, Unknown) and not thing.lead.given:
        return None
    length = sum((part.length for part in thing.lead), 0.0)
    if length <= type_.max_lead:
        return None
    return Finding(thing.marks["lead"], f"the lead of '{thing.id}' is {length:g} m long; its type allows {type_.max_lead:g} m",
                   f"put '{thing.id}' and what reads it nearer together", objects=(thing.id,),
                   numbers={"length": Number(length, "m"), "allowed": Number(type_.max_lead, "m")})
