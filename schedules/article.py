# SPDX-License-Identifier: MIT
"""The words that tell one article of an order from another, where no column of its own holds them."""
from __future__ import annotations

from collections.abc import Callable
from typing import Any

from topology.errors import Unknown
from topology.fields import fields_of
from topology.flow import Flows
from topology.quantity import show_quantity
from topology.site import Array, Board, Bond, CurrentTransformer, Device, Meter

from .columns import dotted, given

__all__ = ["article_facts", "ratings"]

DIRECTIONS = {"both": "import and export"}


def ratings(obj: Any, without: tuple[str, ...] = ()) -> str:
    """What the shorthand of an object says, as the trade writes it: 20 A 1P C 6 kA; what is open is named with TBC."""
    words = []
    for f in fields_of(type(obj)):
        if f.short and f.name in obj.marks and f.name not in without:
            value = getattr(obj, f.name)
            words.append(f"{f.what} TBC" if isinstance(value, Unknown) else f"{f.kind.before} {f.kind.show(value)}".strip())
    return " ".join(words)


def article_facts(flows: Flows, obj: Any) -> str:
    """Ratings without a column of their own: C 6 kA, 30 mA type A; of a device on the direct-current side that it is for direct current."""
    words = next((words for cls, words in WORDS.items() if isinstance(obj, cls)), None)
    text = words(obj) if words else ratings(obj, without=("rating", "poles", "power", "energy"))
    return f"{text} for direct current".strip() if isinstance(obj, Device) and on_direct_current(flows, obj.id) else text


def on_direct_current(flows: Flows, node: str) -> bool:
    """Whether nothing but direct current arrives at a node."""
    layers = {data["layer"] for _, _, data in flows.graph.in_edges(node, data=True)} if node in flows.graph else set()
    return "dc" in layers and "power" not in layers


def _amount(obj: Any, name: str, what: str, unit: str) -> str:
    """`100 A`; `primary TBC`; nothing where the file does not speak of it."""
    value = given(obj, name, "")
    return f"{what} TBC" if isinstance(value, Unknown) else show_quantity(value, unit) if isinstance(value, float) else str(value)


def _sensor(sensor: CurrentTransformer) -> str:
    """Ratio and the lead that comes with it; what it measures makes no other article."""
    ratio = " / ".join(word for word in (_amount(sensor, "primary", "primary", "A"), _amount(sensor, "secondary", "secondary", "")) if word)
    own = sensor.lead[0] if isinstance(sensor.lead, tuple) and sensor.lead else None
    lead = dotted(own, "length")
    return f"{ratio}, lead {show_quantity(lead, 'm')}".removeprefix(", ") if isinstance(lead, float) else ratio


def _meter(meter: Meter) -> str:
    return "direction TBC" if isinstance(meter.direction, Unknown) else DIRECTIONS.get(meter.direction, meter.direction)


def _board(board: Board) -> str:
    """Room on it: `24 ways`."""
    rooms = ((given(board, name), name) for name in ("ways", "modules"))
    return ", ".join(f"{name} TBC" if isinstance(room, Unknown) else f"{room} {name}" for room, name in rooms if room is not None)


def _array(array: Array) -> str:
    """Power of one module, where power and number are known."""
    known = isinstance(array.power, float) and isinstance(array.modules, int)
    return f"{array.power / array.modules:.0f} W a module" if known else ""


def _bond(bond: Bond) -> str:
    """The part that is bonded, and the size of its conductor."""
    part = "part TBC" if isinstance(bond.part, Unknown) else bond.part
    return ", ".join(word for word in (part, _amount(bond, "conductor", "conductor", "mm2")) if word)


WORDS: dict[type, Callable[[Any], str]] = {CurrentTransformer: _sensor, Meter: _meter, Board: _board, Array: _array, Bond: _bond}
