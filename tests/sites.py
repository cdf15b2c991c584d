# SPDX-License-Identifier: MIT
"""The one generator of valid random sites, and slips that make exactly one check speak.

All names and values are our own invention. The text depends on the three arguments alone.
"""
from __future__ import annotations

import math
import random
import re
from collections.abc import Callable
from dataclasses import dataclass, field

from slips_backup import BACKUP, guard
from slips_facts import FACTS
from slips_limits import LIMITS
from slips_wiring import WIRING

__all__ = ["MUTATIONS", "site"]

WHERE = ("East", "West", "North", "South", "Upper", "Lower", "Old", "New", "Inner", "Outer")
ROOMS = ("workshop", "kitchen", "store", "hall", "stairs", "boathouse", "jetty", "office", "loft", "yard")
LOADS = (("sockets", 20, "2.5"), ("lighting", 10, "1.5"), ("hot water", 20, "4"), ("cooking", 32, "6"), ("heater", 16, "2.5"),
         ("air conditioning", 16, "2.5"), ("pump", 16, "2.5"), ("EV supply", 32, "6"), ("general", 16, "2.5"))
LAID = ("in conduit", "in wall", "in ceiling", "clipped direct", "in conduit in air")
SENSOR = "P1: to supply, primary: 100 A, secondary: 0.333 V"
SPARE_WAYS = 4
SMALLEST_WITH_SOLAR = 70
MOST_SOLAR_BOARDS = 12
SYSTEMS = {1: "1/{} AC 50 Hz 230 V", 2: "2/{} AC 50 Hz 400/230 V 120°", 3: "3/{} AC 50 Hz 400/230 V"}
SPLIT = "2/{} AC 50 Hz 460/230 V 180°"
"""Two phases are those of a three-phase network where the seed is odd, the two ends of one winding where it is even"""
EARTHING = {"TN-C-S": "PEN", "TN-S": "N/PE", "TT": "N"}
"""What the supply brings beside the phases"""
SPARE_AMPERES = 20
"""What feeds can carry beyond their sources, so that a few units more overload nothing"""
FEEDS = ((63, "25"), (80, "35"), (100, "50"), (125, "70"), (160, "95"))
"""Rating of a feed and the cable that carries it in any way of laying of LAID (IEC 60364-5-52, method A1, three loaded, 70 °C)"""

TOGETHER = ((2, 0.8), (3, 0.7), (4, 0.65), (5, 0.6), (6, 0.57), (9, 0.5), (12, 0.45), (16, 0.41), (20, 0.38))
"""Cables in parallel and what each carries of its capacity, laid together (IEC 60364-5-52)"""


def _feed(ampere: float) -> tuple[int, int, str]:
    """A feed for a current [A]: its rating, cables in parallel and their size [mm²]."""
    for rated, area in FEEDS:
        if ampere <= rated:
            return rated, 1, area
    rated = 160 * math.ceil(ampere / 160)
    number = next(number for number, share in TOGETHER if 160 * number * share >= rated)
    return rated, number, "95"


@dataclass
class _Board:
    """A board under construction. lines: its circuits as YAML; way: the next free one; depth: boards between it and the supply."""

    id: str
    name: str
    depth: int = 0
    lines: list[str] = field(default_factory=list)
    way: int = 1
    parent: _Board | None = None
    own_electrode: bool = False
    """an outbuilding whose feed brings no protective conductor, or that stands on one which does not"""
    gives: float = 0.0
    """what the sources behind it can give in all [A]"""


class _Maker:
    """Writes a site until it holds about as many objects as asked for. count: objects with an id so far."""

    def __init__(self, seed: int, objects: int, phases: int, earthing: str = "TN-C-S", outbuildings: int = 0) -> None:
        self.random = random.Random(seed)
        self.objects, self.phases, self.earthing, self.outbuildings = objects, phases, earthing, outbuildings
        self.system = (SPLIT if phases == 2 and seed % 2 == 0 else SYSTEMS[phases]).format(EARTHING[earthing])
        self.soil: list[str] = ["  MET: {kind: main earth terminal, place: MSB, electrode: rod 10 mm² 80 ohm}"] if earthing == "TT" else []
        self.boards: list[_Board] = []
        self.controllers: list[str] = []
        self.buses: list[str] = []
        self.count = self.solar_boards = self.generators = self.units = 0

    # ---- small pieces ----

    def ways(self, board: _Board, number: int) -> str:
        first = board.way
        board.way += number
        return f"{first}" if number == 1 else f"{first}-{first + number - 1}"

    def name(self) -> str:
        return f"{self.random.choice(WHERE)} {self.random.choice(ROOMS)}"

    def phase(self) -> str:
        """A phase for a single-phase circuit, as an entry of its mapping; nothing where there is only one."""
        return f"phase: L{self.random.randint(1, self.phases)}, " if self.phases > 1 else ""

    @property
    def poles(self) -> str:
        """Poles of what opens a feed or the supply: each phase, with a single one the neutral too."""
        return f"{max(2, self.phases)}P"

    def soil_fault(self, board: _Board) -> bool:
        """Whether an earth fault behind a board returns through the soil, so that each of its circuits needs a residual current device."""
        return self.earthing == "TT" or board.own_electrode

    def cable(self, area: str, cores: int = 2) -> str:
        material = self.random.choice(("PVC", "XLPE"))
        return f"cable: {area} mm² {cores}C+{area}E Cu {material} {self.random.randint(3, 10)} m {self.random.choice(LAID)}"

    def head(self, board: _Board, ways: int, name: str, phase: str) -> list[str]:
        """The first lines of a circuit that is written over several lines."""
        return [f"      - way: {self.ways(board, ways)}", f"        name: {name}", *([f"        {phase.rstrip(', ')}"] if phase else [])]

    # ---- circuits ----

    def load(self, board: _Board, indent: int = 6, phase: str | None = None, protected: bool = False) -> None:
        """A final subcircuit, protected by a group or not."""
        kind, amperes, area = self.random.choice(LOADS)
        phase = self.phase() if phase is None else phase
        bare = protected or self.random.random() < 0.4 and board.depth < 2 and not self.soil_fault(board)  # else the loop may be too high for a breaker alone
        device = f"breaker: {amperes} A C 1P 6 kA" if bare else f"rcbo: {amperes} A C 1P+N 30 mA type A 6 kA"
        power = self.random.randint(2, amperes * 2) / 10 * (0.8 if kind in ("pump", "air conditioning") else 1)  # their power factor
        board.lines.append(f"{' ' * indent}- {{way: {self.ways(board, 1)}, {phase}name: {self.name()} {kind}, "
                           f"in_line: [{device}, {self.cable(area)}], load: {kind} {power:g} kW}}")
        self.count += 4

    def group(self, board: _Board) -> None:
        """Several circuits behind one residual current device."""
        phase = self.phase()
        board.lines += [*self.head(board, 1, f"{self.name()} group", phase), "        in_line: [rcd: 40 A 2P 30 mA type A]",
                        "        circuits:"]
        self.count += 2
        for _ in range(self.random.randint(2, 4)):
            self.load(board, 10, phase, protected=True)

    def spare(self, board: _Board) -> None:
        way, phase = self.ways(board, 1), self.phase()
        board.lines.append(f"      - {{way: {way}, {phase}name: Spare, in_line: [breaker: 16 A C 1P 6 kA], load: spare}}")
        self.count += 3

    def feed(self, board: _Board, new: _Board) -> None:
        """The submain from one board to another."""
        way = self.ways(board, max(2, self.phases))
        new.parent = board
        in_line = f"[breaker: <{new.id}.rated> A C {self.poles} 6 kA, {self.cable(f'<{new.id}.area>', self.phases + 1)}]"
        board.lines.append(f"      - {{way: {way}, name: {new.name}, in_line: {in_line}, feeds: {new.id}}}")
        self.count += 5
        self.boards.append(new)

    def sub_board(self) -> _Board:
        """A further board on one that is there already."""
        parent = self.random.choice([b for b in self.boards if b.depth < 6 and not b.id.startswith("OB")])
        new = _Board(f"DB{len(self.boards)}", f"Board {len(self.boards)}", parent.depth + 1)
        self.feed(parent, new)
        return new

    def outbuilding(self, main: _Board, number: int) -> None:
        """A board with an earth of its own, on a feed that brings no protective conductor: a PEN with an N–E link, or an electrode alone."""
        linked = number % 2 == 0 and self.earthing == "TN-C-S"
        new = _Board(f"OB{number}", f"Outbuilding {number}", 1, parent=main, own_electrode=not linked)
        poles, phases = f"{self.phases}P" if linked else self.poles, " ".join(f"L{k}" for k in range(1, self.phases + 1))
        cable = f"cable: {{id: WO{number}, parts: [<{new.id}.area> mm² {self.phases + 1}C Cu XLPE {self.random.randint(3, 10)} m underground]"
        end = f", conductors: {phases} PEN}}, ne_link: {{id: NO{number}, electrode: rod 6 mm²}}" if linked else "}"
        main.lines.append(f"      - {{way: {self.ways(main, max(2, self.phases))}, name: {new.name}, in_line: [breaker: <{new.id}.rated> A C {poles} 6 kA, "
                          f"{cable}{end}], feeds: {new.id}}}")
        if not linked:
            self.soil.append(f"  MET{number}: {{kind: main earth terminal, place: {new.id}, electrode: rod 10 mm² 80 ohm}}")
        self.boards.append(new)
        self.count += 7
        for _ in range(3):
            self.load(new)

    def fill(self, board: _Board, most: int) -> None:
        """Circuits for loads until the board is full or the site large enough."""
        for _ in range(most):
            if self.count >= self.objects:
                return
            self.random.choices((self.load, self.group, self.spare), (8, 2, 1))[0](board)

    # ---- solar and storage ----

    def source(self, board: _Board, ampere: float) -> None:
        """A source on a board; all feeds up to the supply carry it."""
        at: _Board | None = board
        while at is not None:
            at.gives += ampere
            at = at.parent

    def solar(self, parent: _Board) -> None:
        """A board with module-level inverters, storage, a gateway and a control bus."""
        self.solar_boards += 1
        n = self.solar_boards
        board = _Board(f"SB{n}", f"Solar board {n}", parent.depth + 1)
        self.feed(parent, board)
        sensors = [self.generation(board) for _ in range(self.random.randint(1, 3))]
        units = [self.storage(board, 11 + k) for k in range(self.random.randint(3, 5))]
        way, phase = self.ways(board, 2), self.phase()
        device = "rcbo: 6 A C 2P 30 mA type A 6 kA" if self.soil_fault(board) else "breaker: 6 A C 2P 6 kA"
        board.lines.append(f"      - {{way: {way}, {phase}name: Gateway {n}, in_line: [{device}], feeds: GW{n}}}")
        self.control(n, board, sensors, units)
        self.count += 2

    def generation(self, board: _Board) -> str:
        """A row of module-level inverters with its sensor; returns the sensor's input."""
        self.generators += 1
        n, phase = self.generators, self.phase()
        cable, number, residual = self.cable("6"), self.random.randint(4, 12), self.residual(board)
        self.source(board, number * 320 / 230)
        line = phase[7:9] or "L1"
        board.lines += [*self.head(board, 2, f"Solar {n}", phase), "        in_line:", "          - breaker: 25 A C 2P 6 kA", *residual,
                        f"          - ct: {{id: CG{n}, measures: generation, phase: {line}, {SENSOR}, lead: 2 m}}",
                        f"          - disconnection_device: {{id: KG{n}, type: disconnect-1ph-32, rating: 32 A 1P+N}}",
                        f"          - {cable}",
                        f"        feeds: {{module_inverters: {{id: INV{n}, type: module-410, number: {number}, "
                        f"phase: {line}, trunk: 4 mm² 2C+2.5E Cu XLPE {self.random.randint(8, 30)} m in air}}}}"]
        self.count += 7
        return f"CG{n} on {line}"

    def residual(self, board: _Board) -> list[str]:
        """The residual current device of a source's circuit, where an earth fault returns through the soil."""
        return ["          - rcd: 40 A 2P 300 mA type B"] if self.soil_fault(board) else []

    def storage(self, board: _Board, address: int) -> str:
        """A storage unit on a circuit of its own; returns its id."""
        self.units += 1
        n, phase, residual = self.units, self.phase(), self.residual(board)
        self.source(board, 2700 / 230)
        line = phase[7:9] or "L1"
        board.lines += [*self.head(board, 2, f"Storage {n}", phase), "        in_line:", "          - breaker: 25 A C 2P 6 kA", *residual,
                        f"          - disconnection_device: {{id: KS{n}, type: disconnect-1ph-32, rating: 32 A 1P+N}}",
                        f"          - {self.cable('6')}", f"          - isolator: {{id: QS{n}, rating: 32 A 2P}}",
                        f"        feeds: {{storage: {{id: BAT{n}, type: storage-ac-b, phase: {line}, address: \"{address}\"}}}}"]
        self.count += 6
        return f"BAT{n}"

    def control(self, n: int, board: _Board, sensors: list[str], units: list[str]) -> None:
        """A gateway with its inputs, a bus adapter on a lead, and a bus from device to device, bonded at the near ends."""
        grid = [f"CT{k} on L{k}" for k in range(1, self.phases + 1)] if n == 1 else []
        inputs = ", ".join(f"{k}: {text}" for k, text in enumerate([*grid, *sensors], 1))
        self.controllers += [f"  GW{n}: {{kind: gateway, place: {board.id}, inputs: {{{inputs}}}}}",
                             f"  BA{n}: {{kind: bus adapter, place: {board.id}, joined_to: GW{n}, lead: 0.5 m, address: \"1\"}}"]
        chain = [f"BA{n}", *units]
        self.buses += [f"  control{n}:", f"    name: Control bus {n}", "    type: bus-shielded-pair-60", "    segments:"]
        self.buses += [f"      - {{from: {a}, to: {b}, length: {self.random.randint(2, 9)} m, shield_bond: {a}}}"
                       for a, b in zip(chain, chain[1:], strict=False)]
        self.buses.append(f"    terminators: [{chain[0]}, {chain[-1]}]")
        self.count += 3 + len(units)

    # ---- the whole ----

    def supply(self, gives: float, length: int) -> list[str]:
        """The chain from the point of supply to the main switchboard. gives: what all sources on site give [A]; length: of the mains [m]."""
        brought = EARTHING[self.earthing].split("/")
        carried = " ".join([*(f"L{k}" for k in range(1, self.phases + 1)), *brought])
        rated, parallel, area = _feed(max(80.0, gives + SPARE_AMPERES))
        cores = f"{self.phases + 1}C" + (f"+{area}E" if "PE" in brought else "")
        loop = 21 if self.earthing == "TT" else 0.1
        return ["supply:", f"  system: {self.system}", "  allocation: 63 A",
                f"  faults: {{largest: 6 kA at point of supply, loop: {loop} ohm measured at MSB}}", "  in_line:",
                f"    - fuse: {{id: SF, rating: {rated} A gG, owner: distributor, name: Service fuse, place: MP}}",
                "    - meter: {id: M1, direction: both, owner: distributor, place: MP}",
                f"    - cable: {{id: W1, parts: [{parallel}x {area} mm² {cores} Cu XLPE {length} m underground], "
                f"conductors: {carried}}}",
                *(["    - ne_link: {id: NE1, electrode: rod 6 mm²}"] if self.earthing == "TN-C-S" else []),
                *(f"    - ct: {{id: CT{k}, measures: grid, phase: L{k}, {SENSOR.replace('100 A', f'{rated} A')}, lead: 3 m}}"
                  for k in range(1, self.phases + 1)),
                f"    - switch: {{id: Q1, rating: {rated} A {self.poles}, name: Main switch}}", "  feeds: MSB"]

    def text(self) -> str:
        head = ["# A made-up site.", f"site: {{name: {self.name()}, address: \"{self.random.randint(1, 99)} Made-up Lane\"}}"]
        length = self.random.randint(3, 10)
        main = _Board("MSB", "Main switchboard")
        self.boards.append(main)
        self.count += 8 + self.phases
        self.load(main, phase="phase: L1, " if self.phases > 1 else "")
        if self.objects >= SMALLEST_WITH_SOLAR:
            self.solar(main)
        for number in range(1, self.outbuildings + 1):
            self.outbuilding(main, number)
        self.fill(main, self.random.randint(4, 16))
        while self.count < self.objects:
            if self.objects - self.count > 400 and self.random.random() < 0.05 and self.solar_boards < MOST_SOLAR_BOARDS:
                self.solar(self.random.choice([b for b in self.boards if b.depth < 2 and not b.id.startswith("OB")]))
            else:
                board = self.sub_board()
                self.load(board)
                self.fill(board, self.random.randint(4, 30))
        parts = [*head, *self.supply(main.gives, length), "places:", "  MP: {name: Meter panel}", *(["earthing:", *self.soil] if self.soil else []),
                 "boards:", *(line for board in self.boards for line in self.board(board))]
        if self.controllers:
            parts += ["controllers:", *self.controllers, "buses:", *self.buses]
        return self.filled("\n".join(parts) + "\n")

    def filled(self, text: str) -> str:
        """The text with the ratings and sizes of feeds, which are known only when all sources are."""
        feeds = {b.id: _feed(max(63.0, b.gives + SPARE_AMPERES)) for b in self.boards}
        sizes = {f"{name}.area": (f"{number}x {area}" if number > 1 else area) for name, (_, number, area) in feeds.items()}
        ratings = {f"{name}.rated": str(rated) for name, (rated, _, _) in feeds.items()}
        text = re.sub(r"<(\w+\.area)>E", lambda m: f"{sizes[m[1]].rpartition(' ')[2]}E", text)  # of one of the cables in parallel
        return re.sub(r"<(\w+\.\w+)>", lambda m: (sizes | ratings)[m[1]], text)

    def board(self, board: _Board) -> list[str]:
        switch = [] if board.depth == 0 else [f"    main_switch: switch <{board.id}.rated> A {self.poles}"]
        return [f"  {board.id}:", f"    name: {board.name}", f"    busbar: {math.ceil((_feed(max(80.0, board.gives + SPARE_AMPERES))[0] + board.gives) / 50) * 50} A", f"    ways: {board.way - 1 + SPARE_WAYS}", *switch,
                "    circuits:", *board.lines]


def site(seed: int, objects: int, phases: int = 1, earthing: str = "TN-C-S", outbuildings: int = 0) -> str:
    """YAML text of a valid site that no check has anything to say about; the same arguments give the same text.

    objects      : about how many objects with an id, 10 to 20,000; solar and storage from 70 on
    phases       : 1, 2 or 3; two are 180° apart where the seed is even, 120° where it is odd
    earthing     : TN-C-S, TN-S or TT, as IEC 60364-1 calls them
    outbuildings : boards with an earth of their own: by turns an electrode alone, and a PEN with an N–E link (TN-C-S)
    Raises ValueError for other numbers and systems.
    """
    if not 10 <= objects <= 20_000 or phases not in SYSTEMS or earthing not in EARTHING:
        raise ValueError(f"no site with {objects} objects on {phases} phases, {earthing}")
    return _Maker(seed, objects, phases, earthing, outbuildings).text()


# ---- slips -----------------------------------------------------------------------------------------------------------

def _swap(text: str, pattern: str, new: str | Callable[[re.Match[str]], str]) -> str:
    """The text with the first place that fits replaced. Raises ValueError where none does."""
    changed, number = re.subn(pattern, new, text, count=1, flags=re.M)
    if not number:
        raise ValueError(f"nothing to change: {pattern}")
    return changed


def _phases(text: str) -> int:
    """How many phases a generated site has."""
    found = re.search(r"^  system: (\d)/", text, re.M)
    assert found is not None
    return int(found[1])


def _drop_terminator(text: str) -> str:
    return _swap(text, r"terminators: \[(\w+), \w+\]", r"terminators: [\1]")


def _add_tee(text: str) -> str:
    """The third segment of a bus begins where the second one does."""
    pattern = r"(- \{from: (\w+), to: \w+, .*\}\n +- \{from: )\w+(, to: \w+, length: \d+ m, shield_bond: )\w+(\}\n +terminators)"
    return _swap(text, pattern, r"\1\2\3\2\4")


def _misplace_bond(text: str) -> str:
    """The shield of the last segment of a bus is bonded at the bus adapter, which is not one of its ends."""
    return _swap(text, r"shield_bond: \w+(\}\n +terminators: \[(\w+),)", r"shield_bond: \2\1")


def _lose_breaker(text: str) -> str:
    """A switch stands where the breaker of a board's feed was."""
    return _swap(text, r"\[breaker: (\d+ A) C (\dP) 6 kA(, cable: [^\]]*\], feeds: SB1\})", r"[switch: \1 \2\3")


def _reuse_way(text: str) -> str:
    """The second circuit of the solar board takes the way of the first."""
    pattern = r"(  SB1:\n(?:    .*\n)*?      - way: )(\d+-\d+)(\n(?:        .*\n)*      - way: )\d+-\d+"
    return _swap(text, pattern, r"\1\2\3\2")


def _move_grid_sensor(text: str) -> str:
    """The first grid sensor stands on the main switchboard's first circuit."""
    found = re.search(r"^    - (ct: \{id: CT1,.*\})\n", text, re.M)
    if found is None:
        raise ValueError("no grid sensor")
    text = text[:found.start()] + text[found.end():]
    return _swap(text, r"(  MSB:\n(?:    .*\n)*?      - \{way: .*in_line: \[[^,]*, )", lambda m: f"{m[1]}{found[1]}, ")


def _generation_sensor_on_submain(text: str) -> str:
    """The first generation sensor stands on the submain to its board, where storage passes too."""
    found = re.search(r"^          - (ct: \{id: CG1,.*\})\n", text, re.M)
    if found is None:
        raise ValueError("nothing to change: no generation sensor")
    text = text[:found.start()] + text[found.end():]
    sensor = found[1].replace("primary: 100 A, ", "")  # it need not be large enough for the submain
    return _swap(text, r"(in_line: \[breaker: \d+ A C \dP 6 kA, )(cable: [^\]]*\], feeds: SB1\})", lambda m: f"{m[1]}{sensor}, {m[2]}")


def _unplug_board(text: str) -> str:
    return _swap(text, r"feeds: SB1\}", "load: spare}")


def _same_address(text: str) -> str:
    return _swap(text, r'address: "12"', 'address: "11"')


def _long_bus(text: str) -> str:
    return _swap(text, r"(- \{from: BA1, to: \w+, length: )\d+ m", r"\g<1>61 m")


def _no_relay(text: str) -> str:
    return _swap(text, r"^ +- disconnection_device: \{id: KS1,.*\}\n", "")


def _one_pole_relay(text: str) -> str:
    return _swap(text, r"(id: KS1, type: disconnect-1ph-32, rating: 32 A) 1P\+N", r"\1 1P solid-N")


def _small_relay(text: str) -> str:
    return _swap(text, r"(id: KS1, type: disconnect-1ph-32, rating: )32 A", r"\g<1>20 A")


def _forget_sensor(text: str) -> str:
    return _swap(text, r", \d+: CG\d+ on L\d(\}\})", r"\1")


def _other_reference(text: str) -> str:
    return _swap(text, r"1: CT1 on L1", "1: CT1 on L2")


def _long_row(text: str) -> str:
    return _swap(text, r"(module_inverters: \{id: INV1, type: module-410, number: )\d+", r"\g<1>15")


def _second_link(text: str) -> str:
    return _swap(text, r"^(    - switch: \{id: Q1,)", r"    - ne_link: {id: NE9, electrode: rod 6 mm²}\n\1")


def _switch_in_pen(text: str) -> str:
    """A switch with one pole more than the supply has phases, before the N–E link."""
    poles = f"{_phases(text) + 1}P"
    return _swap(text, r"^(    - cable: \{id: W1,)", rf"    - switch: {{id: Q9, rating: 80 A {poles}}}\n\1")


def _second_feed(text: str) -> str:
    """The first load of the main switchboard becomes a second way into the solar board."""
    poles = f"{_phases(text) + 1}P"
    if "  SB1:" not in text:
        raise ValueError("nothing to change: no solar board")
    return _swap(text, r"(  MSB:\n(?:    .*\n)*?      - \{way: 1, )(?:phase: L1, )?(name: [^,]*, )in_line: .*\}$",
                 rf"\1\2in_line: [breaker: 40 A C {poles} 6 kA], feeds: SB1}}")


def _no_isolation(text: str) -> str:
    """The first storage unit has neither isolator nor a breaker of its own."""
    text = _swap(text, r"^ +- isolator: \{id: QS1,.*\}\n", "")
    return _swap(text, r"breaker: 25 A C 2P 6 kA((?:\n.*rcd:.*)?\n.*id: KS1,)", r"fuse: 25 A gG\1")


def _group_with_storage(text: str) -> str:
    """A residual current device before the solar board, whose gateway counts as no load, and a lamp on that board."""
    text = _swap(text, r"(in_line: \[)breaker: (\d+) A C (\d)P 6 kA(, cable: [^\]]*\], feeds: SB1\})",
                 lambda m: f"{m[1]}breaker: {m[2]} A C {m[3]}P 6 kA, rcd: {m[2]} A {_phases(text) + 1}P 30 mA type A{m[4]}")
    board = re.search(r"  SB1:\n(?:    .*\n)*?    ways: (\d+)", text)
    last, phase = (int(board[1]) if board else 0), "phase: L1, " if _phases(text) > 1 else ""
    return _swap(text, r"(  SB1:\n(?:    .*\n)*?    circuits:\n)",
                 rf"\1      - {{way: {last}, {phase}in_line: [breaker: 6 A C 1P 6 kA], load: lighting 0.1 kW}}\n")


def _lamp_beside_storage(text: str) -> str:
    """A lamp on the circuit of the first storage unit."""
    board = re.search(r"  SB1:\n(?:    .*\n)*?    ways: (\d+)", text)
    last = int(board[1]) if board else 0
    return _swap(text, r"^        (feeds: \{storage: \{id: BAT1, .*\})$",
                 lambda m: f"        circuits:\n          - {{way: {last - 1}, {m[1]}}}\n          - {{way: {last}, load: lighting 0.1 kW}}")


def _add_circuit(device: str, cable: str, load: str) -> Callable[[str], str]:
    """A slip that adds a circuit on the last way of the first solar board."""
    def slip(text: str) -> str:
        board = re.search(r"^  SB1:\n(?:    .*\n)*?    ways: (\d+)\n(?:    .*\n)*?    circuits:\n", text, re.M)
        if board is None:
            raise ValueError("nothing to change: no solar board")
        circuit = f"      - {{way: {board[1]}, phase: L1, name: Slip, in_line: [{guard(text, device)}{device}, cable: {cable}], load: {load}}}\n"
        return text[:board.end()] + circuit + text[board.end():]
    return slip


def _stretch_trunk(text: str) -> str:
    """The first row of inverters has a trunk of 900 m, on a site that limits the rise of voltage itself."""
    text = _swap(text, r"(trunk: .* )\d+ m in air", r"\g<1>900 m in air")
    return _swap(text, r"^(supply:)$", r"limits_override: {voltage-rise-total: {value: 2 %, reason: a slip, by: A. Example, role: licensed electrician, "
                 r"date: 2026-01-05}}\n\1")


def _thin_mains(text: str) -> str:
    """Mains of 2.5 mm² behind the distributor's fuse, on a site with sources."""
    if "  SB1:" not in text:
        raise ValueError("nothing to change: no solar board")
    return _swap(text, r"(id: W1, parts: \[)\d+x \d+ mm²", r"\g<1>2.5 mm²")


def _weaken_busbar(text: str) -> str:
    return _swap(text, r"(  SB1:\n(?:    .*\n)*?    busbar: )\d+ A", r"\g<1>5 A")


def _short_rows(text: str) -> str:
    """The rows of the first solar board hold two modules."""
    return _swap(text, r"^(  SB1:\n)", r"\1    modules: 2\n")


def _whatever_falls(slip: Callable[[str], str]) -> Callable[[str], str]:
    """A slip on a site where no limit of voltage drop holds."""
    said = "{value: 99 %, reason: a slip, by: A. Example, role: licensed electrician, date: 2026-01-05}"
    return lambda text: _swap(slip(text), r"^(supply:)$", rf"limits_override: {{voltage-drop: {said}, voltage-drop-lighting: {said}}}\n\1")


MUTATIONS: dict[str, Callable[[str], str]] = {
    "bus-address-twice": _same_address, "bus-not-a-chain": _add_tee, "bus-too-long": _long_bus,
    "disconnection-leaves-conductor": _one_pole_relay, "disconnection-rating-low": _small_relay,
    "generation-sensor-sees-other": _generation_sensor_on_submain, "grid-sensor-misses": _move_grid_sensor,
    "load-on-generation-circuit": _lamp_beside_storage, "ne-links-not-one": _second_link, "not-fed": _unplug_board,
    "pen-switched": _switch_in_pen, "sensor-not-read": _forget_sensor, "sensor-reference-wrong": _other_reference,
    "shield-bond-wrong": _misplace_bond, "source-behind-shared-rcd": _group_with_storage, "source-without-disconnection": _no_relay,
    "source-without-isolator": _no_isolation, "terminal-fed-twice": _second_feed, "terminator-misplaced": _drop_terminator,
    "too-many-units": _long_row, "unlimited-board": _lose_breaker, "way-used-twice": _reuse_way,
    "breaker-above-cable-capacity": _add_circuit("breaker: 32 A B 1P 6 kA", "1.5 mm² 2C+1.5E Cu PVC 3 m in wall", "heater 1 kW"),
    "breaking-capacity-too-small": _add_circuit("breaker: 10 A C 1P 1 kA", "1.5 mm² 2C+1.5E Cu PVC 3 m in wall", "heater 1 kW"),
    "busbar-section-overloaded": _weaken_busbar,
    "cable-overloaded": _whatever_falls(_thin_mains),
    "device-below-design-current": _add_circuit("breaker: 10 A C 1P 6 kA", "6 mm² 2C+6E Cu PVC 3 m in wall", "heater 4 kW"),
    "loop-impedance-too-high": _whatever_falls(_add_circuit("breaker: 16 A D 1P 6 kA", "2.5 mm² 2C+2.5E Cu PVC 200 m in wall", "heater 1 kW")),
    "voltage-drop-over-limit": _add_circuit("rcbo: 16 A C 1P+N 30 mA type A 6 kA", "2.5 mm² 2C+2.5E Cu PVC 110 m in wall", "heater 3.4 kW"),
    "protective-conductor-too-small": _add_circuit("breaker: {rating: 10 A C 1P 6 kA, let_through: 100000 A²s}", "16 mm² 2C+1.5E Cu PVC 3 m in wall", "heater 1 kW"),
    "voltage-rise-over-limit": _stretch_trunk, "board-overfull": _short_rows, **LIMITS, **FACTS, **BACKUP, **WIRING}
"""For each rule a slip that makes it speak, and no other, on a site of at least 70 objects.

Each raises ValueError where there is nothing to change.
"""
