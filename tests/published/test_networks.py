# SPDX-License-Identifier: MIT
"""The four-wire sweep against solved networks of others: a small feeder, a village network, and a live solver on random sites."""
from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sites import site
from topology.drop import along, percent, segment_change
from topology.electrical import solve
from topology.electrical.conductors_of import impedance_of
from topology.fault import C_MAX, C_MIN, earth_fault, three_phase
from topology.flow import Flows
from topology.impedance import ALPHA_FAULT, at_temperature
from topology.read import read_bytes
from topology.sweep import Draw, Segment, Solution, balanced, sweep

U0 = 400 / math.sqrt(3)
# The small feeder: source 0.015 + j0.020 ohm in each phase, none in the neutral; copper at 75 °C (alpha 0.00393). Solved by a sweep
# and by three open-source network solvers, in sequence components and with four wires, that agree within 1e-5 V and 1e-5 A.
NODES = ("SRC", "POS", "MSB", "SUB", "INV1", "INV2")
BRANCHES = ((1, 20, 0.727, 0.0808), (2, 30, 1.15, 0.0805), (3, 10, 3.08, 0.0897), (3, 18, 3.08, 0.0897))
SOURCE = 0.015 + 0.02j


def feeder(degc: float, alpha: float) -> list[Segment | None]:
    rows = [(parent, complex(at_temperature(r, degc, alpha), x) * length / 1000) for parent, length, r, x in BRANCHES]
    return [None, Segment(0, SOURCE, 0), *(Segment(parent, z, z) for parent, z in rows)]


def solved(draws: list[Draw]) -> Solution:
    return sweep(feeder(75, 0.00393), draws, balanced(U0))


def test_the_small_feeder_exporting_20_kw_balanced() -> None:
    house = complex(500, 164.3420525894316)
    found = solved([Draw(node, (p, 3), s) for p in range(3) for node, s in ((4, -10e3 / 3), (5, -10e3 / 3), (2, house))])
    volts = (230.94011, 231.32044, 231.7855, 232.98222, 233.51691, 233.9429)
    amps = (26.37563, 26.37563, 28.52297, 14.27448, 14.24849)
    for node, u in enumerate(volts):
        assert found.to_neutral(node) == pytest.approx((u, u, u), abs=1e-4), NODES[node]
    for node, i in enumerate(amps, 1):
        assert [abs(x) for x in found.i[node][:3]] == pytest.approx([i] * 3, abs=1e-4)
        assert abs(found.i[node][3]) < 1e-4


def test_the_small_feeder_exporting_on_two_phases_moves_its_neutral() -> None:
    found = solved([Draw(4, (0, 3), -5000), Draw(5, (1, 3), -5000), Draw(2, (0, 3), 1000), Draw(2, (1, 3), 2000), Draw(2, (2, 3), 500)])
    volts = ((230.94011, 230.94011, 230.94011), (231.19614, 231.12665, 230.90756), (231.72728, 231.41475, 230.57316),
             (233.11996, 232.70906, 229.67463), (234.71582, 232.30027, 229.29237), (232.44866, 235.57117, 228.92367))
    amps = ((16.98696, 12.58263, 2.16851, 17.52365), (16.98696, 12.58263, 2.16851, 17.52365), (21.30236, 21.22501, 0, 21.42315),
            (21.30236, 0, 0, 21.30236), (0, 21.22501, 0, 21.22501))
    for node, u in enumerate(volts):
        assert found.to_neutral(node) == pytest.approx(u, abs=1e-4), NODES[node]
    for node, i in enumerate(amps, 1):
        assert [abs(x) for x in found.i[node]] == pytest.approx(i, abs=1e-4), NODES[node]


def test_the_linear_method_of_inspectors_on_the_small_feeder() -> None:
    """Facts kept with the feeder: rated current of 10 kVA at 400 V in three phases, mains and submain with both inverters."""
    rated = 10_000 / (3 * U0)
    parts = [segment_change(rated * n, at_temperature(r, 75, 0.00393), length, single_phase=False)
             for n, (_, length, r, _) in zip((2, 2, 1, 1), BRANCHES, strict=True)]
    assert [p.volts for p in parts] == pytest.approx([0.51046, 1.2112, 0.54065, 0.97317], abs=1e-5)
    for last, volts, share in ((2, 2.26231, 0.9836), (3, 2.69483, 1.1717)):
        way = along([parts[0], parts[1], parts[last]])
        assert way.volts == pytest.approx(volts, abs=1e-5)
        assert percent(way.volts, 230) == pytest.approx(share, abs=1e-4)


def test_fault_currents_of_the_small_feeder() -> None:
    """IEC 60909 by an open-source network solver and in closed form, which agree to 1 mA: c = 1.05 at 20 °C, c = 0.95 at 70 °C (alpha 0.004)."""
    printed = {"3ph_max": (9699.485, 6624.582, 3545.114, 2472.81, 1984.325), "1ph_max": (9699.485, 4866.539, 2081.257, 1368.336, 1072.309),
               "1ph_min": (8775.724, 3986.109, 1617.576, 1050.925, 819.892)}
    for case, degc, c in (("3ph_max", 20, C_MAX), ("1ph_max", 20, C_MAX), ("1ph_min", 70, C_MIN)):
        z, back = [0j], [0j]
        for segment in feeder(degc, ALPHA_FAULT)[1:]:
            assert segment is not None
            z.append(z[segment.parent] + segment.z_phase)
            back.append(back[segment.parent] + segment.z_neutral)
        made = [three_phase(U0, line, c) if case == "3ph_max" else earth_fault(U0, line, rest, c) for line, rest in zip(z[1:], back[1:], strict=True)]
        assert [f.ampere for f in made] == pytest.approx(printed[case], rel=0.001)


def test_the_village_network_has_the_voltages_of_its_package() -> None:
    """See the head of kerber_village.csv for citation and licence."""
    lines = (Path(__file__).parent / "kerber_village.csv").read_text(encoding="utf-8").splitlines()
    rows = [{k: float(v or 0) for k, v in row.items()} for row in csv.DictReader(line for line in lines if not line.startswith("#"))]
    assert len(rows) == 115
    z = [complex(r["r_ohm_per_km"], r["x_ohm_per_km"]) * r["length_m"] / 1000 for r in rows]
    segments = [None if not n else Segment(int(r["fed_by"]), z[n], z[n]) for n, r in enumerate(rows)]
    draws = [Draw(n, (p, 3), r["load_w"] / 3) for n, r in enumerate(rows) if r["load_w"] for p in range(3)]
    found = sweep(segments, draws, balanced(U0))
    for n, r in enumerate(rows):
        assert [math.sqrt(3) * u for u in found.to_neutral(n)] == pytest.approx([r["line_v"]] * 3, abs=1e-3), n


# ---- a live reference ------------------------------------------------------------------------------------------------

Tree = list[tuple[int, float, float, float]]


@st.composite
def networks(draw: st.DrawFn) -> tuple[Tree, list[tuple[int, int, float, float]]]:
    """A random radial site: (fed by, r, x, neutral's share of the impedance) for each node; (node, phase, P, Q) for each load."""
    size = draw(st.integers(2, 14))
    tree = [(draw(st.integers(0, n)), draw(st.floats(0.002, 0.08)), draw(st.floats(0.0005, 0.02)), draw(st.sampled_from([0.5, 1, 2])))
            for n in range(size)]
    loads = [(draw(st.integers(1, size)), draw(st.integers(0, 2)), draw(st.floats(-6000, 6000)), draw(st.floats(-1500, 2000)))
             for _ in range(draw(st.integers(1, 10)))]
    return tree, loads


def reference(tree: Tree, loads: list[tuple[int, int, float, float]], u0: float = U0) -> Any:
    """Voltages phase to neutral of the same network by power-grid-model: a neutral of its own is zero-sequence impedance Z + 3 Zn."""
    pgm = pytest.importorskip("power_grid_model")
    np = pytest.importorskip("numpy")

    def table(kind: str, **columns: Any) -> Any:
        made = pgm.initialize_array("input", kind, len(columns["id"]))
        for name, values in columns.items():
            made[name] = values
        return made
    count = len(tree)
    r, x = np.array([t[1] for t in tree]), np.array([t[2] for t in tree])
    share = np.array([t[3] for t in tree])
    zero, one = np.zeros(count), np.ones(count)
    p, q = np.zeros((len(loads), 3)), np.zeros((len(loads), 3))
    for k, (_, phase, active, reactive) in enumerate(loads):
        p[k, phase], q[k, phase] = active, reactive
    data = {
        "node": table("node", id=np.arange(count + 1), u_rated=400.0 * np.ones(count + 1)),
        "line": table("line", id=100 + np.arange(count), from_node=[t[0] for t in tree], to_node=1 + np.arange(count), from_status=one,
                      to_status=one, r1=r, x1=x, c1=zero, tan1=zero, r0=r * (1 + 3 * share), x0=x * (1 + 3 * share), c0=zero, tan0=zero,
                      i_n=1000 * one),
        "source": table("source", id=[1000], node=[0], status=[1], u_ref=[u0 / U0], sk=[1e20]),
        "asym_load": table("asym_load", id=2000 + np.arange(len(loads)), node=[load[0] for load in loads], status=[1] * len(loads),
                           type=[pgm.LoadGenType.const_power] * len(loads), p_specified=p, q_specified=q)}
    made = pgm.PowerGridModel(data).calculate_power_flow(symmetric=False, error_tolerance=1e-10)
    return made["node"]["u"]


@settings(deadline=None, max_examples=60)
@given(networks())
def test_every_voltage_of_a_random_unbalanced_site_is_that_of_another_solver(case: tuple[Tree, list[tuple[int, int, float, float]]]) -> None:
    tree, loads = case
    segments = [None, *(Segment(parent, complex(r, x), share * complex(r, x)) for parent, r, x, share in tree)]
    wanted = reference(tree, loads)
    found = sweep(segments, [Draw(node, (phase, 3), complex(p, q)) for node, phase, p, q in loads], balanced(U0))
    for node in range(len(segments)):
        assert found.to_neutral(node) == pytest.approx(tuple(wanted[node]), abs=1e-3)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("case", ["demand", "charging", "export"])
def test_every_voltage_of_a_generated_site_file_is_that_of_another_solver(seed: int, case: str) -> None:
    """From the text of a three-phase site with solar and storage to voltages, in three ways of operating."""
    solved_ = solve(Flows(read_bytes(site(seed, 150, 3).encode())))
    volts = solved_.voltages[case]
    cables = sorted(solved_.tree.cables.values())
    number = {0: 0}
    for node in range(1, len(solved_.tree.ids)):  # the end of each cable is a node of the reference, devices in line are none
        number[node] = cables.index(node) + 1 if node in cables else number[solved_.tree.parent[node]]
    hot = [impedance_of(solved_.given, solved_.link(node).run, solved_.link(node)) for node in cables]
    tree = [(number[solved_.tree.parent[node]], z.phase.real, z.phase.imag, abs(z.neutral / z.phase)) for node, z in zip(cables, hot, strict=True)]
    loads = [(number[d.node], d.between[0], d.s_va.real, d.s_va.imag) for d in volts.case.draws if d.between[1] == 3]
    assert len(loads) == len(volts.case.draws) > 3
    wanted = reference(tree, loads, 230.0)
    for node in range(len(solved_.tree.ids)):
        for phase in solved_.tree.phases(node):
            assert volts.swept(node)[phase] == pytest.approx(wanted[number[node]][phase], abs=1e-3), solved_.tree.ids[node]
