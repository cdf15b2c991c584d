# SPDX-License-Identifier: MIT
"""A load on the circuit of a source."""
from __future__ import annotations

from ..errors import Finding
from ..flow import Flows
from ..rule import rule
from ..site import Circuit, Load, Rcbo, Rcd, Source
from ._sources import behind, is_outermost, spare
from ._words import listed

__all__ = ["load_on_generation_circuit"]


@rule(each=Circuit, danger=True, by_status=True)
def load_on_generation_circuit(circuit: Circuit, site: Flows) -> Finding | None:
    """Circuit of a board that ends at a source and at a load.

    Why: the cable can then carry the current of its breaker and that of the source together, and the breaker does not see the sum.
    Bad: a local bar with the inverter and a socket outlet
    Good: a circuit of its own for each
    Source: IEC 60364-7-712 and AS/NZS 4777.1 (a dedicated circuit for the inverter), from memory
    """
    if not is_outermost(circuit, site) or not isinstance(circuit.circuits, tuple) or not circuit.circuits:
        return None
    if isinstance(circuit.in_line, tuple) and any(isinstance(d, Rcd | Rcbo) for d in circuit.in_line):
        return None  # source-behind-shared-rcd says it
    ends = list(behind(circuit))
    sources = [e.id for e in ends if isinstance(e, Source)]
    loads = [e.id for e in ends if isinstance(e, Load) and not spare(e)]
    if not sources or not loads:
        return None
    return Finding(circuit.mark, f"circuit '{circuit.id}' feeds {listed(loads)} beside {listed(sources)}",
                   "give the source a circuit of its own", objects=(circuit.id, *sources, *loads))
