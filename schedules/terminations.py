# SPDX-License-Identifier: MIT
"""Termination schedule, core by core: at each end of each cable, lead and bus segment the terminal, the colour and the ferrule."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Bar, Joint, Pass
from topology.kinds import Said
from topology.site import Board, Bus, Cable, CurrentTransformer, EarthBar, Filter, Input, Meter, Segment, Supply, Switching

from .cables import parts_of
from .columns import BOARD, CIRCUIT, ID, STATUS, Cell, Column, Table, build, dotted
from .sourced import facts_of, profiles_of
from .walk import Found, find, kind_of

__all__ = ["colour_of", "terminations"]

THROUGH = (CurrentTransformer, Pass, Filter)
"""What a conductor goes through without being terminated: sensors, ferrites."""
UNSAID = "as the maker says"


@dataclass(frozen=True, eq=False)
class _Core:
    """One core at one end. run: id of the cable, segment or lead."""

    run: str
    end: str
    device: Cell
    terminal: Cell
    conductor: str
    colour: str
    ferrule: str
    size: Cell
    board: str
    circuit: str
    status: Cell


def terminations(flows: Flows) -> Table:
    """The termination schedule. Colours of new work are those of the site's first profile; what exists is checked on site."""
    notes = ("Terminal numbers follow the usual marks of switchgear (odd towards the supply, even away from it; IEC 60947-1, from memory). "
             "The marks on the equipment prevail.",
             "Colours are proposals for new work. Existing conductors may have other colours: identify each by test.")
    lines = [*_power(flows), *_leads(flows), *_segments(flows)]
    return build("terminations", "Termination schedule", COLUMNS, lines, (*notes, *_sources(flows)))


def _profile(flows: Flows) -> str:
    """The first profile of the site; iec where it names none."""
    return next(iter(profiles_of(flows)), "iec")


def _sources(flows: Flows) -> Iterator[str]:
    """Where the colours come from, each source once."""
    rows = [row for row in facts_of("colours") if row["profile"] == _profile(flows)]
    for source in dict.fromkeys((row["source"], row["found"]) for row in rows):
        of = ", ".join(row["conductor"] for row in rows if (row["source"], row["found"]) == source)
        yield f"Colours of {of}: {source[0]} ({source[1]})."


def colour_of(profile: str, conductor: str, phases: int) -> str:
    """Colour of a conductor in a cable with so many phases; TBC where the facts have none for the profile."""
    name = "L" if conductor in ("L1", "L2", "L3") and phases == 1 else conductor
    row = next((row for row in facts_of("colours") if row["profile"] == profile and row["conductor"] == name), None)
    return row["colour"] if row else "TBC"


# ---- power cables ----------------------------------------------------------------------------------------------------

def _power(flows: Flows) -> Iterator[_Core]:
    bars = {bar.place.id: bar.id for bar in reversed(flows.objects.values()) if isinstance(bar, EarthBar) and isinstance(bar.place, Said)}
    edges = {id(data["obj"].run): (u, v, data) for u, v, data in flows.graph.edges(data=True) if isinstance(data["obj"].run, Cable)}
    for found in find(flows, Cable):
        edge = edges.get(id(found.obj))
        if edge is not None:
            u, v, data = edge
            yield from _cable(flows, bars, found, (u, v), data)


def _cable(flows: Flows, bars: dict[str, str], found: Found, ends: tuple[str, str], edge: dict[str, Any]) -> Iterator[_Core]:
    """The cores of a cable at both ends. bars: earth bars by the board whose protective conductors they hold."""
    cable, link = found.obj, edge["obj"]
    names = ("L+", "L-") if edge["layer"] == "dc" else conductors.names(link.conductors)
    phases = len(conductors.phase_names(link.conductors))
    new = isinstance(cable.status, str) and cable.status != "existing"
    first, last = parts_of(cable)[0], parts_of(cable)[-1]
    for end, node, part, side in (("from", ends[0], first, "out"), ("to", ends[1], last, "in")):
        for strand in _strands(part):
            for name in names:
                at, terminal = _lands(flows, node, side, name, link.conductors)
                at = bars.get(str(at), at) if str(terminal) == "earth bar" else at
                colour = colour_of(_profile(flows), name, phases) if new else "as found"
                yield _Core(cable.id, end, at, terminal, name, colour, f"{cable.id}{strand}:{name}", _size(part, name), found.board,
                            found.circuit, cable.status)


def _strands(part: Any) -> list[str]:
    """What tells cables in parallel apart on a ferrule: nothing for a single one, else -1, -2 …"""
    parallel = dotted(part, "parallel")
    return [f"-{n}" for n in range(1, parallel + 1)] if isinstance(parallel, int) and parallel > 1 else [""]


def _size(part: Any, name: str) -> Cell:
    """Cross-section of a core [mm²]: the earth core where the cable has one of its own."""
    cores = dotted(part, "cores")
    return cores[1] if name == "PE" and isinstance(cores, tuple) and cores[1] is not None else dotted(part, "area")


def _lands(flows: Flows, node: str, side: str, name: str, mask: int) -> tuple[Cell, Cell]:
    """The device and terminal at which a conductor ends: it goes through sensors and ferrites to the next device."""
    node = _past(flows, node, side)
    obj = flows.obj(node)
    home = flows.home(node)
    if name == "PE" and not isinstance(obj, Supply) and home in flows.objects and isinstance(flows.objects[home], Board):
        return home, "earth bar"
    if isinstance(obj, Board | Bar):
        return node, {"N": "neutral bar", "PEN": "neutral bar", "PE": "earth bar"}.get(name, f"busbar {name}")
    if isinstance(obj, Joint):
        return node, f"joint {name}"
    if isinstance(obj, Switching):
        return _switch(flows, node, obj, side, name, mask)
    if isinstance(obj, Meter):
        return node, f"{'load' if side == 'out' else 'line'} {name}"
    return node, name


def _past(flows: Flows, node: str, side: str) -> str:
    """The next device that is not merely gone through, as long as no cable lies between."""
    while isinstance(flows.obj(node), THROUGH):
        edges = flows.graph.in_edges(node, data=True) if side == "out" else flows.graph.out_edges(node, data=True)
        after = [u if side == "out" else v for u, v, data in edges if data["layer"] == "power" and data["obj"].run is None]
        if len(after) != 1:
            break
        node = after[0]
    return node


def _switch(flows: Flows, node: str, obj: Switching, side: str, name: str, mask: int) -> tuple[Cell, Cell]:
    """A terminal of a switching device: odd numbers towards the supply, even ones away from it; a neutral that it does not switch
    goes to the neutral bar of its board."""
    if isinstance(obj.poles, Unknown):
        return node, Unknown(obj.poles.mark, obj.poles.what)
    phases = conductors.phase_names(mask)
    if name in phases:
        pole = phases.index(name) + 1
        return node, str(2 * pole - 1 + (side == "out"))
    if obj.poles in ("1P+N", "3P+N", "1P solid-N") and name == "N":
        return node, "N"
    if name == "N" and int(obj.poles[0]) > len(phases):
        return node, str(2 * (len(phases) + 1) - 1 + (side == "out"))
    home = flows.home(node)
    return (home, "neutral bar") if home is not None and name in ("N", "PEN") else (node, name)


# ---- leads and buses -------------------------------------------------------------------------------------------------

def _leads(flows: Flows) -> Iterator[_Core]:
    """Both cores of each sensor's lead, at the sensor and at each input that reads it."""
    for found in find(flows, CurrentTransformer):
        sensor = found.obj
        inputs = [(v, data["obj"]) for _, v, data in flows.graph.out_edges(sensor.id, data=True) if isinstance(data["obj"].run, Input)] \
            if sensor.id in flows.graph else []
        sizes = [dotted(part, "area") for part in sensor.lead] if isinstance(sensor.lead, tuple) else [sensor.lead]
        for core in ("S1", "S2"):
            read = [("to", controller, f"input {link.ports[1]}, {core}") for controller, link in inputs]
            open_end = ("to", Unknown(sensor.mark, f"what reads {sensor.id}"), core)
            for end, device, terminal in (("from", sensor.id, core), *(read or [open_end])):
                size = sizes[0 if end == "from" else -1] if sizes else None
                yield _Core(sensor.id, end, device, terminal, core, UNSAID, f"{sensor.id}:{core}", size, found.board, found.circuit,
                            sensor.status)


def _segments(flows: Flows) -> Iterator[_Core]:
    """The data cores and the shield of each bus segment at both ends."""
    for bus in flows.objects.values():
        for segment in bus.segments if isinstance(bus, Bus) and isinstance(bus.segments, tuple) else ():
            if isinstance(segment, Segment):
                yield from _segment(flows, bus, segment)


def _segment(flows: Flows, bus: Bus, segment: Segment) -> Iterator[_Core]:
    medium = segment.medium if isinstance(segment.medium, str) else dotted(kind_of(flows, bus), "medium")
    shielded = not isinstance(medium, str) or medium.startswith("shielded")
    for end, said in (("from", segment.from_), ("to", segment.to)):
        device = said if isinstance(said, Unknown) else said.id
        for core, terminal in (("data +", "data +"), ("data -", "data -"), *((("shield", _shield(segment, device)),) if shielded else ())):
            yield _Core(segment.id, end, device, terminal, core, UNSAID, f"{segment.id}:{core}", None, bus.id, "", bus.status)


def _shield(segment: Segment, device: Cell) -> Cell:
    """Whether the shield is bonded at this end; an end that is not is cut back and insulated."""
    bonds = segment.shield_bond
    if isinstance(bonds, Unknown) or isinstance(device, Unknown):
        return bonds if isinstance(bonds, Unknown) else device
    return "bonded to earth" if str(device) in [str(bond) for bond in bonds] else "not bonded: cut back and insulated"


COLUMNS: tuple[tuple[Column, Callable[[_Core], Any]], ...] = (
    (ID, lambda c: c.run),
    (Column("end"), lambda c: c.end),
    (Column("at"), lambda c: c.device),
    (Column("terminal"), lambda c: c.terminal),
    (Column("conductor"), lambda c: c.conductor),
    (Column("colour"), lambda c: c.colour),
    (Column("ferrule"), lambda c: c.ferrule),
    (Column("size", "mm²"), lambda c: c.size),
    (BOARD, lambda c: c.board),
    (CIRCUIT, lambda c: c.circuit),
    (STATUS, lambda c: c.status),
    (Column("done, initials", room=10), lambda c: None),
)
