# SPDX-License-Identifier: MIT
"""What the site file and its profiles give to the computation: voltages, temperatures, tables, fault levels."""
from __future__ import annotations

import math
import re
from functools import cached_property
from typing import Any

from ..capacity import Capacity
from ..dataclass import dataclass
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..profiles import Entry, load_profile
from ..quantity import QuantityError, parse_quantity
from ..site import Board, Cable, Circuit, Supply
from ..sweep import balanced
from ..tables import Tables, shipped

__all__ = ["FaultLevel", "Given", "known"]

LEVEL = re.compile(r"\s*([\d.]+\s*[^\s\d]+)\s+(?:(measured|declared|calculated)\s+)?at\s+(.+?)\s*")


def known(value: Any) -> Any:
    """A value of the site file. Raises CannotTell where it is not known."""
    if isinstance(value, Unknown):
        raise CannotTell(value)
    return value


@dataclass(frozen=True, slots=True)
class FaultLevel:
    """What is known at one place. value: [A] of a fault current, [ohm] of a loop; node: where; how: measured, declared or calculated, with working."""

    value: float
    node: str
    how: str
    working: str = ""


class Given:
    """Inputs of the computation, each looked up once; a property raises CannotTell where its input is not known.

    at_once : a diversity that is open is taken as 100 %, a load whose power is open as all that its device lets through
    """

    def __init__(self, flows: Flows, at_once: bool = False) -> None:
        self.flows, self.at_once = flows, at_once
        self.layings: dict[tuple[str, ...], Any] = {}
        self.capacities: dict[tuple[Any, ...], Capacity] = {}
        self._numbers: dict[str, Entry] = {}

    @cached_property
    def tables(self) -> Tables:
        """The tables of the site's own, then those that ship."""
        return Tables([*self.flows.read.tables, *shipped().all])

    @cached_property
    def supply(self) -> Supply:
        """The supply."""
        supply: Supply = known(self.flows.site.supply)
        return supply

    @cached_property
    def rings(self) -> dict[str, Any]:
        """What `ring:` says of the circuits that are or may be ring finals, by the ids of their cables in line."""
        circuits = (c for c in self.flows.objects.values() if isinstance(c, Circuit) and c.ring is not False)
        return {item.id: c.ring for c in circuits for item in (c.in_line if isinstance(c.in_line, tuple) else ()) if isinstance(item, Cable)}

    def ring_share(self, cable: Cable) -> float:
        """What counts of the impedance of a cable: a quarter where it is a ring with the load at its middle, all of it otherwise [-].

        Law: at the share x of its length a ring has x (1 - x) of the impedance of the whole, a quarter at the most. Raises CannotTell
        where it may be a ring.
        """
        return 0.25 if cable.id in self.rings and known(self.rings[cable.id]) else 1.0

    @cached_property
    def u0(self) -> float:
        """Nominal voltage phase to neutral [V]."""
        system = known(self.supply.system)
        return float(system.phase_voltage)

    @cached_property
    def hertz(self) -> float:
        """Frequency of the supply [Hz]; 50 where the file does not say it."""
        said = known(self.supply.system).frequency
        return 50.0 if isinstance(said, Unknown) else float(said)

    @cached_property
    def source(self) -> tuple[complex, complex, complex]:
        """Voltages of the three phases of the supply [V]; zero for one that it does not have."""
        system = known(self.supply.system)
        phases = known(system.code)[0]
        if phases == 2 and system.degrees == 120:
            a, b, _ = balanced(self.u0)
            return a, b, 0j
        return balanced(self.u0, phases)

    @property
    def phases(self) -> int:
        """Number of phases of the supply."""
        return int(known(known(self.supply.system).code)[0])

    @cached_property
    def profiles(self) -> tuple[str, ...]:
        """The profiles of the site by name, the international one last."""
        named = self.flows.site.profile
        said = [name for name in named if isinstance(name, str)] if isinstance(named, tuple) else []
        return tuple(dict.fromkeys([*said, "iec"]))

    def figure(self, name: str) -> Entry:
        """A figure of the site's profiles on the day work begins, as the site sets it, else of the international one.

        Raises CannotTell where none has it.
        """
        chosen = self.flows.profiles
        for entry in (chosen.peek(name), load_profile("iec").find(name, chosen.on)):
            if entry is not None and entry.value is not None:
                return entry
        raise CannotTell(Unknown(self.flows.site.mark, f"{name.replace('-', ' ')} of the profile", given=False))

    def number(self, name: str) -> float:
        """The number of a figure."""
        value = self.figure(name).value
        assert isinstance(value, float), name
        return value

    @cached_property
    def largest(self) -> FaultLevel:
        """The largest prospective fault current that is declared [A]."""
        faults = known(self.supply.faults)
        return self._level(known(faults.largest), "A", faults, "largest")

    @cached_property
    def loop(self) -> FaultLevel:
        """The earth-fault loop impedance that is declared or was measured [ohm]."""
        faults = known(self.supply.faults)
        return self._level(known(faults.loop), "ohm", faults, "loop")

    def _level(self, text: str, unit: str, faults: Any, key: str) -> FaultLevel:
        words = {"largest": "largest fault current", "loop": "loop impedance"}[key]
        open_ = Unknown(faults.marks.get(key, faults.mark), f"{words} with its place (say {'6 kA' if unit == 'A' else '0.4 ohm'} at point of supply)")
        found = LEVEL.fullmatch(text)
        if found is None:
            raise CannotTell(open_)
        try:
            value = parse_quantity(found[1], unit)
        except QuantityError:
            raise CannotTell(open_) from None
        node = self._place(found[3])
        if node is None or not math.isfinite(value) or value <= 0:
            raise CannotTell(open_)
        return FaultLevel(value, node, found[2] or "declared")

    def _place(self, words: str) -> str | None:
        """The node of a place in words: the point of supply, or a board by its id or name."""
        if words.casefold().removeprefix("the ") == "point of supply":
            return self.flows.root
        boards = [node for node, obj in self.flows.graph.nodes(data="obj") if isinstance(obj, Board) and words in (obj.id, obj.name)]
        return boards[0] if boards else None
