# SPDX-License-Identifier: MIT
"""Sites made of what does not fit a tidy tree: a drawing of them is as faultless as that of any other."""
from __future__ import annotations

import random
from collections import Counter

import pytest
from scene_faults import faults
from sld.power_graph import power_forest
from sld.power_tree import site_forest
from sld.primitives import Scene
from sld.sheet.info import SheetInfo
from sld.single_line import drawn_sheets, single_line
from sld.split import kept
from steady_sheets import grown, sheets_of
from topology.flow import Flows
from topology.read import ReadSite, read_bytes

NAMES = ("Lights", "Cool room compressor and its crankcase heater", "Насос", "変電所 2", 'Bench <A> & "B" $1', "x" * 40, "Outbuilding behind the old dairy, left side")
LOADS = ("lighting 0.4 kW", "sockets 2 kW", "general 1.5 kW", "hot water 3.6 kW", "motor 2.2 kW")
CABLE = "cable: 6 mm² 2C+2.5E Cu XLPE 14 m in conduit in air"
"""a rating as long as forty characters"""


class Awkward:
    """A site file written at random: nested boards, chains without end, a branch off a cable, two boards fed twice, coupler, changeover, sensors."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(seed)
        self.boards: dict[str, list[str]] = {}
        self.sensors: list[str] = []
        self.devices: list[str] = []
        self.count = Counter[str]()

    def name(self, kind: str) -> str:
        self.count[kind] += 1
        return f"{kind}{self.count[kind]}"

    def quoted(self) -> str:
        return '"' + self.draw.choice(NAMES).replace('"', '\\"') + '"'

    def line(self, most: int) -> str:
        """What stands in line: now and then far more than a sheet is high."""
        number = self.draw.choice((0, 1, 2, most))
        parts = [f"isolator: {{id: {self.name('QI')}, rating: 40 A 2P, name: {self.quoted()}}}" for _ in range(number)]
        if self.draw.random() < 0.4:
            self.sensors.append(self.name("CT"))
            parts.append(f"ct: {{id: {self.sensors[-1]}, measures: load, phase: L1, P1: to supply, secondary: 0.333 V, lead: 3 m}}")
        return ", ".join([f"breaker: {{id: {self.name('Q')}, rating: 20 A C 1P 6 kA, name: {self.quoted()}}}", *parts, CABLE])

    def circuit(self, board: str, rest: str, most: int = 3) -> None:
        way = len(self.boards[board]) + 1
        self.boards[board].append(f"      - {{way: {way}, phase: L1, name: {self.quoted()}, in_line: [{self.line(most)}], {rest}}}\n")

    def board(self, above: str = "") -> str:
        """A board with its loads, and branches off some cables."""
        name = self.name("B")
        self.boards[name] = []
        if above:
            self.circuit(above, f"feeds: {name}")
        for _ in range(self.draw.randint(1, 6)):
            self.circuit(name, f"load: {self.draw.choice(LOADS)}")
        if self.draw.random() < 0.5:
            ends = ", ".join(f"{{id: {self.name('X')}, in_line: [{CABLE}], load: {self.draw.choice(LOADS)}}}" for _ in range(self.draw.randint(2, 4)))
            self.circuit(name, f"circuits: [{ends}]")
        return name

    def write(self) -> str:
        """The file: larger than a sheet in most cases."""
        first = self.board()
        some = [first]
        for _ in range(self.draw.randint(2, 7)):
            some.append(self.board(self.draw.choice(some)))
        self.circuit(first, f"load: {self.draw.choice(LOADS)}", 25)
        self.circuit(first, f"feeds: {some[-1]}")  # fed twice
        one, other = self.draw.sample(some, 2)
        self.circuit(one, "feeds: C1.a")
        self.circuit(other, "feeds: C1.b")
        self.circuit(self.draw.choice(some), "feeds: QX.normal")
        self.circuit(self.draw.choice(some), "feeds: GW1")
        ports = "ports: {out: {in_line: [breaker: {id: QG, rating: 32 A C 4P 6 kA}], feeds: QX.alternative}}"
        inputs = ", ".join(f"{n}: {name} on L1" for n, name in enumerate(self.sensors[:8], 1))
        boards = "".join(f"  {name}:\n    name: {self.quoted()}\n    busbar: 80 A\n    circuits:\n{''.join(rows)}" for name, rows in self.boards.items())
        return ("site: {name: Awkward}\nsupply:\n  system: 3/N/PE AC 50 Hz 400/230 V\n  in_line: [fuse: {id: SF, rating: 100 A gG}, switch: {id: Q0, rating: 100 A 4P}]\n"
                f"  feeds: {first}\nboards:\n{boards}devices:\n  C1: {{kind: bus coupler, rating: 40 A, poles: 4P, stands: open}}\n"
                f"  G1: {{kind: generator, power: 20 kVA, {ports}}}\n"
                "  QX: {kind: changeover, operated: manual, rating: 40 A, poles: 4P, ports: {load: {load: general 5 kW}}}\n"
                f"controllers:\n  GW1: {{kind: gateway, place: {first}, inputs: {{{inputs}}}}}\n"
                f"  BA1: {{kind: bus adapter, place: {some[-1]}, joined_to: GW1, lead: 0.6 m}}\n")


def read(seed: int) -> ReadSite:
    found = read_bytes(Awkward(seed).write().encode())
    assert found.complete
    assert [f for f in found.findings if f.severity == "error"] == []
    return found


def counted(scene: Scene) -> Counter[str]:
    return Counter(placed.id for sheet in scene.sheets for placed in sheet.symbols)


@pytest.mark.parametrize("seed", range(12))
def test_nothing_is_wrong_with_what_fits_no_tidy_tree(seed: int) -> None:
    site = read(seed)
    scene = single_line(Flows(site))
    assert [(sheet.number, fault) for sheet in scene.sheets for fault in faults(sheet)] == []


@pytest.mark.parametrize("seed", (1, 9))
def test_each_device_stands_on_it_once_and_no_line_of_a_tree_bends(seed: int) -> None:
    flows = Flows(read(seed))
    scene = single_line(flows)
    wanted = {name for name in flows.objects if name.startswith(("QI", "CT", "Q0", "SF"))} | {"C1", "G1", "QX", "GW1", "BA1"}
    found = counted(scene)
    assert len(wanted) > 20 and {name for name in wanted if found[name] != 1} == set()
    bent = {wire.id for sheet in scene.sheets for wire in sheet.wires if wire.kind == "power" and len(wire.points) > 2}
    assert bent <= {tie.link.id for tie in power_forest(flows).ties}


@pytest.mark.parametrize("paper", ("A3", "A1"))
def test_it_is_faultless_on_paper_of_any_size(paper: str) -> None:
    text = Awkward(5).write().replace("site: {name: Awkward}\n", f"site: {{name: Awkward}}\ndrawing: {{paper: {paper}}}\n")
    scene = single_line(Flows(read_bytes(text.encode())))
    assert {sheet.size for sheet in scene.sheets} == {paper}
    assert [(sheet.number, fault) for sheet in scene.sheets for fault in faults(sheet)] == []


def test_a_next_edition_of_it_is_faultless_too() -> None:
    first = single_line(Flows(read(11)))
    forest = grown(site_forest(Flows(read(11))), random.Random(3))
    made = drawn_sheets(forest, SheetInfo(), kept(first.sheets))
    assert [(sheet.number, fault) for sheet in made for fault in faults(sheet)] == []
    before, after = sheets_of(first.sheets), sheets_of(made)
    assert sum(after[name] != sheet for name, sheet in before.items()) <= 0.1 * len(before)
