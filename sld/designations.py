# SPDX-License-Identifier: MIT
"""Designations of objects: as the trade reads them (the ids of the site file), or after IEC 81346 with the signs = + -.

Letter codes: IEC 81346-2:2009, table 2, from memory; the 2019 edition changed some, and practice is split on whether a circuit-breaker is
Q or F: it is Q here. `=` is the function of a circuit (table 1 of the same, from memory), `+` the board or place, `-` the product.
"""
from __future__ import annotations

from collections import Counter
from typing import Any, Protocol

from topology.flow import Flows
from topology.graph import Bar, Joint, Pass
from topology.site import Board, Circuit, Load, Place, Storage, Terminal, Thing

from sld.facts import fact

__all__ = ["FUNCTION_LETTERS", "PRODUCT_LETTERS", "Designations", "designations"]

PRODUCT_LETTERS = {
    "Breaker": "QA", "Rcbo": "QA", "Contactor": "QA", "DisconnectionDevice": "QA", "InterfaceProtection": "QA", "Switch": "QB",
    "Isolator": "QB", "FuseSwitch": "QB", "Changeover": "QB", "Coupler": "QB", "Fuse": "FC", "Rcd": "FB", "SurgeArrester": "FA",
    "CurrentTransformer": "BC", "Meter": "PJ", "Filter": "RF", "NeutralEarthLink": "XE", "Junction": "XD", "Tap": "XF", "Cable": "WD", "Bus": "WF", "EarthBar": "WE",
    "Inverter": "TB", "ModuleInverters": "TB", "HybridInverter": "TB", "Storage": "GB", "Battery": "GB", "Array": "GC", "Generator": "GA",
    "Inlet": "XD", "Controller": "KF", "Load": "E"}
"""Letter code of a product by its class"""
LOAD_LETTERS = {"lighting": "EA", "heater": "EB", "hot water": "EB", "cooking": "EB", "air conditioning": "EP", "motor": "MA", "pump": "MA",
                "sockets": "XD", "EV supply": "XD"}
FUNCTION_LETTERS = {"source": "G", "storage": "C", "load": "E", "motion": "M", "feeder": "W", "control": "K"}
"""Letter of a circuit's function: generating, storing, giving heat or light, moving, guiding energy to a board, controlling"""


class Designations(Protocol):
    """How objects are called on a drawing; an empty text for what has no designation."""

    def of(self, obj: Any) -> str:
        """A device, a cable."""

    def location(self, obj: Any) -> str:
        """A board or place."""

    def function(self, circuit: Any) -> str:
        """A circuit."""


class Trade:
    """The ids that the user gave: MSB, INV1, CT1."""

    def of(self, obj: Any) -> str:
        """An automatic id is not shown."""
        return "" if "." in obj.id or isinstance(obj, Bar | Joint | Terminal) else str(obj.id)

    def location(self, obj: Any) -> str:
        """Its id."""
        return str(obj.id)

    def function(self, circuit: Any) -> str:
        """The way and the name say it."""
        return ""


class Structured:
    """IEC 81346: each product has its letters and a number; the user's own id follows so that schedules are understood."""

    def __init__(self, flows: Flows) -> None:
        self.products: dict[str, str] = {}
        self.functions: dict[str, str] = {}
        counts: Counter[str] = Counter()
        for obj in flows.objects.values():
            if isinstance(obj, Circuit):
                self.functions[obj.id] = self._next(counts, f"={_function_letter(obj)}")
            elif (letters := product_letters(obj)) and isinstance(obj, Thing):
                self.products[obj.id] = self._next(counts, f"-{letters}")

    def _next(self, counts: Counter[str], letters: str) -> str:
        """The next number for these letters, over the whole site: what stands in no board is told apart too."""
        counts[letters] += 1
        return f"{letters}{counts[letters]}"

    def of(self, obj: Any) -> str:
        """Product aspect; location is that of the enclosure it is drawn in."""
        core = getattr(obj, "core", obj) if isinstance(obj, Pass) else obj
        name, own = self.products.get(core.id, ""), "" if "." in core.id else str(core.id)
        return f"{name} ({own})" if name and own else name or own

    def location(self, obj: Any) -> str:
        """Location aspect."""
        return f"+{obj.id}"

    def function(self, circuit: Any) -> str:
        """Function aspect."""
        return self.functions.get(circuit.id, "")


def product_letters(obj: Any) -> str:
    """The letter code of a product, empty for what is none (boards and places are locations, circuits functions)."""
    if isinstance(obj, Load):
        return LOAD_LETTERS.get(obj.kind if isinstance(obj.kind, str) else "", PRODUCT_LETTERS["Load"])
    return "" if isinstance(obj, Board | Place | Circuit) else PRODUCT_LETTERS.get(type(obj).__name__, "")


def _function_letter(circuit: Circuit) -> str:
    """By what the circuit leads to."""
    end = circuit.feeds
    if isinstance(end, Storage):
        return FUNCTION_LETTERS["storage"]
    if end is not None:
        return FUNCTION_LETTERS["source" if isinstance(end, Thing) else "feeder"]
    moving = isinstance(circuit.load, Load) and fact(circuit.load, "kind") in ("motor", "pump")
    return FUNCTION_LETTERS["motion" if moving else "load" if circuit.load is not None else "feeder"]


def designations(flows: Flows) -> Designations:
    """As the site's drawing asks: trade designations, or those of IEC 81346."""
    return Structured(flows) if fact(flows.site, "drawing", "designations") == "iec81346" else Trade()
