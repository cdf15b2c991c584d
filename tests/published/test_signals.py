# SPDX-License-Identifier: MIT
"""Lines of buses against what published notes and standards print of them; what a site file then hears."""
from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from schedules.render import render
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import check
from topology.signals import longest_line_m, longest_tee_m, reflections, round_trip_s

FEET = 0.3048  # m, exact


def test_2000_feet_at_9600_baud_need_no_terminators() -> None:
    """A published application note on RS-422 and RS-485 lines: 2000 ft, 0.66 of the speed of light: 6.2 µs there and back, 18.6 µs after three
    round trips (it multiplies the rounded 6.2), a bit of 104 µs; not terminated."""
    found = reflections(2000 * FEET, 9600, 0.66)
    assert found.round_trip_s * 1e6 == pytest.approx(6.2, abs=0.05)
    assert 3 * round(found.round_trip_s * 1e6, 1) == pytest.approx(18.6)
    assert found.settled_s * 1e6 == pytest.approx(18.6, abs=3 * 0.05)
    assert found.bit_s * 1e6 == pytest.approx(104, abs=0.5)
    assert found.dead


def test_the_same_line_needs_them_at_115200_bits_a_second() -> None:
    """A bit lasts 8.68 µs there (1/115200 s): less than three round trips."""
    assert not reflections(2000 * FEET, 115_200, 0.66).dead


@pytest.mark.parametrize(("rate", "metres"), [(9600, 1200), (100_000, 1200), (1e6, 100), (1e7, 10)])
def test_length_times_rate_is_bounded(rate: float, metres: float) -> None:
    """Annex of TIA-422-B, from memory: 1200 m up to 100 kbit/s, 100 m at 1 Mbit/s, 10 m at 10 Mbit/s."""
    assert longest_line_m(rate) == pytest.approx(metres, abs=201 if rate == 100_000 else 0.5)


def test_a_tee_takes_a_tenth_of_the_rise_time_there_and_back() -> None:
    """Law: what goes there and back over the longest tee takes exactly a tenth of the rise time."""
    for rise in (10e-9, 250e-9, 1e-6):
        assert round_trip_s(longest_tee_m(rise)) == pytest.approx(rise / 10)


@pytest.mark.parametrize("velocity", [0.0, 1.1, -0.5])
def test_nothing_goes_faster_than_light(velocity: float) -> None:
    with pytest.raises(ValueError, match="outside 0 to 1"):
        round_trip_s(10, velocity)


# ---- on a site -------------------------------------------------------------------------------------------------------

def line(segments: str, bus: str, kind: str, terminators: str = "[D1, D3]") -> Any:
    text = ("site: {name: x}\nsupply: {system: 1/N/PE AC 50 Hz 230 V, in_line: [fuse: 63 A gG], load: general 1 kW}\n"
            "controllers: {D1: {kind: controller}, D2: {kind: controller}, D3: {kind: controller}, D4: {kind: controller}}\n"
            f"buses: {{line: {{type: pair, {bus}terminators: {terminators}, segments: [{segments}]}}}}\n"
            f"types: {{pair: {{kind: bus, shield: no, max_devices: 32, medium: unshielded twisted pair, {kind}}}}}\n")
    read = read_bytes(text.encode())
    assert read.findings == (), read.findings
    return read


CHAIN = "{from: D1, to: D2, length: 300 m}, {from: D2, to: D3, length: 309.6 m}"


def findings(read: Any) -> list[Any]:
    return [f for f in check(read).findings if f.outcome == "finding"]


def test_the_bus_schedule_says_whether_terminators_matter() -> None:
    rows = {}
    for rate in ("9600 bit/s", "115.2 kbit/s"):
        files = render(Flows(line(CHAIN, f"rate: {rate}, ", "max_length: 1000 m")), ["csv"])
        rows[rate] = next(csv.DictReader(io.StringIO(files["buses.csv"].decode())))
    assert rows["9600 bit/s"]["round trip [µs]"] == "6.16"
    assert rows["9600 bit/s"]["reflections"] == "die out before a bit is read: 3 × 6.16 µs = 18.5 µs, half a bit 52.1 µs"
    assert rows["115.2 kbit/s"]["reflections"] == "outlast half a bit, terminators are needed: 3 × 6.16 µs = 18.5 µs, half a bit 4.3 µs"


def test_a_line_too_long_for_its_rate_is_a_warning() -> None:
    assert findings(line(CHAIN, "rate: 100 kbit/s, ", "max_length: 1000 m")) == []
    (found,) = findings(line(CHAIN, "rate: 500 kbit/s, ", "max_length: 1000 m"))
    assert (found.rule, found.severity) == ("bus-too-long", "warning")
    assert "609.6 m long; at 500000 bit/s a balanced line reaches 200 m" in found.message


def test_a_tee_too_long_for_the_edges_of_the_driver_is_a_warning() -> None:
    """0.66 · 299.79 m/µs · 0.5 µs / 20 is 4.95 m."""
    for metres, rules in ((4.9, []), (5.0, ["bus-tee-too-long"])):
        found = findings(line(CHAIN + f", {{from: D2, to: D4, length: {metres} m}}", "", "max_length: 1000 m, tees: yes, rise_time: 0.5 µs"))
        assert [f.rule for f in found] == rules
        assert all(f.severity == "warning" and "4.95 m" in f.message for f in found)


def test_a_missing_terminator_is_told_with_what_it_does_at_this_rate() -> None:
    said = {rate: findings(line(CHAIN, f"rate: {rate} bit/s, ", "max_length: 1000 m", "[D1]"))[0].message for rate in (9600, 115_200)}
    assert "reflections die out before a bit is read" in said[9600]
    assert "reflections outlast half a bit" in said[115_200]
