# SPDX-License-Identifier: MIT
"""The computation along the way to one place, printed with its working: what a designer checks by hand."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..errors import CannotTell
from ..flow import Flows
from ..quantity import show_quantity
from ..site import Board, Cable, CablePart, ModuleInverters
from ..soil import earth_resistances, soil_part, touch_voltage
from .assumed import computed_assumptions
from .conductors_of import CableZ, part_z, parts_of
from .ending import ending, said
from .given import known
from .laying import laying_of
from .operating import CASES
from .solved import NAMES, Electrical
from .voltages import Voltages

__all__ = ["working"]


def working(flows: Flows, solved: Electrical, name: str) -> str:
    """The computation from the point of supply to a node or cable, cable by cable, as text.

    Where an input is open the line says what is missing. Raises CannotTell where the supply does not reach the place.
    """
    node = solved.tree.cables[name] if name in solved.tree.cables else solved.node(name)
    with_cable = set(solved.tree.cables.values())
    way = [n for n in reversed(list(solved.tree.up(node, itself=True))) if n in with_cable]
    lines = [f"Way to {name}: {' → '.join(_stations(solved, node, name, with_cable))}"]
    for place in way:
        lines += ["", *_cable(solved, place)]
    lines += ["", f"At {name if name in solved.tree.index else f'the far end of {name}'}"]
    lines += [*ending(solved, node, solved.tree.obj(node) if name in solved.tree.index else None), *_place(solved, node, way)]
    lines += ["", *(f"Assumed: {text}." for text in computed_assumptions(flows))]
    return "\n".join(lines)


def _stations(solved: Electrical, node: int, name: str, with_cable: set[int]) -> Iterator[str]:
    """The point of supply, then every cable and board on the way, then the place itself."""
    tree = solved.tree
    for place in reversed(list(tree.up(node, itself=True))):
        if place in with_cable:
            yield solved.link(place).run.id  # type: ignore[union-attr]
        if not place or place == node and name in tree.index or isinstance(tree.obj(place), Board):
            yield tree.ids[place]


def _cable(solved: Electrical, node: int) -> Iterator[str]:
    link = solved.link(node)
    cable = link.run
    assert isinstance(cable, Cable)
    yield f"{cable.id} to {solved.tree.ids[node]}"
    yield said("Ib", lambda: solved.design(node).working)
    for case in CASES:
        yield said(f"  {case}", lambda case=case: _currents(solved, node, case))  # type: ignore[misc]
    yield said("In", lambda: _rated(solved, node))
    try:
        for number, part in enumerate(parts_of(cable)):
            yield from _part(solved, node, cable, part, number)
    except CannotTell as error:
        yield f"  cannot tell: {error.unknown.what} is not known"


def _currents(solved: Electrical, node: int, case: str) -> str:
    volts = solved.voltages[case]
    volts.told(node)
    return ", ".join(f"{name} {abs(current):.2f} A" for name, current in zip(NAMES, volts.flowing(node), strict=True))


def _rated(solved: Electrical, node: int) -> str:
    rated, device = solved.rated(node), solved.faults.device(node)
    return "no device limits the current" if device is None or rated is None else f"{rated:g} A, {device.word} {device.id}"


def _part(solved: Electrical, node: int, cable: Cable, part: CablePart, number: int) -> Iterator[str]:
    def impedance() -> str:
        share = solved.given.ring_share(cable)
        words = f"for {part.parallel}x {show_quantity(part.area, 'mm2')} over {part.length:g} m, hot"
        return f"{_ohm(part_z(solved.given, part) * share)} {words}" + (f", a quarter of the ring of {part.length:g} m: at its middle" if share < 1 else "")

    def carries() -> str:
        found = solved.capacity(node, part)
        laid = "" if part.capacity is not None else f"method {laying_of(solved.given, part).method} for '{laying_of(solved.given, part).words}': "
        return f"{laid}{found.working} ({found.rows[0].source}; {found.rows[0].found})"
    yield said("Z", impedance)
    yield said("Iz", carries)
    yield said("rise here", lambda: _here(solved.voltages["export"], node, number))
    yield said("drop here", lambda: _here(solved.voltages["demand"], node, number))
    yield said("smallest", lambda: _size(solved, node, part))


def _ohm(z: complex) -> str:
    return f"{z.real:.4f} + j{z.imag:.4f} ohm"


def _here(volts: Voltages, node: int, number: int) -> str:
    """The linear change along a part, with the current that counts taken apart."""
    found = volts.linear_part(node, number)
    phase = max(volts.tree.phases(node), key=lambda p: volts.amperes(node, p), default=0)
    line, neutral = (abs(volts.flowing(node)[place]) for place in (phase, 3))
    return f"{found.working} ({NAMES[phase]} {line:.2f} A + N {neutral:.2f} A)" if neutral > 0.005 else found.working


def _size(solved: Electrical, node: int, part: CablePart) -> str:
    found, far = solved.smallest(node, part), solved.longest(node, part)
    smallest = "no standard size passes" if found is None else f"{found.area_mm2:g} mm², governed by {found.governed_by}"
    return f"{smallest}; longest at its size {far:.1f} m" if far is not None else smallest


def _place(solved: Electrical, node: int, way: list[int]) -> Iterator[str]:
    """What holds at the end of the way."""
    obj = solved.tree.obj(node)
    yield said("rise", lambda: _change(solved, node, way, "export"))
    if isinstance(obj, ModuleInverters):
        yield said("  trunk", lambda: f"{sum(solved.trunk_rise(obj, part) for part in parts_of(obj.trunk)):.2f} V to its last inverter")
    yield said("drop", lambda: _change(solved, node, way, "demand"))
    yield said("Ik largest", lambda: f"{solved.faults.largest(node).working}; inverters add up to {solved.faults.of_inverters():.0f} A")
    yield said("  is", lambda: _way(solved, node, cold=True))
    yield said("Ik smallest", lambda: solved.faults.smallest(node).working)
    yield said("Zs", lambda: _loop(solved, node))
    yield said("  is", lambda: _way(solved, node, cold=False))
    yield from _electrode(solved, node)
    yield said("cleared", lambda: f"{solved.faults.clearing(node).by}: {solved.faults.clearing(node).working}")
    try:
        backup = solved.faults.on_backup(node)
    except CannotTell as error:
        yield f"  {'on backup':<12}cannot tell: {error.unknown.what} is not known"
    else:
        yield from [f"  {'on backup':<12}{backup.by}: {backup.working}"] if backup is not None else []


def _change(solved: Electrical, node: int, way: list[int], case: str) -> str:
    """The change from the point of supply by both methods, the linear one cable by cable, and what the profile allows."""
    volts = solved.voltages[case]
    linear = volts.linear_total(node)
    swept = solved.rise(node) if case == "export" else solved.drop(node)
    each = _each(volts, node, way)
    added = f"{' + '.join(f'{value:.2f} ({name})' for name, value in each)} = " if len(each) > 1 else ""
    limit = _limit(solved, case)
    return f"{added}{linear:.2f} V, {solved.share(linear):.2f} % linear; {swept:.2f} V, {solved.share(swept):.2f} % four-wire{limit}"


def _each(volts: Voltages, node: int, way: list[int]) -> list[tuple[str, float]]:
    """What each cable on the way adds in the phase that governs at its end [V]."""
    def share(place: int, phase: int) -> float:
        z: Any = volts._z[place]
        return volts.amperes(place, phase) * z.phase.real if isinstance(z, CableZ) else 0.0
    phase = max(volts.tree.phases(node), key=lambda p: sum(share(place, p) for place in way), default=0)
    names = [volts.tree.links[place].run.id for place in way]  # type: ignore[union-attr]
    return list(zip(names, (share(place, phase) for place in way), strict=True))


def _limit(solved: Electrical, case: str) -> str:
    try:
        limit = solved.given.figure({"export": "voltage-rise-total", "demand": "voltage-drop"}[case])
    except CannotTell:
        return ""
    return f"; limit {limit.shown}, profile {limit.profile}"


def _way(solved: Electrical, node: int, cold: bool) -> str:
    """What the impedance behind a fault current or a loop is made of."""
    level, cables = solved.faults.way(node, cold)
    by = f" ({level.working})" if level.working else ""
    if cold:
        start = f"{level.value / 1000:.4g} kA {level.how} at {level.node}{by}"
        return " and ".join([start, *(f"{name} {_ohm(z.phase)}" for name, z in cables)]) + (", cables at 20 °C" if cables else "")
    start = f"{level.value:.4g} ohm {level.how} at {level.node}{by}"
    both = [f"{name} {_ohm(z.phase)} and {_ohm(z.protective or 0j)}" for name, z in cables]
    return " and ".join([start, *both]) + (", line and protective conductor hot" if cables else "")


def _loop(solved: Electrical, node: int) -> str:
    by_electrode = soil_part(solved.tree.ids[node], solved.flows) is not None and solved.faults.residual(node) is not None
    most = None if by_electrode else solved.faults.deciding_loop(node)
    return f"{solved.faults.loop(node):.3f} ohm" + (f", at most {most:.3f} ohm" if most is not None else "") + ", resistances hot with 0.004/K (IEC 60909-0)"


def _electrode(solved: Electrical, node: int) -> Iterator[str]:
    """What a residual current device asks of the electrode where the fault current returns through the soil (TT); nothing elsewhere."""
    part = soil_part(solved.tree.ids[node], solved.flows)
    device = solved.faults.residual(node)
    if part is None or device is None:
        return

    def asked() -> str:
        touch, residual = touch_voltage(solved.flows), known(device.residual)
        return f"at most {touch.si:g} V / {residual * 1000:g} mA ({device.id}) = {touch.si / residual:.0f} ohm (IEC 60364-4-41, 411.5.3)"

    def gives() -> str:
        ohm, residual = min(earth_resistances(part, solved.flows)[0]), known(device.residual)
        return f"{ohm:g} ohm × {residual * 1000:g} mA = {ohm * residual:.1f} V to earth"
    yield said("RA", asked)
    yield said("  is", gives)
