# SPDX-License-Identifier: MIT
"""Totals of the sources: laws of addition, and what is not known never adds up."""
from __future__ import annotations

import pytest
from topology.flow import Flows
from topology.read import read_bytes
from topology.totals import per_phase, source_shares, total

SITE = """
site: {{name: Test}}
supply:
  system: 3/N/PE AC 50 Hz 230/400 V
  feeds: MSB
boards:
  MSB:
    busbar: 100 A
    circuits:
{circuits}
types:
  modules: {{kind: module inverter, power: 320 VA, phases: 1, disconnects_itself: yes}}
  limited: {{kind: inverter, power: 10 kVA, limit: 8 kVA, phases: 3, disconnects_itself: yes}}
  open: {{kind: storage, power: TBC, phases: 1, disconnects_itself: yes}}
  store: {{kind: storage, power: 2.7 kVA, energy: 6.4 kWh, phases: 1, disconnects_itself: yes}}
"""
ROWS = ["{way: 1, phase: L1, in_line: [breaker: 20 A C 1P 6 kA], feeds: {module_inverters: {id: A, type: modules, number: 9, phase: L1}}}",
        "{way: 2-4, in_line: [breaker: 20 A C 3P 6 kA], feeds: {inverter: {id: B, type: limited}}}",
        "{way: 5, phase: L2, in_line: [breaker: 20 A C 1P 6 kA], feeds: {storage: {id: C, type: store, phase: L2}}}"]
OPEN = "{way: 6, phase: L3, in_line: [breaker: 20 A C 1P 6 kA], feeds: {storage: {id: D, type: open, phase: L3}}}"


def flows(*rows: str) -> Flows:
    return Flows(read_bytes(SITE.format(circuits="\n".join(f"      - {row}" for row in rows)).encode()))


def test_each_phase_gets_its_share_of_every_source() -> None:
    shares = source_shares(flows(*ROWS))
    assert per_phase(shares, "nameplate") == pytest.approx({"L1": 9 * 320 + 10_000 / 3, "L2": 2700 + 10_000 / 3, "L3": 10_000 / 3})
    assert per_phase(shares, "limited") == pytest.approx({"L1": 9 * 320 + 8_000 / 3, "L2": 2700 + 8_000 / 3, "L3": 8_000 / 3})
    assert total(shares, "energy") == 6400


def test_phases_add_up_to_the_total() -> None:
    shares = source_shares(flows(*ROWS))
    for field in ("nameplate", "limited", "energy"):
        assert sum(value or 0 for value in per_phase(shares, field).values()) == pytest.approx(total(shares, field))


def test_the_limited_power_is_never_above_the_nameplate() -> None:
    assert all((share.limited or 0) <= (share.nameplate or 0) for share in source_shares(flows(*ROWS)))


def test_one_unknown_source_leaves_its_phase_and_the_total_open_and_no_other() -> None:
    known, opened = per_phase(source_shares(flows(*ROWS)), "nameplate"), source_shares(flows(*ROWS, OPEN))
    assert per_phase(opened, "nameplate") == {"L1": known["L1"], "L2": known["L2"], "L3": None}
    assert total(opened, "nameplate") is None


def test_a_source_on_an_unknown_phase_leaves_all_phases_open() -> None:
    row = "{way: 7, in_line: [breaker: 20 A C 1P 6 kA], feeds: {storage: {id: E, type: store, phase: TBC}}}"
    shares = source_shares(flows(*ROWS, row))
    assert set(per_phase(shares, "nameplate").values()) == {None}
    assert total(shares, "nameplate") == pytest.approx(9 * 320 + 10_000 + 2 * 2700)


def test_a_removed_source_no_longer_counts() -> None:
    removed = ROWS[2].replace("id: C,", "id: C, status: removed,")
    assert [share.id for share in source_shares(flows(*ROWS[:2], removed))] == ["A", "B"]
