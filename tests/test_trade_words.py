# SPDX-License-Identifier: MIT
"""Words and forms of the trade: each is answered, word for word, by what the grammar calls it, and the answer is understood."""
from __future__ import annotations

import re

import pytest

from topology.errors import Finding
from topology.read import read_bytes
from topology.trade_words import almost, awg_area_mm2, meant

SITE = """site: {name: House}
supply:
  system: 3/PEN AC 50 Hz 400/230 V
  in_line: [fuse: 63 A gG, meter: {id: M1, direction: both}, ne_link: {id: NE1, electrode: rod 16 mm²}, switch: {id: Q1, rating: 63 A 4P}]
  feeds: MSB
boards:
  MSB:
    name: Main board
    circuits:
      - {way: 1, phase: L1, name: Lights, in_line: [breaker: 10 A B 1P 6 kA, cable: 1.5 mm² 2C+1.5E 20 m], load: lighting 300 W}
      - {way: 2, phase: L2, in_line: [rcd: 40 A 2P 30 mA type A], circuits: [{way: 3, load: spare}]}
      - {way: 4-6, in_line: [breaker: 16 A C 4P 6 kA, isolator: 20 A 4P], feeds: {inverter: {id: INV1, type: inv, arrays: [{id: PV1, power: 4 kW, modules: 10}]}}}
types:
  inv: {kind: inverter, power: 5 kVA, phases: 3}
"""
CABLE, BREAKER, RCD, LOAD = "cable: 1.5 mm² 2C+1.5E 20 m", "breaker: 10 A B 1P 6 kA", "rcd: 40 A 2P 30 mA type A", "load: lighting 300 W"

# (replaced, by, what is wrong, next step); source: common practice of the trade, no source
SAID: list[tuple[str, str, str, str]] = [
    # keys
    ("breaker: 10 A", "mcb: 10 A", "unknown key 'mcb' in devices in line of MSB.1", "did you mean 'breaker'?"),
    ("rcd: 40 A", "rccb: 40 A", "unknown key 'rccb' in devices in line of MSB.2", "did you mean 'rcd'?"),
    ("ne_link:", "men_link:", "unknown key 'men_link' in devices in line of supply", "did you mean 'ne_link'?"),
    ("ne_link:", "ne-link:", "unknown key 'ne-link' in devices in line of supply", "did you mean 'ne_link'?"),
    ("cable: 1.5", "tails: 1.5", "unknown key 'tails' in devices in line of MSB.1", "did you mean 'cable'?"),
    ("load: lighting", "loads: lighting", "unknown key 'loads' in MSB.1", "did you mean 'load'?"),
    ("    circuits:\n", "    circuit:\n", "unknown key 'circuit' in MSB", "did you mean 'circuits'?"),
    ("modules: 10", "panels: 10", "unknown key 'panels' in PV1", "did you mean 'modules'?"),
    ("  feeds: MSB", "  pscc: 6 kA\n  feeds: MSB", "unknown key 'pscc' in supply", "write 'faults: {largest: 6 kA at point of supply}' with its value"),
    ("  feeds: MSB", "  earthing: TT\n  feeds: MSB", "unknown key 'earthing' in supply",
     "the system says it: '1/PEN' or '3/PEN' is TN-C-S, '1/N/PE' or '3/N/PE' is TN-S, '1/N' or '3/N' is TT"),
    ("{id: INV1, type: inv,", "{id: INV1, type: inv, power: 5 kW,", "unknown key 'power' in INV1",
     "it is a fact of its type: 'types: {NAME: {kind: …, power: 5 kVA}}' at the top level, and 'type: NAME' here"),
    ("supply:\n", "people: {designer: J. Draft}\nsupply:\n", "designer of people should be a mapping, not 'J. Draft'", "write it like this: {name: J. Draft}"),
    # ids
    ("  feeds: MSB", "  feeds: Main board", "'feeds' of supply: there is no board, controller or terminal 'Main board'", "did you mean 'MSB'?"),
    ("type: inv,", "type: string 5 kW,", "type of INV1: there is no type 'string 5 kW'",
     "describe it at the top level, 'types: {NAME: {kind: …}}', and write its name here, or take one of "),
    ("meter: {id: M1, direction: both}", "meter: M1", "supply.meter: 'M1' is not understood here", "an id stands in the long form: {id: M1}"),
    # words
    (LOAD, "load: lights 300 W", "MSB.1.load: 'lights' is not understood here", "did you mean 'lighting'?"),
    (LOAD, "load: {kind: shower, power: 9 kW}", "kind of load of MSB.1.load cannot be 'shower'", "did you mean 'hot water'?"),
    (BREAKER, "breaker: 10 A B DP 6 kA", "MSB.1.breaker: 'DP' is not understood here", "did you mean '2P'?"),
    (BREAKER, "breaker: 10 A B 4-pole 6 kA", "MSB.1.breaker: '4-pole' is not understood here", "did you mean '4P'?"),
    (BREAKER, "breaker: B10 1P 6 kA", "MSB.1.breaker: 'B10' is not understood here", "did you mean '10 A B'?"),
    (BREAKER, "breaker: B10/3 6 kA", "MSB.1.breaker: 'B10/3' is not understood here", "did you mean '10 A B 3P'?"),
    (BREAKER, "breaker: 10 A type B 1P 6 kA", "MSB.1.breaker: 'type' is not understood here", "the curve stands as its letter alone: '16 A B'"),
    (BREAKER, "breaker: 10 A B 1P 6000 A", "rating of MSB.1.breaker is said twice", "did you mean '6 kA', the breaking capacity?"),
    (RCD, "rcd: 40 A 2P 0.03 A type A", "rating of MSB.2.rcd is said twice", "did you mean '30 mA', the rated residual current?"),
    (RCD, "rcd: 40/0.03 2P type A", "MSB.2.rcd: '40/0.03' is not understood here", "did you mean '40 A 30 mA'?"),
    (RCD, "rcd: 40 A 2P 30 mA AC", "MSB.2.rcd: 'AC' is not understood here", "did you mean 'type AC'?"),
    (RCD, "rcd: 40 A 2P 300 mA selective", "MSB.2.rcd: 'selective' is not understood here", "did you mean 'type S'?"),
    ("fuse: 63 A gG", "fuse: 3x63A gG", "supply.fuse: '3x63A' is not understood here", "a fuse stands in each phase, so say the current of one: '63 A'"),
    # cables
    (CABLE, "cable: 3G1.5 20 m", "MSB.1.cable: '3G1.5' is not understood here", "did you mean '1.5 mm² 2C+1.5E'?"),
    (CABLE, "cable: 3x2.5 mm² 20 m", "MSB.1.cable: '3x2.5 mm²' is not understood here",
     "write '2.5 mm² 3C', or '2.5 mm² 2C+2.5E' where one of the cores is the protective conductor"),
    (CABLE, "cable: 1.5/1.0 20 m", "MSB.1.cable: '1.5/1.0' is not understood here", "did you mean '1.5 mm² 2C+1E'?"),
    (CABLE, "cable: 1.5 mm² T+E 20 m", "MSB.1.cable: 'T+E' is not understood here", "say its cores and the size of its earth core, like '2C+1.5E'"),
    (CABLE, "cable: 1.5 mm² 2C+E 20 m", "MSB.1.cable: '2C+E' is not understood here", "say the size of the earth core [mm²]: '2C+2.5E'"),
    (CABLE, "cable: 12 AWG 2C 20 m", "MSB.1.cable: '12 AWG' is not understood here", "a cross-section is in mm²: 12 AWG is '3.31 mm²'"),
    (CABLE, "cable: 1.5 mm 2C+1.5E 20 m", "cross-section of MSB.1.cable is a cross-section, and 'mm' is no unit of it", "did you mean '1.5 mm²'?"),
    (CABLE, "cable: 1.5 mm² 2C+1.5E 20 m clipped", "MSB.1.cable: 'clipped' is not understood here", "did you mean 'clipped direct'?"),
    (CABLE, "cable: 3x2,5mm² 20 m", "the comma ends the value '3x2', and '5mm² 20 m' has no value of its own",
     "write a decimal point: cable: 3x2.5mm² 20 m"),
    (BREAKER, "breaker:10 A B 1P 6 kA", "'breaker:10 A B 1P 6 kA' has no space after its colon", "type 'breaker: 10 A B 1P 6 kA'"),
    # phases, ways, units, systems
    ("phase: L1", "phase: A", "phase of MSB.1: 'A' is not understood", "did you mean 'L1'?"),
    ("type: inv,", "type: inv, phase: L1-L2-L3,", "phase of INV1: 'L1-L2-L3' is not understood", "did you mean 'L1 L2 L3'?"),
    ("type: inv,", "type: inv, phase: [L1, L2, L3],", "phase of INV1 should be one value, not a list", "write it like this: L1 L2 L3"),
    ("way: 1,", "way: 1/2,", "way of MSB.circuit: '1/2' is not understood", "did you mean '1-2'?"),
    ("way: 1,", "way: 1,2,", "the comma ends the value '1', and '2' has no value of its own", "write '1-2'"),
    ("power: 4 kW", "power: 4 kWp", "power of PV1 is an active power, and 'kWp' is no unit of it", "did you mean '4 kW'?"),
    ("power: 5 kVA", "power: 5 kW", "rated power of type inv is an apparent power, and 'kW' is no unit of it", "did you mean '5 kVA'?"),
    ("3/PEN AC", "3~PEN AC", "system of supply: '3~PEN' is not understood here", "did you mean '3/PEN'?"),
    ("3/PEN AC", "TT 3/N AC", "system of supply: 'TT' is not understood here",
     "TT brings no protective conductor: '1/N' or '3/N', and an electrode under 'earthing:'"),
    ("arrays: [{id: PV1, power: 4 kW, modules: 10}]", "arrays: {id: PV1, power: 4 kW, modules: 10}",
     "arrays of INV1 should be a list, not a mapping", "write it like this: [{…}]"),
    ("name: Main board", "name: Main board\n    main_switch: 63 A 4P", "main switch of MSB should be a device with its facts, not '63 A 4P'",
     "write it like this: switch 63 A 4P"),
    ("name: Main board", "name: Main board\n    diversity: 0.5", "share of its loads that run together of MSB: '0.5' has no unit",
     "did you mean '50 %'?"),
]


def findings(text: str) -> tuple[Finding, ...]:
    return read_bytes(text.encode(), "s.yaml").findings


def test_the_site_itself_is_without_fault() -> None:
    assert findings(SITE) == ()


@pytest.mark.parametrize(("old", "new", "message", "step"), SAID, ids=[new.strip() for _, new, _, _ in SAID])
def test_a_word_of_the_trade_is_answered_by_the_word_that_is_meant(old: str, new: str, message: str, step: str) -> None:
    """One mistake, one finding: nothing else on the site is called missing because of it."""
    assert old in SITE
    found = findings(SITE.replace(old, new, 1))
    assert [f.message for f in found] == [message]
    assert found[0].next.startswith(step) if step.endswith("of ") else found[0].next == step


@pytest.mark.parametrize(("old", "new", "step"), [(old, new, step) for old, new, _, step in SAID if step.startswith("did you mean")],
                         ids=[new.strip() for _, new, _, step in SAID if step.startswith("did you mean")])
def test_what_a_message_asks_for_is_understood_when_it_is_typed(old: str, new: str, step: str) -> None:
    wrong = re.search(r"'([^']+)' (?:is not understood|cannot be)|key '([^']+)'|no \w+(?:, \w+)*(?: or \w+)? '([^']+)'", findings(SITE.replace(old, new, 1))[0].message)
    meant_ = re.search(r"'([^']+)'", step)
    assert meant_ is not None
    if wrong is not None:
        word = next(group for group in wrong.groups() if group)
        text = SITE.replace(old, new.replace(word, meant_[1], 1), 1)
        assert [f for f in findings(text) if f.rule not in ("said-twice",)] == []


def test_the_rest_of_a_device_with_another_name_is_read_too() -> None:
    found = findings(SITE.replace(BREAKER, "mcb: B10 SP 6 kA"))
    assert [f.next for f in found] == ["did you mean 'breaker'?", "did you mean '10 A B'?", "did you mean '1P'?"]


@pytest.mark.parametrize(("gauge", "area"), [(14, 2.08), (12, 3.31), (10, 5.26), (6, 13.3), (1, 42.4), (0, 53.5), (-3, 107)])
def test_gauges_have_the_published_areas(gauge: int, area: float) -> None:
    """Source: ASTM B258, table of nominal cross-sections, from memory; three digits."""
    assert awg_area_mm2(gauge) == pytest.approx(area, rel=0.0025)


def test_a_foot_is_0_3048_m_in_a_shorthand_too() -> None:
    """Source: the international foot of 1959."""
    site = read_bytes(SITE.replace("20 m]", "20 ft]").encode(), "s.yaml").site
    assert site.boards["MSB"].circuits[0].in_line[1].length == pytest.approx(6.096, abs=1e-9)


def test_a_lone_profile_needs_no_brackets() -> None:
    assert read_bytes(SITE.replace("supply:", "profile: uk\nsupply:", 1).encode(), "s.yaml").site.profile == ("uk",)


def test_a_word_that_could_be_two_things_is_not_guessed() -> None:
    assert meant("safety switch", ("rcd", "rcbo", "switch")) == "" and almost("cb", ("rcbo", "breaker")) == "breaker"
    assert [f.next for f in findings(SITE.replace("phase: L1", "phase: blue", 1))] == ["write it like 'L1'"]
