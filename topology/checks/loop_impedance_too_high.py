# SPDX-License-Identifier: MIT
"""A circuit in which an earth fault is not disconnected in time."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import Electrical
from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Circuit
from ..soil import soil_part
from ._electrical import is_final, is_spare, on_site, weight

__all__ = ["loop_impedance_too_high"]


@rule(each=Circuit, danger=True)
def loop_impedance_too_high(circuit: Circuit, site: Flows) -> Iterator[Finding]:
    """Final subcircuit whose loop impedance is so high that neither its circuit-breaker nor a residual current device clears an earth fault.

    Why: metal parts stay live long enough to kill. The loop is the declared or measured one with the cables from there, hot; the trip current is
        the end of the breaker's band or its mean, as the profile says. Circuits to boards may take longer: their thermal curve is the maker's.
        Where the current returns through the soil (TT), earth-resistance-too-high and tt-circuit-without-rcd are asked instead.
    Bad: breaker: 20 A D 1P 6 kA before 2.5 mm² over 60 m with no residual current device
    Good: rcbo: 20 A C 1P+N 30 mA type A 6 kA at the same place
    Source: IEC 60364-4-41 clauses 411.3.2 and 411.4.4; basis of the trip current as the profile says (trip-basis, loop-voltage-factor)
    """
    if is_spare(circuit) or not is_final(circuit, site):
        return
    name = getattr(circuit.load or circuit.feeds, "id", "")
    solved = on_site(site, name)
    if solved is None or soil_part(name, site) is not None:
        return
    node = solved.node(name)
    faults = solved.faults
    residual, most = faults.residual(node), faults.largest_loop(node)
    loop, unless = _loop(solved, node, most)
    if residual is not None and faults.clearing(node).seconds is not None or most is not None and loop <= most:
        return
    device = faults.device(node)
    if most is None and device is not None:
        raise CannotTell(Unknown(device.mark, f"time-current curve of {device.id}", given=False))
    basis = solved.given.figure("trip-basis")
    limit = f"{most:.3f} ohm for '{device.id}'" if device is not None and most is not None else "none: no device breaks the current"
    yield Finding(circuit.mark, f"the earth-fault loop at the end of circuit '{circuit.id}' is {loop:.3f} ohm{unless}, at most allowed is {limit}",
                  "take a residual current device, a lower rating or curve, or larger conductors", objects=(circuit.id, name),
                  severity=weight(basis.found != "memory"),
                  numbers={"Zs": Number(round(loop, 4), "ohm"), "limit": Number(None if most is None else round(most, 4), "ohm")},
                  source=f"IEC 60364-4-41 clause 411.4.4; {basis.source}")


def _loop(solved: Electrical, node: int, most: float | None) -> tuple[float, str]:
    """The loop impedance [ohm], or the least that it can be where that is too much already, with what to add to the message."""
    try:
        return solved.faults.loop(node), ""
    except CannotTell as error:
        least = solved.faults.loop_at_least(node, [])
        if most is None or least <= most or solved.faults.residual(node) is not None:
            raise
        return least, f" at the least ({error.unknown.what} is not known)"
