# SPDX-License-Identifier: MIT
"""A second point of supply is refused in plain words, in whatever way it is written, and what the manual proposes works."""
from __future__ import annotations

import pytest
from topology.read import read_bytes
from topology.report import check, explain
from topology.rule import RULES

ONE = "{system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 63 A gG], feeds: MSB}"
REST = """boards:
  MSB: {busbar: 63 A, circuits: [{way: 1, in_line: [breaker: 32 A C 2P 6 kA], feeds: QA1.normal}]}
  BB: {busbar: 63 A, circuits: [{way: 1, in_line: [rcbo: 16 A C 1P+N 30 mA type A 6 kA], load: sockets 1 kW}]}
devices:
  QA1: {kind: changeover, operated: manual, rating: 63 A, poles: 2P, ports: {load: {feeds: BB}}}
"""


@pytest.mark.parametrize(("supply", "place"), [
    (f"supply:\n  - {ONE}\n  - {ONE}\n", (4, 5)), (f"supply:\n  A: {ONE}\n  B: {ONE}\n", (4, 3)), (f"supply: {ONE}\nsupply2: {ONE}\n", (3, 1)),
    (f"supply: {ONE}\nsupplies: [{ONE}]\n", (3, 1))])
def test_each_way_of_writing_a_second_supply_is_told_what_to_do(supply: str, place: tuple[int, int]) -> None:
    first = read_bytes(f"site: {{name: Two}}\n{supply}{REST}".encode()).findings[0]
    assert (first.rule, first.mark.line, first.mark.column) == ("second-supply", *place)
    assert first.message == "a file describes one point of supply, and this is a second one"
    assert first.next.startswith("write a file for each; a supply that takes over at a changeover can be a device of kind: generator")


def test_one_that_is_written_as_a_device_or_under_the_same_key_is_told_so_too() -> None:
    device = f"site: {{name: Two}}\nsupply: {ONE}\n{REST}  S2: {{kind: second supply}}\n"
    assert [f.rule for f in read_bytes(device.encode()).findings] == ["second-supply"]
    twice = read_bytes(f"site: {{name: Two}}\nsupply: {ONE}\nsupply: {ONE}\n{REST}".encode()).findings
    assert [(f.rule, "one point of supply" in f.next) for f in twice] == [("duplicate-key", True)]


def test_a_misspelt_only_supply_is_no_second_one() -> None:
    assert "second-supply" not in {f.rule for f in read_bytes(f"site: {{name: Two}}\nsupplyy: {ONE}\n{REST}".encode()).findings}


def test_what_the_manual_proposes_is_read_and_fed() -> None:
    good = (explain("second-supply") or "").partition("Good\n")[2].partition("\n")[0].removeprefix("devices: {").removesuffix("}")
    text = f"site: {{name: Two}}\nsupply: {ONE}\n{REST}  {good}\n"
    report = check(read_bytes(text.encode()))
    assert report.read.findings == ()
    assert {f.rule for f in report.findings if f.outcome == "finding"} & set(RULES) <= {"ne-links-not-one"}
