# SPDX-License-Identifier: MIT
"""The grammar of the site file: each construction is read as it is meant, and printing gives back what was read."""
from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from sites import site
from topology.conductors import L1, L2, L3, N
from topology.errors import CannotTell
from topology.fields import show_object
from topology.flow import Flows
from topology.read import ReadSite, read_bytes, read_file
from topology.report import check
from topology.site import Changeover, Generator, HybridInverter, Inlet, System

GALLERY = Path(__file__).parents[1] / "gallery"
BASES = Path(__file__).parent / "checks/bases"
TEXTS = {p.parent.name: p for p in sorted(GALLERY.glob("*/site.yaml"))} | {p.stem: p for p in sorted(BASES.glob("*.yaml"))}


def read(text: str) -> ReadSite:
    return read_bytes(text.encode())


def mini(circuits: str = "", supply: str = "1/N/PE AC 50 Hz 230 V", board: str = "", rest: str = "") -> str:
    return (f"site: {{name: x}}\nsupply: {{system: {supply}, in_line: [fuse: 63 A gG], feeds: MSB}}\nboards:\n  MSB:\n{board}    circuits:\n"
            f"{circuits or '      - {way: 1, load: spare}'}\n{rest}")


# ---- printing gives back what was read --------------------------------------------------------------------------------

def shown(found: ReadSite) -> Any:
    return show_object(found.site)


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_printing_a_site_gives_back_what_was_read(name: str) -> None:
    first = read_file(TEXTS[name])
    again = read(yaml.safe_dump(shown(first), allow_unicode=True, sort_keys=False, width=10_000))
    assert [f.message for f in again.findings] == [f.message for f in first.findings] == []
    assert shown(again) == shown(first)
    assert {i: type(o) for i, o in again.objects.items()} == {i: type(o) for i, o in first.objects.items()}


@given(st.integers(0, 9999), st.integers(10, 200), st.sampled_from([1, 3]))
@settings(max_examples=15, deadline=None)
def test_printing_a_random_site_gives_back_what_was_read(seed: int, objects: int, phases: int) -> None:
    first = read(site(seed, objects, phases))
    again = read(yaml.safe_dump(shown(first), allow_unicode=True, sort_keys=False, width=10_000))
    assert shown(again) == shown(first) and list(again.objects) == list(first.objects)


SHORT = {
    "breaker": ("16 A C 1P+N 6 kA", {"rating": "16 A", "curve": "C", "poles": "1P+N", "breaking": "6 kA"}),
    "rcbo": ("16 A C 1P+N 30 mA type A 6 kA", {"rating": "16 A", "curve": "C", "poles": "1P+N", "residual": "30 mA", "type": "A", "breaking": "6 kA"}),
    "fuse_switch": ("63 A gG 3P", {"rating": "63 A", "utilisation": "gG", "poles": "3P"}),
    "cable": ("2x 16 mm² 4C+6E Cu XLPE 14 m in conduit in air", {"number": None}),
    "ct": ("grid L1 100 A", {"measures": "grid", "phase": "L1", "primary": "100 A"}),
    "ne_link": ({"electrode": "rod 6 mm²"}, {"electrode": {"kind": "rod", "conductor": "6 mm²"}}),
    "surge_arrester": ("class 2", {"class": "2"})}


@pytest.mark.parametrize("word", [w for w in SHORT if w != "cable"])
def test_shorthand_and_long_form_mean_the_same(word: str) -> None:
    short, long = SHORT[word]
    texts = [mini("      - " + yaml.safe_dump({"way": "1", "in_line": [{word: said}], "load": "spare"}, default_flow_style=True, allow_unicode=True,
                                              width=10_000)) for said in (short, long)]
    first, second = (read(text) for text in texts)
    assert first.findings == second.findings == ()
    assert shown(first) == shown(second)


@given(st.sampled_from([w for w, (short, _) in SHORT.items() if isinstance(short, str)]), st.integers(0, 10_000))
@settings(max_examples=60, deadline=None)
def test_words_of_a_shorthand_may_stand_in_any_order(word: str, seed: int) -> None:
    pieces = {"breaker": ["16 A", "C", "1P+N", "6 kA"], "rcbo": ["16 A", "C", "1P+N", "30 mA", "type A", "6 kA"], "fuse_switch": ["63 A", "gG", "3P"],
              "cable": ["2x", "16 mm²", "4C+6E", "Cu", "XLPE", "14 m", "in conduit in air"], "ct": ["grid", "L1", "100 A"], "surge_arrester": ["class 2"]}[word]
    mixed = random.Random(seed).sample(pieces, len(pieces))
    usual, other = (read(mini(f"      - {{way: 1, in_line: [{word}: {' '.join(p)}], load: spare}}")) for p in (pieces, mixed))
    assert usual.findings == other.findings == ()
    facts = [{k: str(v) for k, v in vars(found.objects[f"MSB.1.{word}"]).items() if k not in ("mark", "marks")} for found in (usual, other)]
    assert facts[0] == facts[1]


# ---- constructions ----------------------------------------------------------------------------------------------------

def test_devices_with_terminals_are_of_their_own_classes() -> None:
    found = read_file(GALLERY / "bakery/site.yaml")
    assert [type(found.objects[i]) for i in ("INV1", "G1", "QA1")] == [HybridInverter, Inlet, Changeover]
    assert {"INV1.grid", "INV1.backup", "G1.out", "QA1.normal", "QA1.alternative", "QA1.load"} <= set(found.objects)


@pytest.mark.parametrize(("device", "rule", "words"), [
    ("{kind: chngeover}", "not-a-choice", "kind of X1 cannot be 'chngeover'"), ("{rating: 3 A}", "missing-key", "entry X1 among devices lacks 'kind'"),
    ("{kind: generator, ports: {load: {feeds: MSB}}}", "unknown-key", "unknown key 'load' in generator X1"),
    ("{kind: generator, ports: {out: {in_line: [fuse: 16 A]}}}", "one-end", "X1.out leads nowhere")])
def test_a_slip_in_a_device_is_said_at_its_place(device: str, rule: str, words: str) -> None:
    found = read(mini(rest=f"devices:\n  X1: {device}\n"))
    assert [(f.rule, f.message) for f in found.findings] == [(rule, words)]
    assert found.findings[0].mark.line == 8 or "feeds: MSB" in device


@pytest.mark.parametrize("device", ["TBC", "{kind: TBC}"])
def test_a_device_of_which_nothing_is_known_is_no_fault(device: str) -> None:
    assert read(mini(rest=f"devices:\n  X1: {device}\n")).findings == ()


def test_a_circuit_feeds_a_terminal_and_an_unknown_terminal_is_named_with_the_nearest() -> None:
    rest = "devices:\n  G1: {kind: generator, power: 5 kVA, ports: {out: {feeds: QA1.alternative}}}\n  QA1: {kind: changeover, rating: 40 A, poles: 2P, ports: {load: {feeds: BB}}}\n"
    good = mini("      - {way: 1, in_line: [breaker: 16 A C 2P 6 kA], feeds: QA1.normal}\n  BB: {circuits: [{way: 1, load: heater}]}", rest=rest)
    assert read(good).findings == ()
    assert isinstance(read(good).objects["G1"], Generator)
    bad = read(good.replace("QA1.normal", "QA1.normla"))
    assert [(f.rule, f.next) for f in bad.findings] == [("unknown-id", "did you mean 'QA1.normal'?")]


def test_a_loop_through_a_changeover_is_found() -> None:
    rest = "devices:\n  QA1: {kind: changeover, rating: 40 A, poles: 2P, ports: {load: {feeds: MSB}}}\n"
    found = read(mini("      - {way: 1, in_line: [breaker: 16 A C 2P 6 kA], feeds: QA1.normal}", rest=rest))
    assert [f.rule for f in found.findings] == ["feed-loop"]


def test_labels_of_a_board_are_kept_as_said_and_meant_as_the_supply_has_them() -> None:
    found = read(mini("      - {way: 1, phase: L1, in_line: [ct: grid L3], load: heater}", "3/N/PE AC 50 Hz 400/230 V", "    phases: L2 L3 L1\n"))
    circuit = found.objects["MSB.1"]
    assert circuit.phase == ("L2",) and found.objects["MSB.1.ct"].phase == ("L1",)
    assert shown(found)["boards"]["MSB"]["circuits"][0]["phase"] == "L1"
    flows = Flows(found)
    assert (flows.fed("MSB.1.load", L1), flows.fed("MSB.1.load", L2)) == (False, True)


@pytest.mark.parametrize(("said", "degrees"), [("2/N/PE AC 60 Hz 240/120 V", 180), ("2/N/PE AC 50 Hz 400/230 V", 120), ("2/N/PE AC 60 Hz 240 V 180°", 180),
                                               ("3/N/PE AC 50 Hz 400/230 V", 120), ("2/N/PE AC 50 Hz 208/120 V", 120)])
def test_two_phases_stand_at_180_or_120_degrees(said: str, degrees: int) -> None:
    system = read(mini(supply=said)).site.supply.system  # type: ignore[union-attr]
    assert isinstance(system, System) and system.degrees == degrees


def test_one_voltage_for_two_phases_does_not_tell_the_angle() -> None:
    system = read(mini(supply="2/N/PE AC 50 Hz 230 V")).site.supply.system  # type: ignore[union-attr]
    with pytest.raises(CannotTell, match="angle between the phases"):
        _ = system.degrees
    with pytest.raises(CannotTell, match="which voltage it is"):
        _ = system.phase_voltage


def test_a_local_bar_stands_behind_a_meter_element_a_device_or_a_joint() -> None:
    text = """site: {name: x}
supply:
  system: 1/N/PE AC 50 Hz 230 V
  in_line: [fuse: 63 A gG, meter: {id: M1, direction: both, elements: 2}]
  circuits:
    - {id: E1, name: Light and power, in_line: [switch: {id: Q1, rating: 63 A 2P}], feeds: MSB}
    - {id: E2, name: Controlled load, in_line: [contactor: {id: K1, rating: 40 A 2P, opens: by distributor}, switch: {id: Q2, rating: 40 A 2P}], load: hot water 3.6 kW}
boards:
  MSB:
    circuits:
      - way: 1
        in_line: [breaker: 32 A C 2P 6 kA, cable: 10 mm² 2C+4E 9 m, junction: {id: J1}]
        circuits:
          - {id: A, in_line: [cable: 6 mm² 2C+2.5E 4 m, isolator: 32 A 2P], load: heater 4 kW}
          - {id: B, in_line: [cable: 6 mm² 2C+2.5E 6 m], load: pump 1 kW}
"""
    flows = Flows(read(text))
    assert flows.read.findings == ()
    assert flows.net(L1).path("supply", "E2.load") == ["supply", "supply.fuse", "M1", "supply.bar", "K1", "Q2", "E2.load"]
    assert flows.net(L1).path("MSB", "B.load") == ["MSB", "MSB.1.breaker", "J1", "MSB.1.bar", "B.load"]


def test_a_ring_final_is_one_circuit_and_a_cable_has_its_own_capacity_with_its_source() -> None:
    found = read(mini("      - {way: 1, ring: yes, in_line: [breaker: 32 A B 1P 6 kA, cable: {parts: [{area: 2.5 mm², cores: 2C+1.5E, length: 48 m, "
                      "capacity: 27 A, capacity_source: data sheet 4}]}], load: sockets}"))
    assert found.findings == () and found.objects["MSB.1"].ring is True
    assert found.objects["MSB.1.cable"].runs[0].capacity == 27


def test_arrays_and_battery_hang_on_the_direct_current_side() -> None:
    flows = Flows(read_file(GALLERY / "bakery/site.yaml"))
    dc = {(u, v) for u, v, layer in flows.graph.edges(data="layer") if layer == "dc"}
    assert dc == {("INV1", "QP1"), ("QP1", "PV1"), ("INV1", "QP2"), ("QP2", "PV2"), ("INV1", "FB1"), ("FB1", "QB1"), ("QB1", "BAT1")}
    assert flows.net(L1).joined("supply", "PV1") is False


# ---- include, types, acceptance ---------------------------------------------------------------------------------------

WITH_TYPE = mini("      - {way: 1, in_line: [breaker: 16 A C 2P 6 kA], feeds: {storage: {id: BAT1, type: own}}}", rest="include: [equipment.yaml]\n")


def test_types_of_an_included_file_are_known_and_faults_in_it_are_said_there(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(WITH_TYPE, encoding="utf-8")
    (tmp_path / "equipment.yaml").write_text("own: {kind: storage, power: 3 kVA, disconnects_itself: yes}\n", encoding="utf-8")
    found = read_file(tmp_path / "site.yaml")
    assert found.findings == () and found.types["own"].power == 3000
    (tmp_path / "equipment.yaml").write_text("own: {kind: storage, pwoer: 3 kVA}\n", encoding="utf-8")
    report = check(read_file(tmp_path / "site.yaml"))
    first = report.findings[0]
    assert (first.mark.file, first.mark.line, first.mark.column, first.rule) == ("equipment.yaml", 1, 22, "unknown-key")
    assert "own: {kind: storage, pwoer: 3 kVA}" in report.text()


def test_an_included_file_that_is_missing_or_no_types_is_a_fault_at_its_name(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(WITH_TYPE, encoding="utf-8")
    found = read_file(tmp_path / "site.yaml")
    assert [(f.rule, f.mark.line) for f in found.findings][-1] == ("include-missing", 7)
    (tmp_path / "equipment.yaml").write_text("- own\n", encoding="utf-8")
    assert "include-not-types" in [f.rule for f in read_file(tmp_path / "site.yaml").findings]
    assert "not-understood" in [f.rule for f in read(WITH_TYPE.replace("equipment.yaml", "../equipment.yaml")).findings]


ACCEPT = "accept: [{{rule: {rule}, object: {object}, reason: agreed, by: A. Example, role: licensed electrician, date: 2026-03-01}}]\n"


def test_an_accepted_finding_stays_visible_and_counts_no_more() -> None:
    text = mini("      - {way: 1, in_line: [breaker: 16 A C 1P 6 kA], load: heater}\n      - {way: 1, in_line: [breaker: 16 A C 1P 6 kA], load: heater}")
    assert check(read(text)).exit_code == 1
    report = check(read(text + ACCEPT.format(rule="way-used-twice", object="MSB.1.2")))
    assert report.exit_code == 0 and report.counts["accepted"] == 1
    assert report.findings[0].accepted == {"reason": "agreed", "by": "A. Example, licensed electrician", "date": "2026-03-01"}


def test_an_acceptance_that_matches_nothing_is_a_finding_and_a_danger_is_never_accepted_away() -> None:
    unused = check(read(mini() + ACCEPT.format(rule="way-used-twice", object="MSB.1")))
    assert [(f.rule, f.severity) for f in unused.findings] == [("acceptance-unused", "warning")]
    danger = mini("      - {way: 1, in_line: [breaker: 16 A C 1P 6 kA], load: heater}", "3/N/PE AC 50 Hz 400/230 V")
    report = check(read(danger + ACCEPT.format(rule="phase-stays-closed", object="MSB.1.breaker")))
    assert report.findings[0].accepted and report.exit_code == 1


def test_what_was_found_is_kept_with_its_evidence() -> None:
    found = read(mini("      - {way: 1, in_line: [breaker: {rating: TBC, found: {seen: label illegible, evidence: photo, date: 2026-02-03}}], load: heater}"))
    assert found.findings == ()
    assert (found.objects["MSB.1.breaker"].found.seen, found.objects["MSB.1.breaker"].found.evidence) == ("label illegible", "photo")


def test_neutrals_that_are_shared_or_stayed_behind_can_be_said() -> None:
    found = read(mini("      - {way: 1, phase: L1, in_line: [breaker: 16 A C 1P 6 kA], load: heater}\n"
                      "      - {way: 2, phase: L2, shares_neutral_with: [MSB.1], in_line: [breaker: 16 A C 1P 6 kA], load: heater}\n"
                      "      - {way: 3-5, in_line: [breaker: 32 A C 4P 6 kA], feeds: SB}\n"
                      "  SB: {circuits: [{way: 1, phase: L3, moved_from: MSB, neutral_moved: no, in_line: [breaker: 16 A C 1P 6 kA], load: heater}]}",
                      "3/N/PE AC 50 Hz 400/230 V"))
    flows = Flows(found)
    assert found.findings == ()
    assert flows.phases_at("SB.1.load") == L3
    assert flows.net(N).path("supply", "SB.1.load")[-2:] == ["MSB", "SB.1.load"]
