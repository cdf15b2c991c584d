# SPDX-License-Identifier: MIT
"""The computation along the way to one place, printed with its working: what a designer checks by hand."""
from __future__ import annotations

from collections.abc import Callable, Iterator

from ..errors import CannotTell
from ..flow import Flows
from ..quantity import show_quantity
from ..site import Cable, CablePart, ModuleInverters
from .assumed import computed_assumptions
from .conductors_of import part_z, parts_of
from .operating import CASES
from .solved import NAMES, Electrical

__all__ = ["working"]


def working(flows: Flows, solved: Electrical, name: str) -> str:
    """The computation from the point of supply to a node or cable, cable by cable, as text.

    Where an input is open the line says what is missing. Raises CannotTell where the supply does not reach the place.
    """
    node = solved.tree.cables[name] if name in solved.tree.cables else solved.node(name)
    way = [n for n in reversed(list(solved.tree.up(node, itself=True))) if n in set(solved.tree.cables.values())]
    lines = [f"Way to {name}: {' → '.join([flows.root or '', *(solved.tree.ids[n] for n in way)])}"]
    for place in way:
        lines += ["", *_cable(solved, place)]
    lines += ["", *_place(solved, node), "", *(f"Assumed: {text}." for text in computed_assumptions(flows))]
    return "\n".join(lines)


def _said(label: str, question: Callable[[], str]) -> str:
    """A line, or what is missing for it."""
    try:
        return f"  {label:<12}{question()}"
    except CannotTell as error:
        return f"  {label:<12}cannot tell: {error.unknown.what} is not known"


def _cable(solved: Electrical, node: int) -> Iterator[str]:
    link = solved.link(node)
    cable = link.run
    assert isinstance(cable, Cable)
    yield f"{cable.id} to {solved.tree.ids[node]}"
    yield _said("Ib", lambda: solved.design(node).working)
    for case in CASES:
        yield _said(f"  {case}", lambda case=case: _currents(solved, node, case))  # type: ignore[misc]
    yield _said("In", lambda: _rated(solved, node))
    try:
        for number, part in enumerate(parts_of(cable)):
            yield from _part(solved, node, part, number)
    except CannotTell as error:
        yield f"  cannot tell: {error.unknown.what} is not known"


def _currents(solved: Electrical, node: int, case: str) -> str:
    volts = solved.voltages[case]
    volts.told(node)
    return ", ".join(f"{name} {abs(current):.2f} A" for name, current in zip(NAMES, volts.currents[node], strict=True))


def _rated(solved: Electrical, node: int) -> str:
    rated, device = solved.rated(node), solved.faults.device(node)
    return "no device limits the current" if device is None or rated is None else f"{rated:g} A, {device.word} {device.id}"


def _part(solved: Electrical, node: int, part: CablePart, number: int) -> Iterator[str]:
    def impedance() -> str:
        z = part_z(solved.given, part)
        return f"{z.real:.4f} + j{z.imag:.4f} ohm for {part.parallel}x {show_quantity(part.area, 'mm2')} over {part.length:g} m, hot"

    def carries() -> str:
        found = solved.capacity(node, part)
        return f"{found.working} ({found.rows[0].source}; {found.rows[0].found})"
    yield _said("Z", impedance)
    yield _said("Iz", carries)
    yield _said("rise here", lambda: solved.voltages["export"].linear_part(node, number).working)
    yield _said("drop here", lambda: solved.voltages["demand"].linear_part(node, number).working)

    def size() -> str:
        found, far = solved.smallest(node, part), solved.longest(node, part)
        smallest = "no standard size passes" if found is None else f"{found.area_mm2:g} mm², governed by {found.governed_by}"
        return f"{smallest}; longest at its size {far:.1f} m" if far is not None else smallest
    yield _said("smallest", size)


def _place(solved: Electrical, node: int) -> Iterator[str]:
    """What holds at the end of the way."""
    yield f"At {solved.tree.ids[node]}"
    obj = solved.tree.obj(node)
    yield _said("rise", lambda: _both(solved, solved.linear_rise(node), solved.rise(node)))
    if isinstance(obj, ModuleInverters):
        yield _said("  trunk", lambda: f"{sum(solved.trunk_rise(obj, part) for part in parts_of(obj.trunk)):.2f} V to its last inverter")
    yield _said("drop", lambda: _both(solved, solved.linear_drop(node), solved.drop(node)))
    yield _said("Ik largest", lambda: f"{solved.faults.largest(node).working}; inverters add up to {solved.faults.of_inverters():.0f} A")
    yield _said("Ik smallest", lambda: solved.faults.smallest(node).working)
    yield _said("Zs", lambda: _loop(solved, node))
    yield _said("cleared", lambda: f"{solved.faults.clearing(node).by}: {solved.faults.clearing(node).working}")


def _both(solved: Electrical, linear: float, swept: float) -> str:
    return f"{linear:.2f} V, {solved.share(linear):.2f} % linear; {swept:.2f} V, {solved.share(swept):.2f} % four-wire"


def _loop(solved: Electrical, node: int) -> str:
    most = solved.faults.largest_loop(node)
    return f"{solved.faults.loop(node):.3f} ohm" + (f", at most {most:.3f} ohm" if most is not None else "") + ", resistances hot with 0.004/K (IEC 60909-0)"
