# SPDX-License-Identifier: MIT
"""What is drawn of an object that has no symbol of its own: a circuit by its devices and cables, a bus by its segments."""
from __future__ import annotations

from topology.errors import Unknown
from topology.flow import Flows
from topology.site import Bus, Chain, Own

__all__ = ["parts"]


def parts(flows: Flows, key: str) -> tuple[str, ...]:
    """Ids of what an id stands for, in physical order; nothing for an object that is drawn itself."""
    obj = flows.objects.get(key)
    if isinstance(obj, Bus):
        inner = obj.segments if isinstance(obj.segments, tuple) else ()
    elif isinstance(obj, Chain):
        inner = (*(obj.in_line if isinstance(obj.in_line, tuple) else ()), obj.feeds, obj.load)
    else:
        return ()
    return tuple(item.id for item in inner if not isinstance(item, Unknown) and (isinstance(obj, Bus) or isinstance(item, Own)) and hasattr(item, "id"))
