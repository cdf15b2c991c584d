# SPDX-License-Identifier: MIT
"""Facts of the trade, each marked "common practice, no source". Their numbers stand in these tests only."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from topology.checks.combined_neutral_overloaded import combined_neutral_overloaded
from topology.flow import Flows
from topology.read import equipment_library, read_bytes
from topology.report import check

ROOT = Path(__file__).parents[2]
TYPES = """types:
  unit: {kind: storage, power: 3.84 kVA, disconnects_itself: no, opens: L N, max_units_circuit: 3, max_units_phase: 1, terminal: 6 mm², combined_neutral: yes}
  module: {kind: module inverter, power: 300 VA, disconnects_itself: no, opens: L N, power_line: yes}
  string: {kind: inverter, power: 5 kVA, disconnects_itself: yes}
  relay-20: {kind: disconnection device, rating: 20 A, poles: 1P+N}
  relay-25: {kind: disconnection device, rating: 25 A, poles: 3P+N}
  pair-100: {kind: bus, max_length: 100 m, max_devices: 32, tees: no, shield: yes, medium: shielded two pairs}
  adapter: {kind: controller, extends: no}
  gate: {kind: controller, P1: to supply}
  volt: {kind: sensor, max_lead: 75 m, extends: yes, extension: 1.5 mm², extension_make: twisted pair}
"""
SUPPLY_1 = "supply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 80 A gG, meter: {direction: both}], feeds: MSB}\n"
SUPPLY_3 = "supply: {system: 3/N/PE AC 50 Hz 400/230 V, in_line: [fuse: 80 A gG, meter: {direction: both}], feeds: MSB}\n"


def rules(body: str, supply: str = SUPPLY_1) -> set[str]:
    report = check(read_bytes(f"site: {{name: x}}\n{supply}{body}{TYPES}".encode()))
    assert not report.read.findings, [f.message for f in report.read.findings]
    return {f.rule for f in report.findings if f.outcome == "finding"} - {"device-below-design-current"}  # sizes are not the question here


def storage(relay: str, breaker: str = "20 A C 2P 6 kA") -> str:
    return f"""boards:
  MSB:
    circuits:
      - {{way: 1, in_line: [breaker: {breaker}{relay}], feeds: {{storage: {{id: BAT1, type: unit}}}}}}
"""


def test_a_unit_of_3840_va_draws_16_7_a_continuously_on_its_20_a_circuit() -> None:
    """Common practice, no source."""
    assert round(3840 / 230, 1) == 16.7
    assert rules(storage(", disconnection_device: {type: relay-20, rating: 20 A 1P+N}")) == set()


@pytest.mark.parametrize(("relay", "said"), [
    (", disconnection_device: {type: relay-20, rating: 20 A 1P+N}", set()),
    ("", {"source-without-disconnection"}),
    (", disconnection_device: {type: relay-20, rating: 20 A 1P solid-N}", {"disconnection-leaves-conductor"}),
    (", disconnection_device: {type: relay-20, rating: 16 A 1P+N}", {"disconnection-rating-low"})])
@pytest.mark.parametrize("source", ["{storage: {id: BAT1, type: unit}}", "{module_inverters: {id: BAT1, type: module, number: 8}}"])
def test_a_20_a_relay_that_breaks_line_and_neutral_stands_in_every_storage_and_module_inverter_circuit(relay: str, said: set[str], source: str) -> None:
    """Common practice, no source."""
    assert rules(storage(relay).replace("{storage: {id: BAT1, type: unit}}", source)) == said


def three(units: str, relay: str = "disconnection_device: {type: relay-25, rating: 25 A 3P+N}", neutral: str = "6 mm²", breaker: str = "20 A C 4P 6 kA") -> str:
    return f"""boards:
  MSB:
    circuits:
      - way: 1-4
        in_line: [breaker: {breaker}, {relay}]
        neutral: {neutral}
        circuits:
{units}"""


def unit(n: int, phase: str) -> str:
    return f"          - {{id: U{n}, phase: {phase}, in_line: [isolator: 25 A 2P], feeds: {{storage: {{id: BAT{n}, type: unit}}}}}}\n"


ONE_EACH = unit(1, "L1") + unit(2, "L2") + unit(3, "L3")


def test_three_phases_have_at_most_one_unit_a_phase_and_three_a_circuit() -> None:
    """Common practice, no source. Units can oppose each other: a pole in the neutral then needs 33.4 A, which is said by itself."""
    opposed = {"combined-neutral-overloaded"}
    assert rules(three(ONE_EACH), SUPPLY_3) == opposed
    assert rules(three(ONE_EACH + unit(4, "L1")), SUPPLY_3) == opposed | {"too-many-units"}
    assert rules(three(unit(1, "L1") + unit(2, "L1")), SUPPLY_3) == {"too-many-units"}


def test_neutrals_are_combined_to_one_conductor_for_a_6_mm2_terminal() -> None:
    """Common practice, no source."""
    assert "combined-neutral-wrong" not in rules(three(ONE_EACH), SUPPLY_3)
    assert "combined-neutral-wrong" in rules(three(ONE_EACH, neutral="10 mm²"), SUPPLY_3)


def test_three_units_on_one_combined_neutral_can_put_33_4_a_into_it() -> None:
    """Common practice, no source: twice the 16.7 A of one unit."""
    flows = Flows(read_bytes(f"site: {{name: x}}\n{SUPPLY_3}{three(ONE_EACH)}{TYPES}".encode()))
    found = list(combined_neutral_overloaded(flows.objects["MSB.1"], flows))
    assert found and all(f.numbers["neutral"].value == pytest.approx(33.4, abs=0.05) for f in found)


def bus(length: str, terminators: str, medium: str = "shielded two pairs", bond: str = "BA1") -> str:
    return storage(", disconnection_device: {type: relay-20, rating: 20 A 1P+N}") + f"""controllers: {{BA1: {{kind: bus adapter, type: adapter, lead: 0.5 m}}}}
buses: {{c: {{type: pair-100, terminators: {terminators}, segments: [{{from: BA1, to: BAT1, length: {length}, medium: {medium}, shield_bond: {bond}}}]}}}}
"""


def test_the_control_bus_is_a_two_pair_shielded_cable_of_100_m_with_a_resistor_at_each_end_and_its_drain_bonded_once() -> None:
    """Common practice, no source."""
    assert rules(bus("100 m", "[BA1, BAT1]")) == set()
    assert rules(bus("101 m", "[BA1, BAT1]")) == {"bus-too-long"}
    assert rules(bus("9 m", "[BA1]")) == {"terminator-misplaced"}
    assert rules(bus("9 m", "[BA1, BAT1]", medium="unshielded two pairs")) == {"bus-medium-wrong"}
    assert rules(bus("9 m", "[BA1, BAT1]", bond="[BA1, BAT1]")) == {"shield-bond-wrong"}


def test_an_adapters_lead_carries_power_and_data_and_is_not_lengthened() -> None:
    """Common practice, no source."""
    assert rules(bus("9 m", "[BA1, BAT1]").replace("lead: 0.5 m", "lead: [0.5 m, 0.5 m]")) == {"lead-extended"}


def sensors(grid: str, p1: str = "to supply", lead: str = "3 m") -> str:
    return """boards:
  MSB:
    circuits:
      - {way: 1, phase: L1, in_line: [breaker: 16 A C 1P 6 kA], load: sockets}
      - {way: 2, phase: L1, in_line: [breaker: 20 A C 2P 6 kA, ct: {id: CT9, measures: generation, phase: L1, P1: to supply}], feeds: {inverter: {id: INV1, type: string}}}
controllers: {GW1: {kind: gateway, type: gate, inputs: {1: CT1 on L1, 2: CT9 on L1}}}
""".replace("CT1 on L1", "CT1 on L1" if grid else "CT9 on L1")


def supply_with(p1: str = "to supply", lead: str = "3 m") -> str:
    return SUPPLY_3.replace("meter: {direction: both}]",
                            f"meter: {{direction: both}}, ct: {{id: CT1, measures: grid, phase: L1, P1: {p1}, type: volt, lead: {lead}}}]")


def test_a_phase_has_one_generation_and_one_grid_sensor_upstream_of_everything_p1_towards_the_declared_side() -> None:
    """Common practice, no source."""
    assert rules(sensors("1"), supply_with()) == set()
    assert rules(sensors("1"), supply_with(p1="to load")) == {"sensor-reversed"}
    below = sensors("1").replace("in_line: [breaker: 16 A C 1P 6 kA], load", "in_line: [breaker: 16 A C 1P 6 kA, ct: {id: CT1, measures: grid, phase: L1, P1: to supply}], load")
    assert rules(below, SUPPLY_3) == {"grid-sensor-misses"}


@pytest.mark.parametrize(("lead", "said"), [
    ("[3 m, 72 m twisted pair 1.5 mm²]", set()), ("[3 m, 73 m twisted pair 1.5 mm²]", {"lead-too-long"}),
    ("[3 m, 20 m twisted pair 1 mm²]", {"lead-extended"}), ("[3 m, 20 m 1.5 mm²]", {"lead-extended"})])
def test_a_sensor_lead_is_lengthened_in_1_5_mm2_twisted_pair_only_to_75_m_at_most(lead: str, said: set[str]) -> None:
    """Common practice, no source (sensors with voltage output)."""
    assert rules(sensors("1"), supply_with(lead=lead)) == said


def test_a_string_inverter_stays_on_its_own_board_and_a_ferrite_on_the_submain_is_good_practice() -> None:
    """Common practice, no source."""
    relay = "disconnection_device: {type: relay-20, rating: 20 A 1P+N}"
    board = f"""boards:
  MSB:
    circuits:
      - {{way: 1, in_line: [breaker: 20 A C 2P 6 kA], feeds: {{inverter: {{id: INV1, type: string}}}}}}
      - {{way: 2, in_line: [breaker: 40 A C 2P 6 kA, FILTER cable: 10 mm² 2C+4E 9 m], feeds: SB}}
  SB:
    circuits:
      - {{way: 1, in_line: [breaker: 20 A C 2P 6 kA, {relay}], feeds: {{module_inverters: {{id: INV2, type: module, number: 8}}}}}}
"""
    assert rules(board.replace("FILTER ", "filter: ferrite, ")) == set()
    assert rules(board.replace("FILTER ", "")) == {"submain-without-filter"}
    moved = board.replace("FILTER ", "filter: ferrite, ").replace("      - {way: 1, in_line: [breaker: 20 A C 2P 6 kA], feeds: {inverter: {id: INV1, type: string}}}\n", "", 1)
    moved += "      - {way: 3, in_line: [breaker: 20 A C 2P 6 kA], feeds: {inverter: {id: INV1, type: string}}}\n"
    assert rules(moved) == {"power-line-beside-string"}


NUMBERS = re.compile(r"\b3\.84 kVA|\b16\.7 A|\b33\.4 A|\b75 m\b|\b100 m\b")


def test_none_of_these_numbers_is_a_default_a_shipped_type_a_limit_or_a_gallery_site() -> None:
    shipped = [*(ROOT / "gallery").glob("*/site.yaml"), *(ROOT / "topology/equipment").glob("*.yaml")]
    if not shipped:
        pytest.skip("tests run without the checkout")
    for path in shipped:
        assert not NUMBERS.search(path.read_text(encoding="utf-8")), path
    for type_ in equipment_library().values():
        assert type_.kind != "disconnection device" or type_.rating not in (20, 25)
        assert type_.terminal is None or type_.terminal != 6
        assert type_.max_units_circuit != 3 and type_.max_units_phase != 1
