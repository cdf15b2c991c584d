# SPDX-License-Identifier: MIT
"""Points of the curves of gG fuses against a second route: largest loop impedances that British tables give for the same fuses."""
from __future__ import annotations

import itertools

import pytest
from topology.fuses import curve_of, least_current, most_energy, opens_within
from topology.tables import Tables, parse_table, shipped

T = shipped()
RATINGS = (16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160)
ZS_5_S = {16: 4.18, 20: 2.91, 25: 2.30, 32: 1.84, 40: 1.35, 50: 1.04, 63: 0.82, 80: 0.57, 100: 0.42}
"""Largest loop impedance at 230 V for 5 s of fuses after BS 88-2 [ohm]. Source: BS 7671:2008, from memory."""
ZS_04_S = {6: 8.52, 10: 5.11, 16: 2.7, 20: 1.77, 25: 1.44, 32: 1.04}
"""The same for 0.4 s. Source: BS 7671:2008, table 41.2 as a public page prints it."""


@pytest.mark.parametrize(("rated", "ohm"), ZS_5_S.items())
def test_a_fuse_of_the_british_tables_opens_in_5_s_below_the_end_of_the_international_gate(rated: int, ohm: float) -> None:
    gate = least_current(curve_of(T, "gG", rated), 5)
    assert gate is not None and gate["seconds"] == 5
    assert 0.8 < 230 / ohm / gate.number("ampere") <= 1


@pytest.mark.parametrize(("rated", "ohm"), ZS_04_S.items())
def test_the_point_for_a_final_circuit_is_that_of_the_british_tables(rated: int, ohm: float) -> None:
    point = least_current(curve_of(T, "gG", rated), 0.4)
    assert point is not None and point.number("ampere") == pytest.approx(230 / ohm, abs=0.1)


def test_a_fuse_opens_faster_at_a_larger_current_and_a_larger_fuse_needs_more() -> None:
    """Laws: a time-current curve falls; curves of one kind of fuse do not cross."""
    for rated in RATINGS:
        amperes = [row.number("ampere") for row in curve_of(T, "gG", rated)]
        assert amperes == sorted(amperes, reverse=True) and len(amperes) >= 2
    for seconds in (0.1, 5):
        points = [least_current(curve_of(T, "gG", rated), seconds) for rated in RATINGS]
        assert all(a is not None and b is not None and a.number("ampere") < b.number("ampere") for a, b in itertools.pairwise(points))


def test_the_energy_falls_along_the_curve_and_is_never_above_current_squared_times_time() -> None:
    """Law: I² t of a fuse falls with the current; so a small fault heats a conductor more than a large one."""
    for rated in RATINGS:
        curve = curve_of(T, "gG", rated)
        energies = [row.number("ampere") ** 2 * row.number("seconds") for row in curve]
        assert energies == sorted(energies)
        for fault in (curve[-1].number("ampere"), curve[0].number("ampere"), 6000.0):
            energy, point = most_energy(curve, fault) or (0.0, None)
            opened = opens_within(curve, fault)
            assert point is not None and opened is not None
            assert energy <= fault ** 2 * opened.number("seconds") * (1 + 1e-9)


def test_below_its_curve_a_fuse_tells_nothing() -> None:
    curve = curve_of(T, "gG", 32)
    assert opens_within(curve, 149) is None and most_energy(curve, 149) is None
    assert least_current(curve, 0.05) is None
    assert curve_of(T, "aM", 32) == () and curve_of(T, "gG", 33) == ()


def test_a_fuse_of_the_users_own_table_goes_before_what_ships() -> None:
    own = parse_table("# table: fuses\n# edition: maker's sheet\n# source: read off the curve\nutilisation,rated_a,seconds,ampere,found\n"
                      "gG,40,0.1,400,text\n", "own.csv")
    assert [row["ampere"] for row in curve_of(Tables([own, *T.all]), "gG", 40)] == [400, 190]
