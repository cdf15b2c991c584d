# SPDX-License-Identifier: MIT
"""Strings in parallel that can drive more current into a faulty one than its modules stand."""
from __future__ import annotations

from collections.abc import Iterator

from ..electrical import solve
from ..errors import Finding, Number
from ..flow import Flows
from ..profiles import Entry
from ..rule import rule
from ..site import Array, HybridInverter, Inverter

__all__ = ["dc_string_not_protected"]


@rule(each=Inverter | HybridInverter, severity="warning", danger=True, limits=("string-protection",))
def dc_string_not_protected(inverter: Inverter | HybridInverter, site: Flows) -> Iterator[Finding]:
    """Array whose other strings can drive more current back into one string than its modules stand, with no fuse that keeps it below.

    Why: a fault in one string is fed by all others; without a fuse the modules carry it until something burns.
    Bad: arrays: [{power: 12 kW, strings: 4, string_current: 14 A, largest_fuse: 25 A}]
    Good: arrays: [{power: 12 kW, strings: 4, string_current: 14 A, largest_fuse: 25 A, string_fuse: 20 A}]
    Source: the profile's rule (string-protection): needed where (strings - 1) × Isc is above the largest fuse that the module allows
    """
    if not any(array.strings is not None for array in _arrays(inverter)):
        return
    entry: Entry = site.profiles.find("string-protection") or solve(site).given.figure("string-protection")
    if entry.value is not True:
        return
    for array in _arrays(inverter):
        if array.strings is None or array.strings <= 1:  # one string has no other that feeds it
            continue
        back = (array.strings - 1) * array.string_current
        most = array.largest_fuse + 0  # an Unknown raises
        if array.string_fuse is None and back > most:
            yield _finding(array, inverter, entry, f"{array.strings - 1} strings can drive {back:g} A into another one, no fuse in it", back, most)
        elif array.string_fuse is not None and array.string_fuse > most and back > most:
            yield _finding(array, inverter, entry, f"the fuse of {array.string_fuse:g} A in each string is too large", array.string_fuse, most)


def _arrays(inverter: Inverter | HybridInverter) -> tuple[Array, ...]:
    """The arrays of an inverter that are known."""
    return tuple(array for array in inverter.arrays if isinstance(array, Array)) if isinstance(inverter.arrays, tuple) else ()


def _finding(array: Array, inverter: Inverter | HybridInverter, entry: Entry, why: str, current: float, most: float) -> Finding:
    return Finding(array.mark, f"'{array.id}': {why}, and its modules allow {most:g} A", f"put a fuse of no more than {most:g} A into each string",
                   objects=(array.id, inverter.id), severity=entry.severity, source=entry.reference, numbers={"current": Number(current, "A"), "most": Number(most, "A")})
