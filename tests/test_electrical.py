# SPDX-License-Identifier: MIT
"""The computation of whole sites: values worked out by hand or by published solutions, laws, and what is not known.

Hand values are worked out in the comments from IEC 60228 resistances; nothing here was copied from the program's own output.
"""
from __future__ import annotations

import cmath
import itertools
import math
import re
from pathlib import Path
from typing import Any

import pytest
from sites import site
from topology.assumed import assumptions
from topology.electrical import Electrical, Size, solve
from topology.electrical.conductors_of import impedance_of, parts_of
from topology.electrical.working import working
from topology.errors import CannotTell
from topology.flow import Flows
from topology.read import read_bytes, read_file

GALLERY = Path(__file__).parents[1] / "gallery"
# The feeder of tests/published/test_networks.py as a site: V-75 cable is taken at 75 °C, so its resistances are the published ones.
FEEDER = """
site: {name: Feeder}
profile: [au]
supply:
  system: 3/N/PE AC 50 Hz 400/230 V
  faults: {largest: 9 kA at point of supply, loop: 0.05 ohm declared at point of supply}
  in_line: [fuse: {id: SF, rating: 63 A gG}, cable: {id: W1, parts: [25 mm² 4C+25E Cu V-75 20 m on tray]}]
  feeds: MSB
boards:
  MSB:
    circuits:
      - {way: 1, in_line: [breaker: 40 A C 4P 10 kA, cable: {id: W2, parts: [16 mm² 4C+16E Cu V-75 30 m on tray]}], feeds: SUB}
      - {way: 5, phase: L1, in_line: [breaker: 20 A C 2P 10 kA, cable: {id: W5, parts: [4 mm² 2C+4E Cu V-75 25 m on tray]}], load: heater 2.3 kW}
  SUB:
    circuits:
      - {way: 1, in_line: [breaker: 20 A C 4P 10 kA, cable: {id: W3, parts: [6 mm² 4C+6E Cu V-75 10 m on tray]}], feeds: {inverter: {id: INV1, type: ten}}}
      - {way: 2, in_line: [breaker: 20 A C 4P 10 kA, cable: {id: W4, parts: [6 mm² 4C+6E Cu V-75 18 m on tray]}], feeds: {inverter: {id: INV2, type: ten}}}
types:
  ten: {kind: inverter, power: 10 kVA, phases: 3}
"""


def solved(text: str) -> Electrical:
    read = read_bytes(text.encode())
    assert read.findings == ()
    return solve(Flows(read))


def changed(*swaps: tuple[str, str]) -> Electrical:
    text = FEEDER
    for old, new in swaps:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return solved(text)


@pytest.fixture(scope="module")
def feeder() -> Electrical:
    return solved(FEEDER)


def cable(e: Electrical, name: str) -> int:
    return e.cable_node(e.flows.objects[name])


def part(e: Electrical, name: str) -> Any:
    return parts_of(e.flows.objects[name])[0]


# ---- voltages --------------------------------------------------------------------------------------------------------

def test_the_linear_rise_of_a_site_is_the_published_one(feeder: Electrical) -> None:
    """2.26231 V and 2.69483 V phase to neutral for 10 kVA each at 400/√3 V; here at 230 V, so currents are 400/(√3·230) times larger."""
    scale = 400 / math.sqrt(3) / 230
    assert feeder.linear_rise(feeder.node("INV1")) == pytest.approx(2.26231 * scale, abs=1e-4)
    assert feeder.linear_rise(feeder.node("INV2")) == pytest.approx(2.69483 * scale, abs=1e-4)
    assert feeder.linear_rise(cable(feeder, "W1")) == pytest.approx(0.51046 * scale, abs=1e-4)


def test_the_swept_rise_is_a_little_less_than_the_linear_one(feeder: Electrical) -> None:
    """At constant power the current falls as the voltage rises; to first order by the rise itself, 1.2 % here."""
    for name in ("INV1", "INV2"):
        linear, swept = feeder.linear_rise(feeder.node(name)), feeder.rise(feeder.node(name))
        assert linear * 0.98 < swept < linear


def test_a_single_phase_drop_counts_both_ways_and_the_neutrals_share_of_the_mains(feeder: Electrical) -> None:
    """2.3 kW at 230 V is 10 A; r at 75 °C is 1.21615 r20: W1 0.727, 20 m; W5 4.61, 25 m; both there and back."""
    hot = 1 + 0.00393 * 55
    by_hand = 10 * 2 * hot * (0.727 * 0.020 + 4.61 * 0.025)
    assert feeder.linear_drop(cable(feeder, "W5")) == pytest.approx(by_hand, abs=1e-6)
    # exact for one resistive load at constant power: U = (E + √(E² - 4 R P)) / 2
    r = by_hand / 10
    exact = 230 - (230 + math.sqrt(230**2 - 4 * r * 2300)) / 2
    assert feeder.drop(cable(feeder, "W5")) == pytest.approx(exact, abs=0.01)  # the cable's reactance is not in the hand formula


def test_phases_without_load_rise_where_the_neutral_moves(feeder: Electrical) -> None:
    changes = feeder.voltages["demand"].changes(feeder.node("SUB"))
    assert changes[0] < 0 < max(changes[1], changes[2])


def test_each_line_and_its_neutral_balance_at_every_node_of_a_random_site() -> None:
    """Kirchhoff's first law: the four currents into any node sum to zero; what leaves a bar is what enters it."""
    for phases in (1, 3):
        e = solved(site(4, 300, phases))
        for volts in e.voltages.values():
            assert not volts.case.missing
            below = [[0j] * 4 for _ in e.tree.ids]
            for node, currents in enumerate(volts.currents):
                assert abs(sum(currents)) < 1e-9
                if node:
                    below[e.tree.parent[node]] = [a + b for a, b in zip(below[e.tree.parent[node]], currents, strict=True)]
            own = {d.node for d in volts.case.draws}
            for node, currents in enumerate(volts.currents):
                if node not in own:
                    assert currents == pytest.approx(below[node], abs=1e-9)


def test_voltages_of_a_random_site_follow_from_its_currents_cable_by_cable() -> None:
    """Ohm's law along each cable, and the power of each draw, from the solved network of a site of 200 objects."""
    e = solved(site(7, 200, 3))
    volts = e.voltages["export"]
    found, net = volts.solution, volts._net  # noqa: SLF001
    for node in e.tree.cables.values():
        at, above = net.at[node], net.at[e.tree.parent[node]]
        segment = net.segments[at]
        assert segment is not None
        for place in range(4):
            z = segment.z_neutral if place == 3 else segment.z_phase
            assert found.u[above][place] - found.u[at][place] == pytest.approx(z * found.i[at][place], abs=1e-5)


# ---- currents --------------------------------------------------------------------------------------------------------

def test_design_currents_are_the_largest_of_all_ways_of_operating(feeder: Electrical) -> None:
    each = 10_000 / 3 / 230
    assert feeder.design(cable(feeder, "W3")).ampere == pytest.approx(each)
    main = feeder.design(cable(feeder, "W1"))
    assert (main.ampere, main.case) == (pytest.approx(2 * each), "export")
    load = feeder.design(cable(feeder, "W5"))
    assert (load.ampere, load.case) == (pytest.approx(10), "demand")


def test_a_hybrid_inverter_that_may_charge_from_the_supply_draws_its_rating_beside_its_loads() -> None:
    """Common practice, no source: what passes through to the backed-up loads and what charges the battery add up in its circuit."""
    text = (GALLERY / "bakery" / "site.yaml").read_text(encoding="utf-8")
    no, yes = (solve(Flows(read_bytes(text.replace("charge_from_grid: no", f"charge_from_grid: {said}").encode()))) for said in ("no", "yes"))
    through, with_charge = (abs(e.cases["charging"].local[cable(e, "W2")][0]) for e in (no, yes))
    assert through < with_charge <= through + 5200 / 230 + 1e-9 and with_charge > 5200 / 230
    assert yes.design(cable(yes, "W2")).case == "charging" and no.design(cable(no, "W2")).case == "export"
    assert any("may charge from the supply" in said for said in assumptions(yes.flows)) and not any("may charge" in s for s in assumptions(no.flows))


def test_a_limit_of_software_is_a_case_of_its_own_and_never_the_design_current() -> None:
    e = changed(("power: 10 kVA,", "power: 10 kVA, limit: 6 kVA,"))
    assert e.design(cable(e, "W1")).ampere == pytest.approx(20_000 / 3 / 230)
    assert abs(e.voltages["limited"].currents[cable(e, "W1")][0]) == pytest.approx(12_000 / 3 / 230)


def test_loads_behind_a_device_count_no_more_than_it_lets_through() -> None:
    loads = "".join(f"\n      - {{way: {n}, in_line: [breaker: 20 A C 1P 6 kA], load: heater 4 kW}}" for n in range(1, 6))
    e = solved("site: {name: S}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: {id: SF, rating: 63 A gG}], feeds: MSB}\n"
               f"boards:\n  MSB:\n    circuits:{loads}\n")
    assert e.design(e.node("MSB")).ampere == pytest.approx(63)  # 5 × 4 kW would be 87 A
    assert e.cases["demand"].limited == {e.node("SF"): pytest.approx(5 * 4000 / 230)}
    half = solved("site: {name: S}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: {id: SF, rating: 63 A gG}], feeds: MSB}\n"
                  f"boards:\n  MSB:\n    diversity: 50 %\n    circuits:{loads}\n")
    assert half.design(half.node("MSB")).ampere == pytest.approx(5 * 4000 / 230 / 2)


RING = """
site: {name: Ring}
profile: [uk]
supply: {system: 1/N/PE AC 50 Hz 230 V, faults: {largest: 6 kA at point of supply, loop: 0.35 ohm at point of supply}, feeds: CU}
boards:
  CU:
    circuits:
      - {way: 1, ring: yes, in_line: [breaker: 32 A B 1P 6 kA, cable: {id: W1, parts: [2.5 mm² 2C+1.5E Cu PVC 60 m clipped direct]}], load: sockets 4.6 kW}
"""


def test_a_ring_has_a_quarter_of_its_length_at_its_middle() -> None:
    """Two legs of 30 m side by side. By hand, hot copper at 1.1965: 20 A × 2 × 7.41 × 1.1965 ohm/km × 15 m = 5.32 V. The quarter of r1 + r2 is what
    British guidance on tests of ring finals gives at the middle (from memory); for faults copper at 70 °C by 0.004/K: 1.2."""
    e = solved(RING)
    node = e.node("CU.1.load")
    assert e.linear_drop(node) == pytest.approx(5.32, abs=0.005)
    assert e.voltages["demand"].linear_part(cable(e, "W1"), 0).volts == pytest.approx(5.32, abs=0.005)
    assert e.faults.loop(node) == pytest.approx(0.35 + (7.41 + 12.1) * 1.2 * 0.060 / 4, abs=0.002)
    assert "a quarter of the ring of 60 m: at its middle" in working(e.flows, e, "W1")
    assert any("the ring of CU.1 stands at its middle" in text for text in assumptions(e.flows))


def test_no_place_on_a_ring_drops_more_than_its_middle() -> None:
    """Kirchhoff: two legs x and 1 - x in parallel have x (1 - x) of the whole ring."""
    one = solved(RING).drop(solved(RING).node("CU.1.load"))
    for metres in (3, 12, 30):  # the two legs as one cable of the resistance that they have together
        alone = metres * (60 - metres) / 60
        e = solved(RING.replace("ring: yes, ", "").replace("60 m", f"{alone:g} m"))
        assert e.drop(e.node("CU.1.load")) <= one + 1e-9


def test_whether_it_is_a_ring_at_all_may_be_open() -> None:
    e = solved(RING.replace("ring: yes", "ring: TBC"))
    with pytest.raises(CannotTell, match="ring final"):
        e.drop(e.node("CU.1.load"))
    with pytest.raises(CannotTell, match="ring final"):
        e.faults.loop(e.node("CU.1.load"))


CROWDED = """
site: {name: Crowded}
profile: [au]
supply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [breaker: {id: Q1, rating: 63 A C 2P}, cable: {id: W0, parts: [16 mm² 2C+16E Cu PVC 10 m in conduit]}], feeds: MSB}
boards:
  MSB:
    circuits:
      - {way: 1, in_line: [breaker: 32 A C 2P, cable: {id: W1, parts: [4 mm² 2C+4E Cu PVC 50 m in conduit]}], load: heater 6 kW}
      - {way: 3, in_line: [breaker: 40 A C 2P, cable: 16 mm² 2C+16E Cu PVC 2 m in conduit], load: heater OTHER kW}
      - {way: 5, in_line: [breaker: 40 A C 2P, cable: 16 mm² 2C+16E Cu PVC 2 m in conduit], load: heater OTHER kW}
"""


def test_a_circuit_drops_what_its_own_load_makes_it_drop_though_the_main_switch_lets_not_all_run() -> None:
    """By hand, copper at 70 °C: 26.09 A × 2 × 4.61 × 1.1965 ohm/km × 50 m = 14.39 V, and 63 A × 2 × 1.15 × 1.1965 ohm/km × 10 m = 1.73 V."""
    e = solved(CROWDED.replace("OTHER", "9"))
    assert e.voltages["demand"].linear_part(cable(e, "W1"), 0).volts == pytest.approx(14.39, abs=0.005)
    assert e.voltages["demand"].linear_part(cable(e, "W0"), 0).volts == pytest.approx(1.73, abs=0.005)
    assert e.linear_drop(e.node("MSB.1.load")) == pytest.approx(16.12, abs=0.01)
    assert e.linear_drop(e.node("MSB.1.load")) < e.drop(e.node("MSB.1.load")) < 1.08 * 16.12  # constant power draws more at a lower voltage


def test_more_load_elsewhere_never_makes_a_drop_smaller_on_one_phase() -> None:
    def drops(other: float) -> list[float]:
        e = solved(CROWDED.replace("OTHER", f"{other:g}"))
        return [question(e.node("MSB.1.load")) for question in (e.drop, e.linear_drop)]
    grown = [drops(other) for other in (0.5, 2, 4, 6, 8, 9)]
    assert all(b >= a - 0.05 for before, after in itertools.pairwise(grown) for a, b in zip(before, after, strict=True))
    assert grown[-1][0] > grown[0][0] + 0.5


def test_three_storage_units_on_one_neutral_may_put_twice_the_current_of_one_in_it() -> None:
    """Phasor sum: two push and one pulls, 120° apart, gives 2 I; 2.7 kVA at 230 V is 11.7 A."""
    e = solve(Flows(read_file(GALLERY / "orchard/site.yaml")))
    design = e.design(cable(e, "W3"))
    assert (design.ampere, design.conductor) == (pytest.approx(2 * 2700 / 230), "N")


def test_equipment_between_two_phases_of_a_split_supply_finds_twice_the_voltage() -> None:
    e = solve(Flows(read_file(GALLERY / "ferry/site.yaml")))
    a, b, _ = e.given.source
    assert abs(a - b) in (pytest.approx(2 * 230), pytest.approx(math.sqrt(3) * 230))
    assert abs(cmath.phase(b / a)) in (pytest.approx(math.pi), pytest.approx(2 * math.pi / 3))


# ---- capacity and sizes ----------------------------------------------------------------------------------------------

def test_capacity_takes_the_ambient_of_the_profile_and_says_so(feeder: Electrical) -> None:
    """6 mm², three loaded, free air 43 A at 30 °C (IEC 60364-5-52), factor 0.87 at 40 °C."""
    found = feeder.capacity(cable(feeder, "W3"), part(feeder, "W3"))
    assert found.working == "43 A × 0.87 ambient 40 °C = 37.4 A"
    assert not found.firm  # this row is known from memory


def test_reactance_goes_by_the_frequency_of_the_supply() -> None:
    """X = 2 π f L: at 60 Hz six fifths of what it is at 50 Hz; resistance stays."""
    at_50, at_60 = (impedance_of(e.given, e.flows.objects["W1"], e.link(cable(e, "W1"))) for e in (changed(), changed(("AC 50 Hz", "AC 60 Hz"))))
    assert at_60.phase.imag == pytest.approx(1.2 * at_50.phase.imag) and at_60.phase.real == at_50.phase.real
    assert any("at 60 Hz" in text for text in assumptions(changed(("AC 50 Hz", "AC 60 Hz")).flows))


def test_cables_in_parallel_count_as_circuits_laid_together() -> None:
    """IEC 60364-5-52 clause 523 (from memory): so many cables in parallel are so many circuits; two in a row of several carry 0.80 or 0.88 each."""
    one, two = (changed(("parts: [16 mm² 4C+16E", f"parts: [{n}16 mm² 4C+16E")) for n in ("", "2x "))
    alone, beside = (e.capacity(cable(e, "W2"), part(e, "W2")) for e in (one, two))
    assert 1.5 < beside.ampere / alone.ampere < 2
    assert ("2 circuits together", beside.rows[1].number("factor")) in beside.factors


def test_a_pen_conductor_is_never_smaller_than_10_mm2_of_copper_or_16_mm2_of_aluminium() -> None:
    """IEC 60364-5-54 clause 543.4, from memory."""
    text = ("site: {name: S}\nsupply: {system: 1/PEN AC 50 Hz 230 V, in_line: [fuse: 20 A gG, cable: {id: W0, parts: [25 mm² 2C Cu XLPE 5 m in air], "
            "conductors: L1 PEN}, ne_link: {electrode: rod 10 mm²}], load: heater 1 kW}\n")
    for metal, least in (("Cu", 10), ("Al", 16)):
        e = solved(text.replace("Cu", metal))
        assert e.smallest(cable(e, "W0"), part(e, "W0")) == Size(least, "the smallest PEN conductor")


def test_no_size_is_said_to_pass_or_fail_where_the_tables_have_none(tmp_path: Path) -> None:
    head = "# table: methods\n# edition: own\n# source: own survey\nwords,method,arrangement,found\n"
    other = "# table: capacity\n# edition: own\n# source: own survey\ninsulation,method,loaded,material,area_mm2,ampere,reference_degc,found\nEPR,Z,3,Cu,25,90,30,text\n"
    (tmp_path / "own.csv").write_text(head + "on tray,Z,enclosed,text\n", encoding="utf-8")
    (tmp_path / "epr.csv").write_text(other, encoding="utf-8")
    e = solve(Flows(read_bytes((FEEDER + "tables: [own.csv, epr.csv]\n").encode(), folder=tmp_path)))
    with pytest.raises(CannotTell, match="method Z"):
        e.smallest(cable(e, "W1"), part(e, "W1"))


def test_circuits_laid_together_carry_less() -> None:
    e = changed(("{id: W5, parts: [4 mm² 2C+4E Cu V-75 25 m on tray]}",
                 "{id: W5, parts: [{area: 4 mm², cores: 2C+4E, material: Cu, insulation: V-75, length: 25 m, installed: in conduit, grouped: 3}]}"))
    found = e.capacity(cable(e, "W5"), part(e, "W5"))
    assert found.working == "30 A × 0.87 ambient 40 °C × 0.7 3 circuits together = 18.3 A"


def test_a_capacity_of_the_users_own_goes_before_the_tables() -> None:
    e = changed(("{id: W5, parts: [4 mm² 2C+4E Cu V-75 25 m on tray]}",
                 "{id: W5, parts: [{area: 4 mm², cores: 2C+4E, material: Cu, length: 25 m, capacity: 31 A, capacity_source: data sheet 4}]}"))
    found = e.capacity(cable(e, "W5"), part(e, "W5"))
    assert (found.ampere, found.rows[0].source, found.firm) == (31, "data sheet 4", True)


def test_a_users_table_beside_the_site_file_is_used(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("# table: capacity\n# edition: licensed copy\n# source: national table, row by row\n"
                                      "insulation,method,loaded,material,area_mm2,ampere,reference_degc,found\nV-75,E,2,Cu,4,38,40,text\n", encoding="utf-8")
    (tmp_path / "site.yaml").write_text(FEEDER + "tables: [own.csv]\n", encoding="utf-8")
    e = solve(Flows(read_file(tmp_path / "site.yaml")))
    found = e.capacity(cable(e, "W5"), part(e, "W5"))
    assert (found.working, found.rows[0].source, found.firm) == ("38 A = 38.0 A", "national table, row by row", True)


def test_on_the_long_runs_the_size_that_carries_the_current_fails_on_voltage_rise() -> None:
    text = (GALLERY / "longrun/site.yaml").read_text(encoding="utf-8")
    e = solved(text)
    limit = 0.02 * 230  # AS/NZS 4777.1 (Energy Safe Victoria, issue 51)
    sources = ("INV1", "BAT1", "BAT2")
    assert all(e.linear_rise(e.node(name)) < limit for name in sources)
    for name, old, first in (("W2", "50 mm² 4C+16E", 16), ("WS", "6 mm² 4C+2.5E", 2.5), ("WB1", "10 mm² 2C+4E Cu XLPE 27", 2.5),
                             ("WB2", "10 mm² 2C+4E Cu XLPE 29", 2.5)):
        size = e.smallest(cable(e, name), part(e, name))
        assert size is not None and size.governed_by == "voltage rise"
        assert size.area_mm2 == float(old.split()[0])
        thin = solved(text.replace(old, f"{first} mm²{old.partition('mm²')[2]}"))
        carried = thin.capacity(cable(thin, name), part(thin, name)).ampere
        assert carried >= max(thin.rated(cable(thin, name)) or 0, thin.design(cable(thin, name)).ampere)
        assert max(thin.linear_rise(thin.node(s)) for s in sources) > limit


def test_a_cable_of_its_longest_length_uses_up_the_limit(feeder: Electrical) -> None:
    far = feeder.longest(cable(feeder, "W4"), part(feeder, "W4"))
    assert far is not None
    e = changed(("Cu V-75 18 m", f"Cu V-75 {far:.6f} m"))
    assert e.linear_rise(e.node("INV2")) == pytest.approx(0.02 * 230, abs=1e-5)


# ---- faults ----------------------------------------------------------------------------------------------------------

def test_the_largest_current_at_the_declared_place_is_the_declared_one_and_falls_from_there(feeder: Electrical) -> None:
    at = [feeder.faults.largest(feeder.node(name)).ampere for name in ("supply", "MSB", "SUB", "INV2")]
    assert at[0] == pytest.approx(9000)
    assert at == sorted(at, reverse=True)


def test_the_largest_current_is_never_below_that_of_any_angle_of_the_supply(feeder: Electrical) -> None:
    """Closed form with IEC 60228 at 20 °C; the supply's share of resistance is not declared, so it is swept from none to all."""
    z = complex(0.727 * 0.020 + 1.15 * 0.030, 0.0808 * 0.020 + 0.0805 * 0.030)
    source = 1.05 * 230 / 9000
    possible = [1.05 * 230 / abs(cmath.rect(source, math.radians(angle)) + z) for angle in range(0, 91, 5)]
    assert max(possible) <= feeder.faults.largest(feeder.node("SUB")).ampere * 1.0001


def test_the_loop_of_a_circuit_adds_line_and_protective_conductor_hot(feeder: Electrical) -> None:
    """0.05 ohm at the point of supply; W1 25 mm² 20 m, W5 4 mm² 25 m, PE of the same size, 75 °C by 0.004 per K."""
    hot = 1 + 0.004 * 55
    r, x = 2 * hot * (0.727 * 0.020 + 4.61 * 0.025), 2 * (0.0808 * 0.020 + 0.0967 * 0.025)
    node = cable(feeder, "W5")
    assert feeder.faults.loop(node) == pytest.approx(0.05 + math.hypot(r, x), rel=1e-6)
    assert feeder.faults.smallest(node).ampere == pytest.approx(0.95 * 230 / feeder.faults.loop(node))


def test_disconnection_by_breaker_band_or_by_residual_current(feeder: Electrical) -> None:
    """20 A type C, mean multiple 7.5 by the Australian profile: 150 A, 1.53 ohm; longer runs leave it to a residual current device."""
    node = cable(feeder, "W5")
    assert feeder.faults.trip(node) == pytest.approx(150)
    assert feeder.faults.largest_loop(node) == pytest.approx(230 / 150)
    assert (feeder.faults.clearing(node).seconds, feeder.faults.clearing(node).by) == (0.1, "overcurrent device")
    far = ("Cu V-75 25 m", "Cu V-75 900 m")
    assert changed(far).faults.clearing(cable(changed(far), "W5")).seconds is None
    rcbo = changed(far, ("phase: L1, in_line: [breaker: 20 A C 2P 10 kA", "phase: L1, in_line: [rcbo: 20 A C 2P 30 mA type A 10 kA"))
    assert (rcbo.faults.clearing(cable(rcbo, "W5")).seconds, rcbo.faults.clearing(cable(rcbo, "W5")).by) == (0.04, "residual current device")


def test_the_largest_loop_is_that_of_the_device_that_clears_the_fault() -> None:
    # B of 20 A trips at 100 A on the profile's upper band; 30 mA has its shortest time at 5 × 30 mA = 0.15 A. IEC 60364-4-41 clause 411.4.4 with note.
    near = "rcbo: 20 A B 1P+N 10 kA 30 mA type A, cable: {id: W5, parts: [4 mm² 2C+4E Cu V-75 25 m on tray]}"
    far = near.replace("B 1P", "D 1P").replace("25 m", "90 m")
    breaker = "breaker: 20 A C 2P 10 kA, cable: {id: W5, parts: [4 mm² 2C+4E Cu V-75 25 m on tray]}"
    for swap, by in ((near, "overcurrent device"), (far, "residual current device")):
        found = changed((breaker, swap))
        end, factor = found.node("MSB.5.load"), found.given.number("loop-voltage-factor")
        assert found.faults.clearing(end).by == by
        most = found.faults.deciding_loop(end)
        assert most is not None and found.faults.loop(end) <= most
        if by == "residual current device":
            assert most == pytest.approx(factor * 230.9 / 0.15, rel=0.005)


@pytest.mark.parametrize("name", ["boathouse", "cottage", "bakery", "orchard", "ferry", "longrun", "tender"])
def test_no_loop_that_is_cleared_is_larger_than_its_largest(name: str) -> None:
    found = solve(Flows(read_file(GALLERY / name / "site.yaml")))
    for node in range(1, len(found.tree.ids)):
        try:
            cleared, loop, most = found.faults.clearing(node), found.faults.loop(node), found.faults.deciding_loop(node)
        except CannotTell:
            continue
        assert cleared.seconds is None or cleared.by == "fuse" or most is not None and loop <= most
        assert cleared.seconds is not None or most is None or loop > most  # a loop within its limit is cleared


def test_largest_and_smallest_are_never_taken_for_each_other() -> None:
    e = changed(("faults: {largest: 9 kA at point of supply, loop: 0.05 ohm declared at point of supply}", "faults: {largest: 9 kA at point of supply}"))
    assert e.faults.largest(e.node("SUB")).ampere > 0
    with pytest.raises(CannotTell, match="earth-fault loop impedance"):
        e.faults.loop(e.node("SUB"))


@pytest.mark.parametrize(("said", "what"), [
    ("largest: some kA, loop: 0.05 ohm at point of supply", "largest fault current with its place"),
    ("largest: 9 kA, loop: 0.05 ohm at point of supply", "largest fault current with its place"),
    ("largest: 9 kA at nowhere, loop: 0.05 ohm at point of supply", "largest fault current with its place"),
    ("largest: 9 ohm at MSB, loop: 0.05 ohm at point of supply", "largest fault current with its place"),
    ("largest: TBC, loop: 0.05 ohm at point of supply", "largest prospective fault current")])
def test_a_fault_level_without_its_place_or_unit_cannot_be_used(said: str, what: str) -> None:
    e = changed(("largest: 9 kA at point of supply, loop: 0.05 ohm declared at point of supply", said))
    with pytest.raises(CannotTell, match=what):
        e.faults.largest(e.node("SUB"))


TRANSFORMER = ("faults: {largest: 9 kA at point of supply, loop: 0.05 ohm declared at point of supply}", "faults: {transformer: 400 kVA 4 % 420 V}")


def test_the_largest_current_follows_from_the_transformer_where_nobody_declares_it() -> None:
    """Electrical Installation Guide, chapter G: 400 kVA, 4 %, 420 V give 13.7 kA at its terminals. The smallest needs the network before it."""
    e = changed(TRANSFORMER)
    assert e.faults.largest(0).ampere == pytest.approx(13_700, abs=50)
    with pytest.raises(CannotTell, match="short-circuit power of the network"):
        e.faults.loop(0)
    assert e.faults.largest(e.node("MSB")).ampere < 13_700


def test_the_loop_follows_from_transformer_network_and_service_cable_hot() -> None:
    """By hand: 420² / 400 kVA × 4 % = 17.64 mohm; 1.1 × 420² / 250 MVA = 0.776 mohm (IEC 60909-0); 50 m of 95 mm² aluminium 0.320 ohm/km × 1.28 at 90 °C, both ways."""
    service = "faults: {transformer: {power: 400 kVA, short_circuit: 4 %, voltage: 420 V, network: 250 MVA}, service: 95 mm² 4C Al XLPE 50 m}"
    e = changed((TRANSFORMER[0], service))
    r = 2 * 0.320 * 1.28 * 0.05
    x = 2 * 0.075 * 0.05  # reactance of so large a cable, common practice
    assert e.faults.loop(0) == pytest.approx(0.01764 + 0.000776 + math.hypot(r, x), abs=0.0002)
    assert e.faults.largest(0).ampere == pytest.approx(1.05 * 230 / math.hypot(0.320 * 0.05, 0.01764 + 0.004), rel=0.02)
    said = working(e.flows, e, "MSB")
    assert "calculated at supply (transformer 400 kVA 4 % 420 V, 0.0176 ohm, service cable" in said and "network 0.0008 ohm" in said


def test_what_is_declared_goes_before_the_transformer() -> None:
    e = changed((TRANSFORMER[0], "faults: {largest: 9 kA at point of supply, loop: 0.05 ohm at point of supply, transformer: 400 kVA 4 % 420 V}"))
    assert e.faults.largest(0).ampere == pytest.approx(9000) and e.faults.loop(0) == pytest.approx(0.05)


@pytest.mark.parametrize("open_", ["400 kVA TBC 420 V", "TBC 4 % 420 V", "400 kVA 4 % TBC", "TBC"])
def test_a_transformer_of_which_something_is_open_tells_nothing(open_: str) -> None:
    e = changed((TRANSFORMER[0], f"faults: {{transformer: {open_}}}"))
    with pytest.raises(CannotTell):
        e.faults.largest(0)


def test_upstream_of_the_declared_place_nothing_is_told() -> None:
    e = changed(("9 kA at point of supply", "9 kA at MSB"))
    assert e.faults.largest(e.node("MSB")).ampere == pytest.approx(9000)
    with pytest.raises(CannotTell, match="largest fault current at SF or before it"):
        e.faults.largest(e.node("SF"))


def test_inverters_add_little_and_it_is_stated_apart(feeder: Electrical) -> None:
    """Common practice, no source: 1.2 times the rated current each; 2 × 10 kVA at 230 V in three phases."""
    assert feeder.faults.of_inverters() == pytest.approx(1.2 * 20_000 / 3 / 230)


# ---- what is not known -----------------------------------------------------------------------------------------------

def test_one_voltage_on_three_phases_is_ambiguous() -> None:
    e = changed(("400/230 V", "400 V"))
    with pytest.raises(CannotTell, match="which voltage it is"):
        e.design(cable(e, "W1"))


@pytest.mark.parametrize(("old", "new", "what"), [
    ("Cu V-75 20 m", "Cu V-75 TBC", "length of"), ("25 mm² 4C", "TBC 4C", "cross-section"), ("power: 10 kVA,", "power: TBC,", "rated power")])
def test_an_open_input_leaves_the_rise_open(old: str, new: str, what: str) -> None:
    e = changed((old, new))
    with pytest.raises(CannotTell, match=what):
        e.linear_rise(e.node("INV1"))
    with pytest.raises(CannotTell, match=what):
        e.rise(e.node("INV1"))


def test_an_open_load_leaves_demand_open_and_export_told() -> None:
    e = changed(("load: heater 2.3 kW", "load: {kind: heater, power: TBC}"))
    with pytest.raises(CannotTell, match="power of"):
        e.drop(e.node("SUB"))
    assert e.linear_rise(e.node("INV1")) > 0


def test_two_feeds_of_one_board_leave_its_currents_open() -> None:
    e = changed(("      - {way: 5, phase", "      - {way: 9, in_line: [breaker: 40 A C 4P 10 kA, cable: 16 mm² 4C+16E Cu V-75 30 m on tray], feeds: SUB}\n"
                                         "      - {way: 5, phase"))
    with pytest.raises(CannotTell, match="how the current divides between the two feeds of SUB"):
        e.design(cable(e, "W2"))


def test_a_single_pole_circuit_on_three_phases_must_say_its_phase() -> None:
    e = changed(("{way: 5, phase: L1, in_line: [breaker: 20 A C 2P 10 kA", "{way: 5, in_line: [breaker: 20 A C 1P 10 kA"),
                ("4 mm² 2C+4E", "4 mm² 4C+4E"))
    with pytest.raises(CannotTell, match="phase of MSB.5.load"):
        e.design(cable(e, "W5"))


def test_the_largest_generated_site_is_solved_in_time_proportional_to_its_size() -> None:
    e = solved(site(2, 4000, 3))
    assert all(len(volts.solution.u) > 500 for name, volts in e.voltages.items() if name == "export")


def test_an_open_cable_leaves_its_neighbours_told() -> None:
    e = changed(("Cu V-75 18 m", "Cu V-75 TBC"))
    assert e.linear_rise(e.node("INV1")) == pytest.approx(2.26231 * 400 / math.sqrt(3) / 230, abs=1e-4)
    assert e.rise(e.node("INV1")) > 0
    with pytest.raises(CannotTell, match="length of"):
        e.linear_rise(e.node("INV2"))


# ---- the working, printed ----------------------------------------------------------------------------------------------

def test_the_printed_working_adds_up() -> None:
    """Every product of a current, a resistance and a length, and every capacity with its factors, is worked out again."""
    e = solve(Flows(read_file(GALLERY / "longrun/site.yaml")))
    text = working(e.flows, e, "BAT2")
    products = re.findall(r"([\d.]+) A × ([\d.]+) ohm/km × ([\d.]+) m = ([\d.]+) V", text)
    assert len(products) == 6
    for amperes, ohm, metres, volts in products:
        assert float(amperes) * float(ohm) * float(metres) / 1000 == pytest.approx(float(volts), abs=0.006)
    factors = re.findall(r"([\d.]+) A × ([\d.]+) ambient \d+ °C = ([\d.]+) A", text)
    assert len(factors) == 3
    assert all(float(a) * float(k) == pytest.approx(float(product), abs=0.051) for a, k, product in factors)
    rises = [float(v) for v in re.findall(r"rise here .*? = ([\d.]+) V", text)]
    total = re.search(r"rise .* = ([\d.]+) V, ([\d.]+) % linear", text)
    assert total and float(total[1]) == pytest.approx(sum(rises), abs=0.02)
    assert float(total[2]) == pytest.approx(100 * float(total[1]) / 230, abs=0.006)
    assert "supply → W1 → MSB → W2 → DB → WB2 → BAT2" in text
    for word in ("rise", "drop"):
        terms = re.search(rf"{word} +((?:[\d.]+ \(\w+\)(?: \+ )?)+) = ([\d.]+) V", text)
        assert terms and sum(map(float, re.findall(r"([\d.]+) \(", terms[1]))) == pytest.approx(float(terms[2]), abs=0.016)
    for volts, line, neutral in re.findall(r"here +([\d.]+) A .* V \(L\d ([\d.]+) A \+ N ([\d.]+) A\)", text):
        assert float(volts) == pytest.approx(float(line) + float(neutral), abs=0.011)


def test_the_printed_working_says_what_fault_currents_are_made_of() -> None:
    """Impedances that are printed are summed again: 1.05 · 230 V / 5 kA of reactance before the cables; the loop adds magnitudes."""
    e = solve(Flows(read_file(GALLERY / "longrun/site.yaml")))
    text = working(e.flows, e, "INV1")
    cold, hot = re.findall(r"^    is +(.*)$", text, re.M)
    assert cold.startswith("5 kA declared at supply and W1 ") and hot.startswith("0.21 ohm measured at MSB and W2 ")
    def ohm(line: str) -> complex:
        return sum(complex(float(r), float(x)) for r, x in re.findall(r"([\d.]+) \+ j([\d.]+) ohm", line))
    largest = re.search(r"Ik largest  three-phase: 1.05 × 230 V / ([\d.]+) ohm", text)
    assert largest and abs(1j * 1.05 * 230 / 5000 + ohm(cold)) == pytest.approx(float(largest[1]), abs=2e-4)
    loop = re.search(r"Zs +([\d.]+) ohm", text)
    assert loop and 0.21 + abs(ohm(hot)) == pytest.approx(float(loop[1]), abs=6e-4)


@pytest.mark.parametrize(("name", "words"), [
    ("DB", ["busbar      rated 80 A; most in a section:", "DB.11.breaker              gives up to 11.7 A, takes up to 11.7 A"]),
    ("INV1", ["nameplate   9 kVA: L1 13.04 A, L2 13.04 A, L3 13.04 A"]),  # 3 kVA / 230 V
    ("BAT1", ["nameplate   2.7 kVA: L1 11.74 A, N 11.74 A"]),  # 2.7 kVA / 230 V
    ("DB.1.load", ["draws       3 kW, power factor 0.82: L1 5.30 A, L2 5.30 A, L3 5.30 A"]),  # 1 kW / 0.82 / 230 V
    ("MSB.7.breaker", ["rated       50 A", "breaks      6 kA; at its place: three-phase:"]),
    ("W2", ["At the far end of W2"])])
def test_the_printed_working_speaks_of_the_thing_itself(name: str, words: list[str]) -> None:
    e = solve(Flows(read_file(GALLERY / "longrun/site.yaml")))
    text = working(e.flows, e, name)
    for line in words:
        assert line in text


def test_the_printed_working_says_what_is_missing() -> None:
    e = changed(("Cu V-75 18 m", "Cu V-75 TBC"), ("largest: 9 kA at point of supply, ", ""))
    text = working(e.flows, e, "INV2")
    assert "rise        cannot tell: length of W4.cable_part is not known" in text
    assert "Ik largest  cannot tell: largest prospective fault current of fault levels of supply is not known" in text


# ---- backup ------------------------------------------------------------------------------------------------------------

def test_on_backup_a_breaker_cannot_clear_what_a_residual_current_device_can() -> None:
    """5 kVA at 230 V give 21.7 A, 26 A in a fault (1.2 times, common practice, no source): below 7.5 × 16 A, above 5 × 30 mA."""
    text = (Path(__file__).parent / "checks/bases/island.yaml").read_text(encoding="utf-8")
    bare = text.replace("rcbo: {id: F3, rating: 16 A C 1P+N 30 mA type A 6 kA}", "breaker: {id: F3, rating: 16 A C 1P 6 kA}")
    assert bare != text
    e = solve(Flows(read_bytes(bare.encode())))
    rcbo, breaker = (e.faults.on_backup(e.node(f"BB.{way}.load")) for way in (1, 2))
    assert rcbo is not None and (rcbo.by, rcbo.seconds) == ("residual current device", 0.04)
    assert breaker is not None and (breaker.by, breaker.seconds) == ("no device at once", None)
    assert breaker.working.startswith("26 A < 120 A: not at once; what is relied on is the shutdown of the inverter")
    assert e.faults.on_backup(e.node("MSB")) is None


def test_storage_that_forms_the_grid_and_a_generator_back_up_circuits_too() -> None:
    """2.7 kVA at 230 V give 11.7 A, 14 A in a fault: above 5 × 30 mA, below 7.5 × 16 A; of a generator only its maker knows."""
    text = ("site: {name: S}\nprofile: [au]\nsupply: {system: 1/N/PE AC 50 Hz 230 V, faults: {largest: 6 kA at point of supply, loop: 0.3 ohm at point of supply}, "
            "in_line: [contactor: {id: K1, rating: 63 A 2P, opens: on loss of supply}], feeds: MSB}\n"
            "boards: {MSB: {circuits: [{way: 1, in_line: [rcbo: 16 A C 1P+N 30 mA type A], load: sockets 2 kW}, {way: 2, in_line: [breaker: 16 A C 1P], "
            "load: heater 2 kW}, {way: 3, in_line: [breaker: 16 A C 2P], feeds: {storage: {id: BAT1, type: island, phase: L1}}}]}}\n"
            "types: {island: {kind: storage, power: 2.7 kVA, phases: 1, forms_grid: yes}}\n")
    e = solve(Flows(read_bytes(text.encode())))
    first, second = (e.faults.on_backup(e.node(f"MSB.{way}.load")) for way in (1, 2))
    assert first is not None and first.by == "residual current device"
    assert second is not None and second.by == "no device at once" and second.working.startswith("14 A < 120 A")
    bakery = solve(Flows(read_file(GALLERY / "bakery" / "site.yaml")))
    found = bakery.faults.on_backup(bakery.node("BB.1.load"))
    assert found is not None and found.working.endswith("fault current of G1 not known")


def test_labels_of_a_board_stand_for_the_phases_of_the_supply_that_it_says() -> None:
    """A load on the board's L1, which is the supply's L2, draws its 10 A in the mains' L2 and neutral."""
    e = changed(("boards:\n  MSB:\n", "boards:\n  MSB:\n    phases: L2 L3 L1\n"))
    flow = e.voltages["demand"].currents[cable(e, "W1")]
    assert [abs(i) for i in flow] == pytest.approx([0, 10, 0, 10], abs=1e-9)
    assert set(e.voltages["demand"].changes(cable(e, "W5"))) == {1}


@pytest.mark.parametrize(("voltage", "between"), [("460/230 V", 460.0), ("400/230 V", 230 * math.sqrt(3))])
def test_a_load_between_two_phases_draws_by_the_voltage_between_them(voltage: str, between: float) -> None:
    """9.2 kW over a cable of two cores: 180° apart the phases have 460 V between them, 120° apart 398 V; nothing in the neutral."""
    e = solved(f"site: {{name: S}}\nsupply: {{system: 2/N/PE AC 50 Hz {voltage}, in_line: [fuse: {{id: SF, rating: 63 A gG}}], feeds: MSB}}\n"
               "boards:\n  MSB:\n    circuits:\n      - {way: 1, phase: L1 L2, in_line: [breaker: 32 A C 2P 6 kA, "
               "cable: {id: W1, parts: [6 mm² 2C+6E Cu XLPE 12 m in conduit]}], load: {kind: heater, power: 9.2 kW}}\n")
    flow = e.voltages["demand"].currents[cable(e, "W1")]
    assert [abs(i) for i in flow] == pytest.approx([9200 / between, 9200 / between, 0, 0])


# ---- motors ----------------------------------------------------------------------------------------------------------

PUMP = ("heater 2.3 kW", "{kind: pump, power: 1.5 kW, efficiency: 80 %, power_factor: 0.75}")


def test_a_pump_with_an_efficiency_draws_more_than_its_shaft_gives() -> None:
    """1.5 kW at the shaft over 0.8 is 1.875 kW from the supply, over 0.75 is 2.5 kVA: 10.87 A at 230 V."""
    e = changed(PUMP)
    assert e.design(cable(e, "W5")).ampere == pytest.approx(2500 / 230, abs=0.005)
    said = "; ".join(assumptions(e.flows))
    assert "the power of MSB.5.load is that of the shaft" in said and "motors, pumps" not in said


def test_a_pump_without_one_draws_what_the_file_says_and_the_report_says_so() -> None:
    e = changed(("heater 2.3 kW", "{kind: pump, power: 1.5 kW, power_factor: 0.75}"))
    assert e.design(cable(e, "W5")).ampere == pytest.approx(2000 / 230, abs=0.005)
    said = "; ".join(assumptions(e.flows))
    assert "the power of MSB.5.load is what it takes from the supply, not what its shaft gives: no efficiency is said" in said


def test_an_efficiency_that_is_open_leaves_the_current_open() -> None:
    e = changed(("heater 2.3 kW", "{kind: pump, power: 1.5 kW, efficiency: TBC}"))
    with pytest.raises(CannotTell, match="efficiency"):
        e.design(cable(e, "W5"))
