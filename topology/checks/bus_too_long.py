# SPDX-License-Identifier: MIT
"""A bus that is longer than its type allows."""
from __future__ import annotations

from collections.abc import Iterator

from ..errors import Finding, Number
from ..flow import Flows
from ..quantity import show_quantity
from ..rule import rule
from ..signals import longest_line_m
from ..site import Bus, Segment

__all__ = ["bus_too_long"]


@rule(each=Bus)
def bus_too_long(bus: Bus, site: Flows) -> Iterator[Finding]:
    """Bus whose segments together are longer than its type allows, or than a balanced line reaches at its bit rate.

    Why: the longer the line, the weaker and the later the signal; a bus over its length works at first and fails when something is added.
        Whether the rate allows the length is from memory and only warns.
    Bad: segments of 70 m in all on a bus whose type says max_length: 60 m
    Good: a shorter way for the bus cable, or a type of bus that allows it
    Source: Modbus over Serial Line guide V1.02, 3.4.3 (1000 m at 9600 baud); else the document of the type; length against rate: annex of TIA-422-B, from memory
    """
    segments = [s for s in bus.segments if isinstance(s, Segment)]
    if not segments:
        return
    known = sum(s.length for s in segments if isinstance(s.length, float))
    least = "" if all(isinstance(s.length, float) for s in segments) else "at least "
    reach = None if bus.rate is None else longest_line_m(bus.rate)
    if reach is not None and known > reach:
        yield Finding(bus.mark, f"bus '{bus.id}' is {least}{known:g} m long; at {show_quantity(bus.rate, 'bit/s')} a balanced line reaches {reach:g} m",
                      "run it at a lower rate, or find a shorter way from device to device", objects=(bus.id,), severity="warning",
                      numbers={"length": Number(known, "m"), "allowed": Number(reach, "m")})
    most = site.type_of(bus).max_length
    if known > most:
        yield Finding(bus.mark, f"bus '{bus.id}' is {least}{known:g} m long; its type allows {most:g} m",
                      "find a shorter way from device to device, or use a type of bus that allows it", objects=(bus.id,),
                      numbers={"length": Number(known, "m"), "allowed": Number(most, "m")})
    else:
        sum((s.length for s in segments), 0.0)  # one that is TBC raises: it could be too long
