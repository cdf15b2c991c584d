# SPDX-License-Identifier: MIT
"""Circuit schedule: every circuit of every board, in the order of the file."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from topology import conductors
from topology.disconnection import loop_of_residual
from topology.electrical import Electrical, solve
from topology.electrical.conductors_of import parts_of as known_parts
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.kinds import Said, Way
from topology.site import (Board, Cable, CablePart, Circuit, Device, Equipment, Fuse, HybridInverter, Load, ModuleInverters, Own,
                           Terminal)
from topology.soil import soil_part, touch_voltage

from . import computed
from .board_lines import backed_up, incoming, spares, way_words
from .cables import cable_words, parts_of
from .columns import BOARD, ID, LENGTH, NAME, PHASES, RATING, STATUS, Cell, Column, Row, Table, build, dotted, joined, total
from .modules import modules_of
from .walk import Placed, chains, members

__all__ = ["circuits"]

PHASES_OF_POLES = {"1P solid-N": 1, "1P+N": 1, "1P": 1, "2P": 2}
"""The most phases that a device of so many poles can switch; others: all."""


NOTES = ("Modules of 18 mm are counted from the poles, by common practice; the device's own width prevails.",)

SOIL = ("Where an earth fault returns through the soil (TT), 'loop at most' is the touch voltage over the rated residual current: the electrode and "
        "the residual current device decide, not the circuit-breaker.")


class _Circuit:
    """A circuit with what its row asks for."""

    def __init__(self, placed: Placed, flows: Flows) -> None:
        self.placed, self.flows = placed, flows
        self.chain: Any = placed.chain
        self.items = list(members(placed.chain))
        self.solved = solve(flows)
        self.asked = computed.Asked()

    def first(self, wanted: Callable[[Any], bool]) -> Any:
        """The first device in line that is wanted; unknown where nobody knows what stands in line, None where none is there."""
        found = next((item for item in self.items if wanted(item)), None)
        if found is not None:
            return found
        line = self.chain.in_line
        return line if isinstance(line, Unknown) else next((item for item in line if isinstance(item, Unknown)), None)

    @property
    def device(self) -> Any:
        """The device that protects the circuit, else the first device in it."""
        device = self.first(lambda item: getattr(item, "limits_current", False))
        return device if isinstance(device, Own) else self.first(lambda item: isinstance(item, Device))

    @property
    def residual(self) -> Any:
        """The device in this circuit itself that trips on residual current; a group's is in the group's row."""
        return self.first(lambda item: hasattr(item, "residual"))

    @property
    def cables(self) -> list[Cable]:
        """The cables in line, without the trunk cable of the equipment."""
        line = self.chain.in_line
        return [item for item in line if isinstance(item, Cable)] if isinstance(line, tuple) else []

    @property
    def parts(self) -> list[CablePart | Unknown]:
        """The parts of the cables in line, and whatever in line is open and may be a cable."""
        line = self.chain.in_line
        if isinstance(line, Unknown):
            return [line]
        maybe = (item for item in line if isinstance(item, Unknown | Cable))
        return [part for item in maybe for part in ((item,) if isinstance(item, Unknown) else parts_of(item))]

    @property
    def end(self) -> Any:
        """The load or equipment of its own at the end; the board or controller elsewhere; None for a local bar."""
        end = self.chain.load if self.chain.load is not None else self.chain.feeds
        if isinstance(end, Said):
            return self.flows.objects.get(end.id, Unknown(end.mark, f"what {self.chain.id} feeds", silent=True))
        return end


def circuits(flows: Flows) -> Table:
    """The circuit schedule of all boards. The supply's own chain is no circuit; a circuit of a group names the group's circuit.

    Before the circuits of a board comes what feeds it, after them come its spare ways, in rows that bear the id of the board.
    """
    soil = any(soil_part(node, flows) is not None for node in flows.graph)
    made = build("circuits", "Circuit schedule", COLUMNS, _circuits(flows), (*NOTES, *((SOIL,) if soil else ())), computed.notes(flows))
    return replace(made, rows=tuple(_with_boards(flows, made)))


def _with_boards(flows: Flows, made: Table) -> Iterator[Row]:
    """Rows of circuits; before the first of each board what comes in, after the last its spare ways."""
    at = [column.heading for column in made.columns].index("board")
    by_board: dict[str, list[Row]] = {board.id: [] for board in flows.objects.values() if isinstance(board, Board)}
    for row in made.rows:
        by_board.setdefault(str(row.cells[at]), []).append(row)
    for name, rows in by_board.items():
        board = flows.objects.get(name)
        if isinstance(board, Board):
            yield from (_row(made, board, facts) for facts in incoming(flows, board))
        yield from rows
        if isinstance(board, Board):
            yield from (_row(made, board, facts) for facts in spares(flows, board))


def _row(made: Table, board: Board, facts: dict[str, Any]) -> Row:
    """A row that speaks of a board, by headings."""
    return Row(tuple({"id": board.id, "board": board.id, **facts}.get(column.heading) for column in made.columns))


def _circuits(flows: Flows) -> Iterator[_Circuit]:
    return (_Circuit(placed, flows) for placed in chains(flows) if isinstance(placed.chain, Circuit))


def _way(circuit: _Circuit) -> Cell:
    way = circuit.chain.way
    return way_words(way) if isinstance(way, Way) else way


def _backed_up(circuit: _Circuit) -> Cell:
    """Whether the end of the circuit is live when the supply is lost; nothing on a site where no source feeds without it."""
    flows = circuit.flows
    ends = (getattr(circuit.end, "id", None), f"{circuit.chain.id}.bar", *(item.id for item in reversed(circuit.items)))
    node = next((end for end in ends if end in flows.graph), None)
    return backed_up(flows, node) if node is not None else None


def _phases(circuit: _Circuit) -> Cell:
    """The phases said, else those that arrive; open where more arrive than the device can switch."""
    said = circuit.chain.phase
    if said is not None:
        return joined(said)
    arriving = _arriving(circuit)
    poles = dotted(circuit.device, "poles")
    most = PHASES_OF_POLES.get(poles, 3) if isinstance(poles, str) else 1
    return " ".join(arriving) if len(arriving) <= most else Unknown(circuit.chain.mark, f"phase of {circuit.chain.id}")


def _arriving(circuit: _Circuit) -> tuple[str, ...]:
    """The phases at the first thing of the circuit that the graph knows."""
    graph = circuit.flows.graph
    node = next((item.id for item in circuit.items if item.id in graph), None) or getattr(circuit.end, "id", None)
    return conductors.phase_names(circuit.flows.phases_at(node)) if node in graph else ()


def _curve(circuit: _Circuit) -> Cell:
    device = circuit.device
    return dotted(device, "utilisation" if isinstance(device, Fuse) else "curve")


def _length(circuit: _Circuit) -> Cell:
    """Length of all cables in line [m]."""
    return total(dotted(part, "length") for part in circuit.parts)


def _feeds(circuit: _Circuit) -> Cell:
    end = circuit.end
    return end if isinstance(end, Unknown) else getattr(end, "id", None)


def _kind(circuit: _Circuit) -> Cell:
    """What stands at the end, in words."""
    end, inner = circuit.end, circuit.chain.circuits
    if end is None and (isinstance(inner, Unknown) or inner):
        return inner if isinstance(inner, Unknown) else f"group of {len(inner)} circuit{'s' if len(inner) > 1 else ''}"
    if isinstance(end, Load):
        return end.kind
    if isinstance(end, Terminal):
        return dotted(_device_of(circuit, end), "word")
    return f"{end.number} {end.word}" if isinstance(end, ModuleInverters) else dotted(end, "word")


def _device_of(circuit: _Circuit, terminal: Terminal) -> Any:
    """The device that a terminal belongs to."""
    return circuit.flows.objects.get(terminal.id.partition(".")[0])


def _source_power(circuit: _Circuit) -> Cell:
    """Rated apparent power of all equipment at the end [VA]."""
    end = _device_of(circuit, circuit.end) if isinstance(circuit.end, Terminal) else circuit.end
    kind = end.type_ if isinstance(end, Equipment | HybridInverter) else None
    power = dotted(circuit.flows.types.get(kind.id), "power") if isinstance(kind, Said) else kind
    try:
        return power * end.number if isinstance(end, ModuleInverters) and power is not None else power
    except CannotTell as error:
        return error.unknown


def _tell(question: Callable[[Electrical, _Circuit], Any]) -> Callable[[_Circuit], Cell]:
    """A cell from a question to the computation."""
    return lambda c: c.asked.tell(lambda: question(c.solved, c))


def _end(question: Callable[[Electrical, int], Any]) -> Callable[[_Circuit], Cell]:
    """A cell from a question about the end of the circuit; nothing where nothing stands there."""
    def ask(s: Electrical, c: _Circuit) -> Any:
        spare = isinstance(c.end, Load) and c.end.kind == "spare"
        return None if spare or isinstance(c.end, Unknown) else question(s, s.end_of(c.chain))
    return _tell(ask)


def _loop_most(s: Electrical, node: int) -> Any:
    """What decides the loop [ohm]: the device that clears the fault; where the current returns through the soil, the residual current device."""
    device: Any = s.faults.residual(node)
    flows = s.given.flows
    if device is None or soil_part(s.tree.ids[node], flows) is None:
        return s.faults.deciding_loop(node)
    return loop_of_residual(device.residual + 0, touch_voltage(flows).si)


def _design_by(s: Electrical, c: _Circuit) -> Any:
    design = s.design(s.start_of(c.chain))
    return f"{design.case} {design.conductor}" if design.ampere else None


def _capacity(s: Electrical, c: _Circuit) -> Any:
    """The smallest capacity of the cables in line."""
    if isinstance(c.chain.in_line, Unknown):
        raise CannotTell(c.chain.in_line)
    found = [s.capacity(s.cable_node(cable), part) for cable in c.cables for part in known_parts(cable)]
    return min(found, key=lambda capacity: capacity.ampere, default=None)


COLUMNS: tuple[tuple[Column, Callable[[_Circuit], Any]], ...] = (
    (ID, lambda c: c.chain.id),
    (replace(BOARD, over="Board {}"), lambda c: c.placed.board),
    (Column("way"), _way),
    (NAME, lambda c: c.chain.name),
    (PHASES, _phases),
    (Column("group"), lambda c: c.placed.group),
    (Column("device"), lambda c: dotted(c.device, "word")),
    (replace(RATING, key=True), lambda c: dotted(c.device, "rating")),
    (Column("curve or class"), _curve),
    (Column("poles"), lambda c: dotted(c.device, "poles")),
    (Column("breaking capacity", "kA", -3), lambda c: dotted(c.device, "breaking")),
    (Column("residual current", "mA", 3), lambda c: dotted(c.residual, "residual")),
    (Column("residual type"), lambda c: dotted(c.residual, "type_")),
    (Column("cable", usual="{id}.cable", bare=True), lambda c: joined(cable.id for cable in c.cables)),
    (Column("cable size"), lambda c: cable_words(c.parts)),
    (LENGTH, _length),
    (Column("feeds", usual="{id}.load", bare=True), _feeds),
    (Column("kind"), _kind),
    (Column("load", "kW", -3), lambda c: c.end.power if isinstance(c.end, Load) else None),
    (Column("source", "kVA", -3), _source_power),
    (Column("modules"), lambda c: modules_of(c.flows, c.items, c.placed.board)),
    (Column("backed up"), _backed_up),
    (STATUS, lambda c: c.chain.status),
    (computed.DESIGN, _tell(lambda s, c: s.design(s.start_of(c.chain)).ampere)),
    (computed.DESIGN_BY, _tell(_design_by)),
    (computed.CAPACITY, _tell(lambda s, c: dotted(_capacity(s, c), "ampere"))),
    (computed.CAPACITY_BY, _tell(lambda s, c: computed.working(_capacity(s, c)))),
    (computed.RISE_LINEAR, _end(lambda s, n: s.share(s.linear_rise(n)))),
    (computed.RISE, _end(lambda s, n: s.share(s.rise(n)))),
    (computed.DROP_LINEAR, _end(lambda s, n: s.share(s.linear_drop(n)))),
    (computed.DROP, _end(lambda s, n: s.share(s.drop(n)))),
    (computed.IK_MAX, _end(lambda s, n: s.faults.largest(n).ampere)),
    (computed.IK_MIN, _end(lambda s, n: s.faults.smallest(n).ampere)),
    (computed.ZS, _end(lambda s, n: s.faults.loop(n))),
    (computed.ZS_MOST, _end(_loop_most)),
    (computed.TIME, _end(lambda s, n: s.faults.clearing(n).seconds)),
    (computed.CLEARING, _end(lambda s, n: s.faults.clearing(n).by)),
    (computed.ON_BACKUP, _end(lambda s, n: dotted(s.faults.on_backup(n), "by"))),
    (computed.MISSING, lambda c: "; ".join(c.asked.missing)),
)
