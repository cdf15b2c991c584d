# SPDX-License-Identifier: MIT
"""What the Modbus over Serial Line guide V1.02 (20 Dec 2006, modbus.org) says of the line, asked of buses of such a type.

The figures stand in these tests only; a type in a site file says them for its own bus.
"""
from __future__ import annotations

from typing import Any

import pytest
from topology.read import read_bytes
from topology.report import check

TYPE = ("{kind: bus, document: Modbus over Serial Line guide V1.02, max_length: 1000 m, max_devices: 32, polarised_less: 4, tees: yes, "
        "max_tee: 20 m, tee_budget: 40 m, shield: yes, terminator: 150 ohm, medium: shielded twisted pair}")


def rules(devices: int, segments: list[str], terminators: list[str], polarised: bool = False, taps: str = "") -> set[str]:
    """What is said of a bus of controllers D1 to Dn on such a line."""
    controllers = "".join(f"  D{n}: {{kind: controller}}\n" for n in range(1, devices + 1))
    text = (f"site: {{name: x}}\nsupply: {{system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 63 A gG], load: general 1 kW}}\ncontrollers:\n{controllers}"
            f"buses:\n  line:\n    type: modbus\n{taps}    terminators: [{', '.join(terminators)}]\n{'    polarised_at: D1' + chr(10) if polarised else ''}"
            f"    segments:\n" + "".join(f"      - {s}\n" for s in segments) + f"types: {{modbus: {TYPE}}}\n")
    found: list[Any] = list(check(read_bytes(text.encode())).findings)
    return {f.rule for f in found if f.outcome == "finding"}


def chain(devices: int, length: float = 2) -> list[str]:
    return [f"{{from: D{n}, to: D{n + 1}, length: {length:g} m, shield_bond: D{n}}}" for n in range(1, devices)]


@pytest.mark.parametrize(("devices", "polarised", "good"), [(32, False, True), (33, False, False), (28, True, True), (29, True, False)])
def test_32_devices_are_allowed_and_4_fewer_on_a_polarised_line(devices: int, polarised: bool, good: bool) -> None:
    """3.4.1: 32 devices without repeater; 3.4.6: reduced by 4 with polarisation."""
    assert rules(devices, chain(devices), ["D1", f"D{devices}"], polarised) == (set() if good else {"bus-too-many-devices"})


@pytest.mark.parametrize(("taps", "metres", "good"), [(1, 20, True), (1, 20.5, False), (4, 10, True), (4, 10.5, False), (2, 20, True), (2, 20.5, False)])
def test_a_derivation_has_at_most_20_m_and_n_on_one_tap_at_most_40_m_shared(taps: int, metres: float, good: bool) -> None:
    """3.4.3: derivations never more than 20 m; n derivations on a multi-port tap: each at most 40 m divided by n."""
    trunk = ["{from: D1, to: T1, length: 50 m, shield_bond: D1}", "{from: T1, to: D2, length: 50 m, shield_bond: T1}"]
    tees = [f"{{from: T1, to: D{n + 3}, length: {metres:g} m, shield_bond: T1}}" for n in range(taps)]
    said = rules(2 + taps, trunk + tees, ["D1", "D2"], taps="    taps: {T1: {name: Tap}}\n")
    assert said == (set() if good else {"bus-tee-too-long"})


@pytest.mark.parametrize(("terminators", "good"), [(["D1", "D3"], True), (["D1"], False), (["D1", "D2", "D3"], False), ([], False)])
def test_there_are_two_line_terminations_at_the_two_ends(terminators: list[str], good: bool) -> None:
    """3.4.5: near the two ends of the trunk, on its two ends and nowhere else."""
    assert rules(3, chain(3), terminators) == (set() if good else {"terminator-misplaced"})


def test_no_termination_stands_on_a_derivation() -> None:
    """3.4.5: never place a line termination on a derivation cable; here the trunk's second end is bare, and the derivation's is not."""
    trunk = ["{from: D1, to: T1, length: 50 m, shield_bond: D1}", "{from: T1, to: D2, length: 50 m, shield_bond: T1}",
             "{from: T1, to: D3, length: 5 m, shield_bond: T1}"]
    assert rules(3, trunk, ["D1", "D2"], taps="    taps: {T1: {name: Tap}}\n") == set()
    assert "terminator-misplaced" in rules(3, trunk, ["D1", "D2", "D3"], taps="    taps: {T1: {name: Tap}}\n")


def test_the_trunk_has_at_most_1000_m() -> None:
    """3.4.3: 1000 m at 9600 baud."""
    assert rules(3, chain(3, 500), ["D1", "D3"]) == set()
    assert rules(3, chain(3, 501), ["D1", "D3"]) == {"bus-too-long"}


@pytest.mark.parametrize(("bond", "good"), [("D1", True), ("D2", True), ("[D1, D2]", False)])
def test_the_shield_of_each_cable_is_bonded_at_one_end(bond: str, good: bool) -> None:
    """3.6: at one end of each cable its shield is connected to protective ground."""
    said = rules(2, [f"{{from: D1, to: D2, length: 9 m, shield_bond: {bond}}}"], ["D1", "D2"])
    assert said == (set() if good else {"shield-bond-wrong"})
