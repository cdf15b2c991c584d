# SPDX-License-Identifier: MIT
"""Laws that hold for any network: energy, splitting a cable, renaming, proportion, the size and number of cables."""
from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from topology.capacity import capacity, smallest_size
from topology.demand import nominal_current
from topology.drop import longest, segment_change
from topology.fault import earth_fault
from topology.impedance import conductor
from topology.sweep import Draw, NoSolution, Segment, accumulate, balanced, sweep
from topology.tables import shipped

T = shipped()
SOURCE = balanced(230.0)


def network(seed: int, size: int) -> tuple[list[Segment | None], list[Draw]]:
    """A random radial site with loads and generators on phases, between phases and at constant current."""
    r = random.Random(seed)
    segments: list[Segment | None] = [None]
    for node in range(1, size):
        z = complex(r.uniform(0.001, 0.05), r.uniform(0, 0.01))
        segments.append(Segment(r.randrange(node), z, z * r.choice((0.5, 1, 2))))
    places = ((0, 3), (1, 3), (2, 3), (0, 1), (1, 2))
    draws = []
    for _ in range(size):
        between, constant = r.choice(places), r.choice(("power", "power", "current"))
        s = complex(r.uniform(-3000, 3000), r.uniform(-500, 1000))
        draws.append(Draw(r.randrange(1, size), between, s, constant, 230 if between[1] == 3 else 230 * math.sqrt(3)))
    return segments, draws


SEEDS = st.integers(0, 10_000)
SIZES = st.integers(2, 25)


@settings(deadline=None, max_examples=60)
@given(SEEDS, SIZES)
def test_what_the_source_gives_is_what_is_drawn_and_lost(seed: int, size: int) -> None:
    """Tellegen's theorem: complex power sums to zero over all branches; and currents sum to zero at every node (Kirchhoff)."""
    segments, draws = network(seed, size)
    found = sweep(segments, draws, SOURCE)
    given_ = sum((u * i.conjugate() for u, i in zip(found.u[0], found.i[0], strict=True)), 0j)
    lost = sum(((s.z_phase * sum(abs(i) ** 2 for i in found.i[n][:3]) + s.z_neutral * abs(found.i[n][3]) ** 2)
                for n, s in enumerate(segments) if s is not None), 0j)
    drawn = 0j
    for d in draws:
        u = found.u[d.node][d.between[0]] - found.u[d.node][d.between[1]]
        drawn += u * d.current(u).conjugate()
    assert given_ == pytest.approx(drawn + lost, abs=1e-2)
    for currents in found.i:
        assert abs(sum(currents)) < 1e-6


@settings(deadline=None, max_examples=40)
@given(SEEDS, SIZES, st.floats(0.05, 0.95))
def test_splitting_a_cable_changes_nothing_elsewhere(seed: int, size: int, share: float) -> None:
    segments, draws = network(seed, size)
    where = random.Random(seed).randrange(1, size)
    old = segments[where]
    assert old is not None
    first = Segment(old.parent, old.z_phase * share, old.z_neutral * share)
    rest = Segment(where, old.z_phase * (1 - share), old.z_neutral * (1 - share))
    renamed = [s if s is None or s.parent < where else Segment(s.parent + 1, s.z_phase, s.z_neutral) for s in segments[where + 1:]]
    split = [*segments[:where], first, rest, *renamed]
    moved = [Draw(d.node + (d.node >= where), d.between, d.s_va, d.constant, d.nominal_v) for d in draws]
    before, after = sweep(segments, draws, SOURCE), sweep(split, moved, SOURCE)
    for node in range(size):
        assert after.to_neutral(node + (node >= where)) == pytest.approx(before.to_neutral(node), abs=1e-5)


@settings(deadline=None, max_examples=40)
@given(SEEDS, SIZES)
def test_the_order_in_which_nodes_are_numbered_does_not_matter(seed: int, size: int) -> None:
    segments, draws = network(seed, size)
    r = random.Random(seed + 1)
    order, ready = [0], [n for n, s in enumerate(segments) if s is not None and s.parent == 0]
    while ready:
        node = ready.pop(r.randrange(len(ready)))
        order.append(node)
        ready += [n for n, s in enumerate(segments) if s is not None and s.parent == node]
    new = {node: k for k, node in enumerate(order)}
    shuffled = [None if s is None else Segment(new[s.parent], s.z_phase, s.z_neutral) for s in (segments[n] for n in order)]
    moved = [Draw(new[d.node], d.between, d.s_va, d.constant, d.nominal_v) for d in draws]
    before, after = sweep(segments, draws, SOURCE), sweep(shuffled, moved, SOURCE)
    for node in range(size):
        assert after.to_neutral(new[node]) == pytest.approx(before.to_neutral(node), abs=1e-5)


@given(st.lists(st.floats(0.001, 1), min_size=2, max_size=10))
def test_a_loop_grows_and_its_current_falls_with_every_metre(pieces: list[float]) -> None:
    ways = [sum(pieces[:n]) * (1 + 0.1j) for n in range(1, len(pieces) + 1)]
    faults = [earth_fault(230, z, z, 0.95).ampere for z in ways]
    assert faults == sorted(faults, reverse=True)


@given(st.floats(0.5, 300), st.floats(1, 100))
def test_drop_is_in_proportion_to_length_and_halves_when_two_equal_cables_share_it(length: float, current: float) -> None:
    r = conductor(T, 6, "Cu", 75).z_ohm_per_km.real
    one = segment_change(current, r, length, single_phase=True).volts
    assert segment_change(current, r, 2 * length, single_phase=True).volts == pytest.approx(2 * one)
    assert segment_change(current, r, length, single_phase=True, parallel=2).volts == pytest.approx(one / 2)


def test_the_longest_cable_uses_up_the_limit_exactly() -> None:
    r = conductor(T, 6, "Cu", 75).z_ohm_per_km.real
    rest, limit = 1.7, 4.6
    here = segment_change(20, r, 18, single_phase=True).volts
    far = longest(18, here, rest, limit)
    assert far is not None
    assert segment_change(20, r, far, single_phase=True).volts + rest == pytest.approx(limit)
    assert longest(18, here, 5.0, limit) == 0 and longest(18, 0.0, rest, limit) is None


def test_the_smallest_size_passes_and_the_one_below_does_not() -> None:
    def carries(area: float) -> bool:
        return capacity(T, area_mm2=area, material="Cu", insulation="PVC", method="B1", loaded=2, ambient_degc=40).ampere >= 32

    def rises(area: float) -> bool:
        return segment_change(32, conductor(T, area, "Cu", 70).z_ohm_per_km.real, 20, single_phase=True).volts <= 4.6
    found = smallest_size(T.sizes(), [("capacity", carries), ("voltage rise", rises)])
    assert found is not None
    size, governing = found
    below = max(s for s in T.sizes() if s < size)
    assert carries(size) and rises(size)
    assert not {"capacity": carries, "voltage rise": rises}[governing](below)
    assert smallest_size(T.sizes(), [("capacity", lambda _: False)]) is None
    assert smallest_size(T.sizes(), [("capacity", lambda _: True)]) == (1.0, "smallest size made")


def test_units_on_opposed_phases_cancel_in_a_shared_neutral_until_backup_joins_them() -> None:
    """Split phase, 180°: equal units leave nothing in the neutral; on one phase of a backup supply they add up."""
    for source, expected in ((balanced(230, 2), 0.0), ((230 + 0j, 230 + 0j, 0j), 2 * 3000 / 230)):
        flow = accumulate([0, 0], [(1, d.between, nominal_current(d, source)) for d in (Draw(1, (0, 3), 3000), Draw(1, (1, 3), 3000))])
        assert abs(flow[1][3]) == pytest.approx(expected, abs=1e-9)


def test_three_equal_phases_leave_the_neutral_empty_and_two_of_them_fill_it_like_one() -> None:
    for phases, share in ((3, 0.0), (2, 1.0)):
        flow = accumulate([0, 0], [(1, (p, 3), nominal_current(Draw(1, (p, 3), 3000), SOURCE)) for p in range(phases)])
        assert abs(flow[1][3]) == pytest.approx(share * 3000 / 230, abs=1e-9)


def test_a_load_that_no_cable_can_carry_is_reported_and_not_guessed() -> None:
    with pytest.raises(NoSolution, match="do not settle"):
        sweep([None, Segment(0, 1 + 0j, 1 + 0j)], [Draw(1, (0, 3), 50_000)], SOURCE)
    with pytest.raises(NoSolution, match="no voltage"):
        sweep([None, Segment(0, 0.01, 0.01)], [Draw(1, (1, 3), 500)], balanced(230, 1))


def test_a_node_before_its_feeder_is_refused() -> None:
    with pytest.raises(ValueError, match="stands before"):
        sweep([None, Segment(2, 1, 1), Segment(0, 1, 1)], [], SOURCE)
