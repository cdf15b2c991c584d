# SPDX-License-Identifier: MIT
"""A lead that is extended although its type does not allow it, or with another cable than it asks for."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Controller, CurrentTransformer, EquipmentType, LeadPart
from ._sources import type_or_none

__all__ = ["lead_extended"]


@rule(each=Controller | CurrentTransformer)
def lead_extended(thing: Controller | CurrentTransformer, site: Flows) -> Iterator[Finding]:
    """Lead of several parts where the type allows no extension, or asks for another cable.

    Why: a lead may carry supply and data, or a signal of millivolts; a joint or a thin, untwisted extension spoils it.
    Bad: lead: [0.5 m, 2 m] on an adapter whose type says extends: no
    Good: lead: 0.5 m, with the adapter placed within reach
    Source: the document of the type
    """
    type_ = type_or_none(thing, site)
    if type_ is None or isinstance(thing.lead, Unknown) and not thing.lead.given:
        return
    for part in thing.lead[1:]:
        wrong = _wrong(part, type_)
        if wrong:
            yield Finding(part.mark, f"the lead of '{thing.id}' is extended {wrong}", _next(type_), objects=(thing.id,), numbers=_numbers(part, type_))


def _numbers(part: LeadPart, type_: EquipmentType) -> dict[str, Number]:
    """The cross-sections, where they are what is compared."""
    if type_.extends is False or type_.extension is None or isinstance(part.area, Unknown):
        return {}
    return {"area": Number(part.area, "mm²"), "wanted": Number(type_.extension, "mm²")}


def _wrong(part: LeadPart, type_: EquipmentType) -> str:
    """What is wrong with an extension, or ""."""
    if type_.extends is False:
        return "although its type must not be extended"
    if type_.extension is not None and not isinstance(part.area, Unknown) and part.area < type_.extension:
        return f"in {part.area:g} mm²; its type asks for {type_.extension:g} mm²"
    lacking = [word for word in type_.extension_make if word not in part.make]
    return f"in a cable that is no {' '.join(lacking)}" if lacking else ""


def _next(type_: EquipmentType) -> str:
    if type_.extends is False:
        return "place the device within reach of its own lead"
    area = f" of {type_.extension:g} mm²" if type_.extension is not None else ""
    return f"extend it in {' '.join(type_.extension_make) or 'cable'}{area}"
