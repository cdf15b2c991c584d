# SPDX-License-Identifier: MIT
"""Sources, arrays and batteries as the test record asks for them, with what their data let expect."""
from __future__ import annotations

from collections.abc import Iterator

from topology.array_voltage import REFERENCE_DEGC
from topology.electrical import solve
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.profiles import load_profile
from topology.profiles.entries import LimitEntry
from topology.quantity import show_quantity
from topology.site import Array, Battery, Generator, HybridInverter, Inlet, Operation, Storage

from .columns import dotted
from .isolating import called, source_switches
from .sourced import facts_of
from .tested_on import On, computed

__all__ = ["arrays", "backup", "batteries", "by_itself", "feeding", "limited", "paralleled", "storage"]

CURRENT_DATA = "by module data and irradiance"


def feeding(flows: Flows) -> Iterator[On]:
    """Sources that run beside the supply, with the voltage rise that is computed and the limit of the profile."""
    entry = flows.profiles.peek("voltage-rise-total") or load_profile("iec").limit("voltage-rise-total")
    for node in flows.sources:
        if not isinstance(flows.obj(node), Generator | Inlet):
            rise = computed("{:.2f} % computed, all sources at their rated power and no load", _rise, flows, node)
            yield On(node, {"rise": _most(flows, entry), "rise_expected": rise, "rise_source": entry.source, "found": entry.found,
                            "isolated": _isolated(flows, node)})


def _rise(flows: Flows, node: str) -> float:
    solved = solve(flows)
    return solved.share(solved.rise(solved.node(f"{node}.grid" if isinstance(flows.obj(node), HybridInverter) else node)))


def _most(flows: Flows, entry: LimitEntry) -> str:
    """The limit of the voltage rise in per cent and in volts."""
    if entry.value is None:
        return "TBC"
    words = f"≤ {show_quantity(entry.si, entry.unit)}"
    try:
        return f"{words}, ≤ {entry.si / 100 * solve(flows).given.u0:.3g} V" if entry.unit == "%" else words
    except CannotTell:
        return words


def _isolated(flows: Flows, node: str) -> str:
    """The switches that isolate a source."""
    found = next(s for s in source_switches(flows) if s.source == node)
    switches = dict.fromkeys(s for s in (found.local, found.main, *found.backup[:1], *(dc for dc, _ in found.direct_current)) if s)
    return ", ".join(called(flows, node) for node in switches) or "none found"


def arrays(flows: Flows) -> Iterator[On]:
    """Every array, with its open-circuit voltage, test voltage and short-circuit current by the data of its modules."""
    for array in flows.objects.values():
        if isinstance(array, Array):
            volts, test, least = _voltages(array)
            bonded = str(array.frame_bonded_to) if not isinstance(array.frame_bonded_to, Unknown | None) else "TBC"
            yield On(array.id, {"voc": volts, "isc": _current(array), "test": test, "least": least, "bonded": bonded})


def _voltages(array: Array) -> tuple[str, str, str]:
    """Open-circuit voltage, voltage of the insulation test and its limit, in words; general words where the data are not given."""
    steps = facts_of("arraytests")
    if not isinstance(array.in_string, int) or not isinstance(array.module_voltage, float):
        *others, last = (row["test"].removesuffix(" V") for row in steps)
        return "by module data and temperature", f"{', '.join(others)} or {last} V by {steps[-1]['margin']} times the open-circuit voltage", steps[-1]["least"]
    volts = array.in_string * array.module_voltage
    slope = array.voltage_coefficient
    more = f", {volts * slope / 100:+.2g} V for each kelvin more" if isinstance(slope, float) else ""
    row = next(row for row in steps if not row["up_to_v"] or float(row["margin"]) * volts <= float(row["up_to_v"]))
    coldest = float(row["margin"]) * volts
    return f"{volts:.4g} V at {REFERENCE_DEGC:g} °C{more}", f"{row['test']} for {coldest:.4g} V, {row['margin']} times the open-circuit voltage", row["least"]


def _current(array: Array) -> str:
    if not isinstance(array.string_current, float):
        return CURRENT_DATA
    return f"{show_quantity(array.string_current, 'A')} each string at 1000 W/m², in proportion to irradiance"


def paralleled(flows: Flows) -> Iterator[On]:
    """Arrays with more than one string in parallel."""
    several = {o.id for o in flows.objects.values() if isinstance(o, Array) and isinstance(o.strings, int) and o.strings > 1}
    yield from (on for on in arrays(flows) if on.id in several)


def batteries(flows: Flows) -> Iterator[On]:
    """Every battery on the direct-current side of an inverter."""
    yield from (On(o.id) for o in flows.objects.values() if isinstance(o, Battery))


def storage(flows: Flows) -> Iterator[On]:
    """Storage units, and inverters with a battery."""
    operation = flows.site.operation
    said = operation.charge_from_grid if isinstance(operation, Operation) else None
    grid = {True: "allowed", False: "off"}.get(said, "TBC") if isinstance(said, bool) else "TBC"
    for node in flows.sources:
        obj = flows.obj(node)
        if isinstance(obj, Storage) or isinstance(getattr(obj, "battery", None), Battery):
            yield On(node, {"grid": grid})


def backup(flows: Flows) -> Iterator[On]:
    """Sources that feed loads without the supply."""
    yield from (On(node) for node in flows.backs_up)


def by_itself(flows: Flows) -> Iterator[On]:
    """Sources that take over without a person; an inlet and a generator that is started by hand do not."""
    for node in flows.backs_up:
        obj = flows.obj(node)
        if not isinstance(obj, Inlet) and not (isinstance(obj, Generator) and isinstance(obj.starts, str) and obj.starts == "manual"):
            yield On(node)


def limited(flows: Flows) -> Iterator[On]:
    """The point of supply of a site with an export limit."""
    export = dotted(flows.site.limits, "export")
    if isinstance(export, float) and flows.root:
        yield On(flows.root, {"export": show_quantity(export, "W")})
