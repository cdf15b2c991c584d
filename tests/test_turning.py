# SPDX-License-Identifier: MIT
"""Leads that leave a controller at its right: drawn without fault, and never with more crossings than from the left."""
from __future__ import annotations

import random
from itertools import combinations

import pytest
from sld.layout import Drawn, Enclosure, Feed, Net, Segment, Strip, layout, tree
from sld.primitives import Wire
from test_layout import faults, pieces, unclear


def circuit(name: str, kind: str, *below: Strip) -> Strip:
    """A breaker in the board, then a device outside of it or, for what measures and controls, in it."""
    home = None if kind in ("storage", "inverter") else "E"
    return Strip(f"Q{name}", f"Q{name}", "breaker", (f"Q{name}", "25 A 2P"), wire=Feed(f"W{name}", f"W{name}"), enclosure="E", children=(
        Strip(name, name, kind, (name, kind), wire=Feed(f"C{name}", f"C{name}", lines=("6 mm² 2C+4E",)), enclosure=home, children=below),))


def controller(number: int) -> Strip:
    """A controller with its bus adapter below."""
    name = f"BA{number}"
    lead = Feed(f"D{name}", f"D{name}", "lead")
    return circuit(f"GW{number}", "gateway", Strip(name, name, "bus-adapter", (name, "bus adapter"), wire=lead, enclosure="E",
                                                   marks=(("terminator", f"{name}.t"),)))


def site(ways: list[Strip], nets: list[Net]) -> tuple[Strip, tuple[Net, ...], tuple[Enclosure, ...]]:
    board = Strip("Q", "Q", "switch", ("Q",), wire=Feed("W", "W"), enclosure="E",
                  children=(Strip("B", "B", "busbar", ("B",), wire=Feed("X", "X"), children=tuple(ways), enclosure="E"),))
    return Strip("S", "S", "supply", ("supply",), children=(board,)), tuple(nets), (Enclosure("E", "E", ("E Board",)),)


def lead(sensor: str, to: str) -> Net:
    return Net(f"{sensor}.lead", "lead", (Segment(f"{sensor}.lead", sensor, sensor, to, "", "secondary", "inputs"),))


def elsewhere(number: int, of: str) -> Net:
    """A lead that comes from another sheet."""
    name = f"far{number}.lead"
    return Net(name, "lead", (Segment(name, name, of, "", "to CT7, sheet 1/B4", "inputs", "", f"{name}.to"),))


def bus(number: int, names: list[str]) -> Net:
    return Net(f"bus{number}", "bus", tuple(Segment(f"bus{number}.{n}", "bus", a, b, "9 m") for n, (a, b) in enumerate(zip(names, names[1:]))), "Bus")


def crossings(drawn: Drawn) -> int:
    """How often two wires without a common end cross, counted stroke by stroke."""
    def cross(one: Wire, other: Wire) -> int:
        return sum(a[0] < b[0] < a[2] and b[1] < a[1] < b[3] or b[0] < a[0] < b[2] and a[1] < b[1] < a[3]
                   for a in pieces(one) for b in pieces(other))

    return sum(cross(one, other) for one, other in combinations(drawn.wires, 2) if not set(one.ends) & set(other.ends))


def random_site(seed: int) -> tuple[Strip, tuple[Net, ...], tuple[Enclosure, ...]]:
    """Sensors, storage and one or two controllers in any order of ways."""
    r = random.Random(seed)
    sensors = [f"CT{n}" for n in range(r.randint(1, 4))]
    stores = [f"BAT{n}" for n in range(r.randint(1, 4))]
    controllers = range(r.randint(1, 2))
    ways = [*(circuit(n, "ct-p1-up", Strip(f"INV{n}", f"INV{n}", "inverter", (n,), wire=Feed(f"I{n}", f"I{n}"))) for n in sensors),
            *(circuit(n, "storage") for n in stores), *map(controller, controllers)]
    r.shuffle(ways)
    nets = [bus(n, [f"BA{n}", *stores[n::len(controllers)]]) for n in controllers if stores[n::len(controllers)]]
    nets += [lead(name, f"GW{r.choice(controllers)}") for name in sensors]
    nets += [elsewhere(n, f"GW{n}") for n in controllers if r.random() < 0.5]
    return site(ways, nets)


@pytest.mark.parametrize("seed", range(40))
def test_a_site_in_any_order_is_faultless_and_crosses_no_more_than_from_the_left(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = layout(*random_site(seed))
    assert list(faults(drawn)) == [] and list(unclear(drawn)) == []
    monkeypatch.setattr(tree, "turn", lambda nodes, found: None)
    assert crossings(drawn) <= crossings(layout(*random_site(seed)))


def usual() -> Drawn:
    """Sensors first, then storage, then the controller: the usual order of ways."""
    names = ["CT1", "CT2", "CT3"]
    ways = [*(circuit(n, "ct-p1-up") for n in names), circuit("BAT1", "storage"), circuit("BAT2", "storage"), controller(1)]
    nets = [bus(1, ["BA1", "BAT1", "BAT2"]), *(lead(n, "GW1") for n in names), elsewhere(1, "GW1")]
    return layout(*site(ways, nets))


def test_leads_go_round_the_bus_of_the_adapter_below_the_controller(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = usual()
    assert crossings(drawn) == 0
    monkeypatch.setattr(tree, "turn", lambda nodes, found: None)
    assert crossings(usual()) == 3  # each of the three leads and the bus have ends that alternate: chords of a circle then cross once


def test_the_text_of_a_controller_stands_where_its_leads_do_not_leave() -> None:
    drawn = usual()
    box = next(placed.bbox for placed in drawn.symbols if placed.id == "GW1")
    texts = [label.bbox for label in drawn.labels if label.of == "GW1"]
    assert texts and all(text[2] < box[0] for text in texts)
    assert all(max(wire.points, key=lambda point: point[0])[0] > box[2] for wire in drawn.wires if "GW1" in wire.ends and wire.kind == "lead"
               and wire.id.endswith(".lead"))


def test_what_passes_no_reference_runs_above_the_end_of_its_text() -> None:
    drawn = usual()
    text = next(label.bbox for label in drawn.labels if label.text.turned)
    assert max(y for wire in drawn.wires if wire.kind == "bus" for _, y in wire.points) < text[3]
