# SPDX-License-Identifier: MIT
"""The questions to the graph against networkx's own reachability, dominators, cuts and descendants, on random sites with changeovers,
generators, hybrid inverters and bus couplers; and against laws of graph theory (handshake, relabelling, splitting a cable or segment)."""
from __future__ import annotations

import random
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sites import site
from topology import conductors
from topology.conductors import L1, L2, PE, N, bits, carries
from topology.earthed import earthed_parts, links_of
from topology.flow import Flows
from topology.modes import ANY, GRID, Mode, joins
from topology.read import read_bytes
from topology.site import Bus, CurrentTransformer, Ported, Switching

GALLERY = Path(__file__).parents[1] / "gallery"
BACKUP = """devices:
  INV90: {kind: hybrid inverter, type: hybrid-5, phase: L1, ne_relay: yes, ports: {backup: {in_line: [breaker: 25 A C 2P 6 kA], feeds: QA90.normal}}}
  G90: {kind: generator, power: 5 kVA, phase: L1, starts: manual, ne_link: no, ports: {out: {in_line: [breaker: 25 A C 2P 6 kA], feeds: QA90.alternative}}}
  QA90: {kind: changeover, operated: automatic, rating: 40 A, poles: 1P solid-N, ports: {load: {feeds: BB}}}
  QC90: {kind: bus coupler, rating: 63 A, poles: 2P, stands: closed, ports: {b: {feeds: BB}}}
"""
BACKUP_BOARD = "  BB: {busbar: 63 A, circuits: [{way: 1, in_line: [breaker: 16 A C 1P 6 kA], load: lighting}, {way: 2, load: heater}]}\n"


def flows(text: str) -> Flows:
    read = read_bytes(text.encode())
    assert read.findings == (), [f.message for f in read.findings]
    return Flows(read)


def backed_up(seed: int, objects: int, phases: int) -> str:
    """A generated site with a hybrid inverter, a generator, a changeover and a bus coupler that closes a loop."""
    text = site(seed, objects, phases)
    phase = "phase: L1, " if phases == 3 else ""
    feeds = [f"      - {{way: {way}, {phase}in_line: [breaker: 32 A C 2P 6 kA], feeds: {to}}}\n" for way, to in (("480-481", "INV90.grid"), ("482-483", "QC90.a"))]
    text = re.sub(r"(  MSB:\n(?:    .*\n)*?    circuits:\n)", lambda m: m[1] + "".join(feeds), text, count=1)
    return text.replace("boards:\n", f"boards:\n{BACKUP_BOARD}", 1) + BACKUP


def plain(site_: Flows, conductor: int, mode: Mode) -> nx.Graph:
    """What conducts in a mode, built anew from the edges of the graph alone; an open device is two places."""
    graph = nx.Graph()
    cut = {n for n, obj in site_.graph.nodes(data="obj") if isinstance(obj, Switching) and n in mode.opened and not mode.every}
    layers = {N: ("power", "neutral"), PE: ("power", "earth")}.get(conductor, ("power",))
    graph.add_nodes_from(site_.graph)
    for u, v, data in site_.graph.edges(data=True):
        link = data["obj"]
        if data["layer"] not in layers or not carries(link.conductors, conductor):
            continue
        if isinstance(link.run, Ported) and not joins(link.run, link.ports, conductor, mode, link.conductors):
            continue
        opened = u in cut and conductor & conductors.PHASES
        graph.add_edge(f"{u} exit" if opened else u, v)
    return graph


SITES = st.tuples(st.integers(0, 10_000), st.integers(70, 160), st.sampled_from([1, 3]))


@given(SITES, st.sampled_from([L1, N, PE]), st.sampled_from([0, 1, 2, 3]), st.integers(0, 10_000))
@settings(max_examples=40, deadline=None)
def test_joined_separates_under_and_path_agree_with_networkx(made: tuple[int, int, int], conductor: int, which: int, seed: int) -> None:
    found = flows(backed_up(*made))
    mode = [*found.modes, ANY][which]
    mode = Mode(mode.name, frozenset(n for n in mode.opened if not isinstance(found.objects[n].poles, str) or conductor & conductors.PHASES),
                mode.live, mode.backup, mode.every)
    net, graph = found.net(conductor, mode), plain(found, conductor, mode)
    nodes, root = list(found.graph), found.root
    assert root is not None
    parts = list(nx.connected_components(graph))
    chosen = random.Random(seed).sample(nodes, 12)
    for a, b in pairwise(chosen):
        assert net.joined(a, b) == any(a in part and b in part for part in parts)
    below = nx.node_connected_component(graph, root)
    for d in chosen:
        if d == root or d not in below:
            continue
        rest = graph.copy()
        rest.remove_node(d)
        reach = nx.node_connected_component(rest, root)
        lost = {n for n in below - reach - {d} if not n.endswith(" exit")}
        assert set(net.under(d, root)) == lost
        for b in chosen:
            if b in below and b != d:
                assert net.separates(d, root, b) == (b in lost)


@given(SITES)
@settings(max_examples=15, deadline=None)
def test_what_separates_from_the_supply_are_networkxs_dominators(made: tuple[int, int, int]) -> None:
    """Immediate dominators of the flow graph from the supply, loops included; networkx maps the root to None."""
    found = flows(backed_up(*made))
    graph = plain(found, L1, GRID).to_directed()
    dominator = nx.immediate_dominators(graph, found.root)
    net = found.net(L1)
    for node in list(dominator)[::5]:
        chain = [node]
        while dominator.get(chain[-1]) not in (None, chain[-1]):
            chain.append(dominator[chain[-1]])
        assert net.path(found.root or "", node) == list(reversed(chain))


@given(st.integers(0, 10_000), st.integers(70, 300))
@settings(max_examples=20, deadline=None)
def test_in_a_tree_what_stands_under_a_node_are_its_descendants(seed: int, objects: int) -> None:
    found = flows(site(seed, objects))
    tree = nx.DiGraph((u, v) for u, v, d in found.graph.edges(data=True) if d["layer"] == "power" and d["obj"].conductors & L1)
    assert nx.is_arborescence(tree)
    for node in list(tree)[::7]:
        if node != found.root:
            assert set(found.net(L1).under(node, found.root or "")) == nx.descendants(tree, node)


@given(SITES)
@settings(max_examples=10, deadline=None)
def test_sum_of_degrees_is_twice_the_edges_and_opening_a_bridge_isolates_its_subtree(made: tuple[int, int, int]) -> None:
    """The handshake law; in the radial part each edge is a bridge: edges − nodes + parts loops in all."""
    found = flows(site(*made))
    graph = plain(found, L1, GRID)
    assert sum(d for _, d in graph.degree()) == 2 * graph.number_of_edges()
    assert graph.number_of_edges() - len(graph) + nx.number_connected_components(graph) == 0
    assert len(list(nx.bridges(graph))) == graph.number_of_edges()


def answers(found: Flows, rename: dict[str, str]) -> dict[str, Any]:
    """Answers about every sensor, source and bus, in names that `rename` undoes."""
    back = {new: old for old, new in rename.items()}

    def old(name: str) -> str:
        head, _, tail = name.partition(".")
        return f"{back.get(head, head)}{'.' if tail else ''}{tail}"
    said: dict[str, Any] = {}
    for obj in found.objects.values():
        if isinstance(obj, CurrentTransformer):
            said[old(obj.id)] = sorted(old(n) for n in found.seen_by(obj, obj.phase[0]))
        elif isinstance(obj, Bus):
            shape = found.bus_shape(obj)
            said[obj.id] = (sorted(old(n) for n in shape.devices), shape.is_chain, sorted(old(n) for n in shape.ends), shape.length)
    for source in found.sources:
        said[f"{old(source)} reached"] = [sorted(old(n) for n in found.reaching(source, L1, mode)) for mode in found.modes]
    said["earthed"] = sorted(sorted(old(n) for n in part.nodes) for part in earthed_parts(found))
    said["links"] = sorted(str([(sorted(old(x) for x in n.links), n.loads) for n in links_of(p, found, m)]) for p in earthed_parts(found) for m in found.modes)
    return said


@pytest.mark.parametrize("seed", range(6))
def test_other_names_and_another_order_of_circuits_change_no_answer(seed: int) -> None:
    text = backed_up(seed, 120, 1 + 2 * (seed % 2))
    rename = {f"BAT{n}": f"Unit_{90 - n}" for n in range(1, 9)} | {f"CG{n}": f"TX{n}" for n in range(1, 5)} | {"SB1": "ROOF", "INV1": "ZZ"}
    other = re.sub(r"\b(" + "|".join(rename) + r")\b", lambda m: rename[m[1]], text)
    head, circuits, tail = re.split(r"(?<=  SB1:\n)((?:    .*\n)+)", text, maxsplit=1)
    blocks = re.split(r"(?m)^(?=      - )", circuits)
    mixed = blocks[1:]
    random.Random(seed).shuffle(mixed)
    assert answers(flows(other), rename) == answers(flows(text), {})
    assert answers(flows(head + blocks[0] + "".join(mixed) + tail), {}) == answers(flows(text), {})


@pytest.mark.parametrize("seed", range(4))
def test_splitting_a_cable_or_a_segment_changes_no_answer(seed: int) -> None:
    text = backed_up(seed, 120, 1)
    split = re.sub(r"(cable: 6 mm² 2C\+6E Cu \w+) (\d+) m ([\w ]+)(\n.*\n.*storage: \{id: BAT1,)",
                   lambda m: f"{m[1]} 1 m {m[3]}\n          - junction: {{id: J1}}\n          - {m[1]} {int(m[2]) - 1} m {m[3]}{m[4]}", text)
    assert split != text
    plain_, cut = answers(flows(text), {}), answers(flows(split), {})
    extra = {"J1", *(n for values in cut.values() if isinstance(values, list) for v in values if isinstance(v, str) for n in [v] if "J1" in n)}
    for key, value in plain_.items():
        if isinstance(value, list) and value and isinstance(value[0], str) and key != "links":
            assert [n for n in cut[key] if n not in extra] == value
    segment = re.search(r"- \{from: BA1, to: (\w+), length: (\d+) m, shield_bond: BA1\}", text)
    assert segment
    two = text.replace(segment[0], f"- {{from: BA1, to: T9, length: 1 m, shield_bond: BA1}}\n      - {{from: T9, to: {segment[1]}, length: {int(segment[2]) - 1} m, "
                                   "shield_bond: T9}").replace("    type: bus-shielded-pair-60\n", "    type: bus-shielded-pair-60\n    taps: {T9: {name: Block}}\n", 1)
    before, after = (f.bus_shape(f.objects["control1"]) for f in (flows(text), flows(two)))
    assert (after.is_chain, after.ends, after.length) == (before.is_chain, before.ends, before.length)
    assert [d for d in after.devices if d != "T9"] == list(before.devices)


# ---- single questions ------------------------------------------------------------------------------------------------

YARD = (Path(__file__).parent / "checks/bases/yard.yaml").read_text(encoding="utf-8")


def test_in_grid_mode_the_supply_reaches_the_backup_board_and_without_it_the_hybrid_or_the_generator() -> None:
    found = flows(YARD)
    grid, lost, opened, resting = found.modes
    assert (grid.name, lost.name, opened.name) == ("grid", "grid lost", "main switch open")
    assert "supply" in found.reaching("BB", L1, grid)
    assert found.reaching("BB", L1, lost) == ("G1",)
    assert resting.name == "grid lost, changeover at normal" and found.reaching("BB", L1, resting) == ("INV3",)  # no generator is plugged in
    assert found.live("BB", L1, lost) and not found.live("SH", L1, lost) and not found.live("MSB", L1, lost)
    assert not found.live("MSB", L1, opened) and found.live("Q1", L1, opened)


def test_sources_reach_a_submain_from_either_side() -> None:
    found = flows(YARD)
    up, down = found.either_side("RF1", L2)
    assert "supply" in up and set(down) == {"INV2", "BAT2"}


def test_a_device_isolates_with_the_sources_own_switch_and_not_alone() -> None:
    found = flows(YARD)
    assert found.isolates(["U1.isolator"], "BAT1", L1)
    assert not found.isolates(["Q1"], "BAT1", L1)  # INV1 on the main switchboard still reaches it
    assert found.isolates(["Q1"], "SF", L1) is False
    assert found.isolates(["QA1.load"], "BB", L1)


def test_a_core_round_several_conductors_sees_what_all_of_them_feed() -> None:
    text = YARD.replace("isolator: 32 A 2P], feeds: {storage: {id: BAT1", "isolator: 32 A 2P, ct: {id: CT9, measures: storage, phase: L1}], feeds: {storage: {id: BAT1") \
               .replace("{id: U3, phase: L3, in_line: [isolator: 32 A 2P]", "{id: U3, phase: L1, in_line: [isolator: 32 A 2P, CT9]")
    found = flows(text)
    sensor = found.objects["CT9"]
    assert found.places(sensor) == ("CT9", "CT9.2")
    assert [n for n in found.seen_by(sensor, "L1") if n.startswith("BAT")] == ["BAT1", "BAT3"]


def test_what_conducts_in_a_device_follows_its_poles() -> None:
    found = flows(YARD)
    opened = Mode("q", frozenset({"SB.1.breaker", "Q1", "MSB.5.breaker"}))
    for node, phases, neutral in (("SB.1.breaker", False, False), ("Q1", False, True), ("MSB.5.breaker", False, True)):
        phase = bits([conductors.phase_names(found.phases_at(node))[0]])
        behind = next(v for _, v, d in found.graph.out_edges(node, data=True) if d["layer"] == "power")
        assert found.net(phase, opened).joined(found.root or "", behind) is phases
        assert found.net(N, opened).joined(found.root or "", behind) is neutral
        assert found.net(PE, opened).joined("NE1", behind)


def test_an_outbuilding_with_its_own_electrode_is_a_part_of_its_own_with_one_link() -> None:
    found = flows((GALLERY / "farmhouse/site.yaml").read_text(encoding="utf-8"))
    parts = earthed_parts(found)
    assert [[n.links for n in links_of(p, found)] for p in parts] == [[("NE1",)], [("NE2",)]]


def test_where_the_distributor_earths_or_the_site_is_tt_his_link_counts() -> None:
    text = YARD.replace("3/PEN", "3/N/PE").replace("35 mm² 4C", "35 mm² 5C").replace(", conductors: L1 L2 L3 PEN}\n    - ne_link: {id: NE1, electrode: rod 10 mm²}", "}", 1)
    assert sorted(n.links for p in earthed_parts(flows(text)) for n in links_of(p, flows(text))) == [("NE2",), ("the distributor",)]
    tt = """site: {name: x}
supply: {system: 1/N AC 50 Hz 230 V, in_line: [fuse: 63 A gG], feeds: MSB}
boards: {MSB: {circuits: [{way: 1, in_line: [rcbo: 16 A C 1P+N 30 mA type A 6 kA, cable: 2.5 mm² 2C+2.5E 5 m], load: sockets}]}}
earthing: {MET: {kind: main earth terminal, place: MSB, electrode: rod 6 mm²}}
"""
    found = flows(tt)
    assert [n.links for p in earthed_parts(found) for n in links_of(p, found)] == [("the distributor",)]


def test_a_shared_or_moved_neutral_goes_its_own_way() -> None:
    found = flows(YARD)
    assert not any(d["obj"].conductors & N for *_, d in found.graph.in_edges("MSB.21.breaker", data=True))
    assert found.net(N).path("MSB", "MSB.21.load")[-2:] == ["MSB.20.load", "MSB.21.load"]
    moved = flows(YARD.replace("{way: 1, phase: L3, in_line: [breaker: 16 A C 1P 6 kA], load: sockets}",
                               "{way: 1, phase: L3, moved_from: MSB, neutral_moved: no, in_line: [breaker: 16 A C 1P 6 kA], load: sockets}"))
    assert moved.net(N).path("NE1", "SH.1.load")[-2:] == ["MSB", "SH.1.load"]
    assert not moved.net(N).joined("SH.1.breaker", "SH.1.load") or "MSB" in moved.net(N).path("SH.1.breaker", "SH.1.load")


def test_earth_bars_join_what_they_hold() -> None:
    text = YARD + "earthing:\n  MET: {kind: main earth terminal, place: MSB, electrode: rod 10 mm², bonding: [{part: water pipe, conductor: 6 mm²}]}\n" \
                  "  EB1: {place: SB, joined_to: MET, conductor: 10 mm²}\n"
    found = flows(text)
    assert found.net(PE).joined("MET", "SB") and found.net(PE).joined("MET", "MET.bond")
    assert {"MET", "EB1", "MET.electrode"} <= set(earthed_parts(found)[0].nodes)
