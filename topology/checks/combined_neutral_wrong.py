# SPDX-License-Identifier: MIT
"""A neutral that several units share and that their terminals do not take."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Circuit
from ._sources import AcSource, behind

__all__ = ["combined_neutral_wrong"]


@rule(each=Circuit, danger=True, by_status=True)
def combined_neutral_wrong(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Combined neutral that a type of the units on it does not allow, or that is too thick for a terminal it must go into.

    Why: strands cut off to fit a terminal leave a neutral that burns; without its neutral the voltage of each phase floats.
    Bad: neutral: {combined: 16 mm²} before units whose type says terminal: 10 mm²
    Good: neutral: {combined: 10 mm²}
    Source: the document of the type
    """
    if circuit.neutral is None:
        return
    area, largest = circuit.neutral.combined, circuit.neutral.largest
    types = {t.id: t for t in (site.type_of(s) for s in behind(circuit) if isinstance(s, AcSource))}
    for name, type_ in types.items():
        if type_.combined_neutral is False:
            yield Finding(circuit.neutral.mark, f"type {name} does not allow a combined neutral", "give each unit a neutral of its own",
                          objects=(circuit.id,))
    limits = [*([(largest, "its terminal")] if not isinstance(largest, Unknown) or largest.given else []),
              *((t.terminal, f"a terminal of type {name}") for name, t in types.items() if t.terminal is not None)]
    for limit, what in limits:
        if area > limit:
            yield Finding(circuit.neutral.mark, f"the combined neutral of '{circuit.id}' has {area:g} mm²; {what} takes {limit:g} mm²",
                          "use a terminal block with a tail that fits, or a thinner conductor if it carries the current", objects=(circuit.id,),
                          numbers={"area": Number(area, "mm²"), "allowed": Number(limit, "mm²")})
            return
