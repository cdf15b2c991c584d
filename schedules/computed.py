# SPDX-License-Identifier: MIT
"""Cells that are computed: currents, voltages, faults; "cannot tell" where an input is open, with what is missing in a column of its own.

Columns of the circuit and the cable schedule that mean the same are declared here once. All numbers hold for the steady state at the
nominal voltage and 50 Hz without harmonics; the tables behind them stand in topology/tables with their editions.
"""
from __future__ import annotations

from collections.abc import Callable
from typing import Any

from topology.electrical.assumed import computed_assumptions
from topology.errors import CannotTell, Unknown
from topology.flow import Flows

from .columns import Cell, Column, dotted

__all__ = ["CANNOT_TELL", "CAPACITY", "CAPACITY_BY", "CLEARING", "COMPUTED", "DESIGN", "DESIGN_BY", "DROP", "DROP_LINEAR", "DROP_SEGMENT", "GOVERNED",
           "IK_MAX", "IK_MIN", "LONGEST", "MISSING", "ON_BACKUP", "RISE", "RISE_LINEAR", "RISE_SEGMENT", "SMALLEST", "TIME", "ZS", "ZS_MOST", "Asked", "notes", "working"]

CANNOT_TELL = "cannot tell"
COMPUTED = "computed values"
"""The part of a schedule that these columns are printed in."""

DESIGN = Column("design current Ib", "A", digits=1, part=COMPUTED)
DESIGN_BY = Column("Ib is given by", part=COMPUTED)
CAPACITY = Column("capacity Iz", "A", digits=1, part=COMPUTED)
CAPACITY_BY = Column("Iz is", part=COMPUTED)
RISE_SEGMENT = Column("rise here linear", "V", digits=2, part=COMPUTED)
RISE_LINEAR = Column("rise in all linear", "%", digits=2, part=COMPUTED)
RISE = Column("rise in all four-wire", "%", digits=2, part=COMPUTED)
DROP_SEGMENT = Column("drop here linear", "V", digits=2, part=COMPUTED)
DROP_LINEAR = Column("drop in all linear", "%", digits=2, part=COMPUTED)
DROP = Column("drop in all four-wire", "%", digits=2, part=COMPUTED)
SMALLEST = Column("smallest size", "mm²", part=COMPUTED)
GOVERNED = Column("size is governed by", part=COMPUTED)
LONGEST = Column("longest at this size", "m", digits=1, part=COMPUTED)
IK_MAX = Column("Ik largest", "kA", -3, digits=2, part=COMPUTED)
IK_MIN = Column("Ik smallest", "A", digits=0, part=COMPUTED)
ZS = Column("loop Zs", "ohm", digits=3, part=COMPUTED)
ZS_MOST = Column("loop at most", "ohm", digits=3, part=COMPUTED)
TIME = Column("disconnection", "s", part=COMPUTED)
CLEARING = Column("disconnected by", part=COMPUTED)
ON_BACKUP = Column("on backup disconnected by", part=COMPUTED)
MISSING = Column("not told for want of", part=COMPUTED, aside=True, several=True)


class Asked:
    """Asks the computation and keeps what it lacked. missing: what is not known, each once."""

    def __init__(self) -> None:
        self.missing: list[str] = []

    def tell(self, question: Callable[[], Any]) -> Cell:
        """The answer, or "cannot tell"."""
        try:
            answer = question()
        except CannotTell as error:
            self._lacks(error.unknown)
            return CANNOT_TELL
        if isinstance(answer, Unknown):
            self._lacks(answer)
            return CANNOT_TELL
        return answer  # type: ignore[no-any-return]

    def _lacks(self, unknown: Unknown) -> None:
        if unknown.what not in self.missing:
            self.missing.append(unknown.what)


def working(capacity: Any) -> Any:
    """How a capacity was reached, without its result, which stands in the column beside it."""
    words = dotted(capacity, "working")
    return words.rpartition(" = ")[0] or words if isinstance(words, str) else words


def notes(flows: Flows) -> dict[str, tuple[str, ...]]:
    """What the head of a schedule with computed columns says of them, by their part."""
    return {COMPUTED: tuple(f"Computed: {assumed}." for assumed in computed_assumptions(flows))}
