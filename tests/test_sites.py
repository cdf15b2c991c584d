# SPDX-License-Identifier: MIT
"""Generated sites: valid and silent, of the size asked for, the same each time; each slip makes exactly its own check speak."""
from __future__ import annotations

import hashlib
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest
from sites import EARTHING, MUTATIONS, SMALLEST_WITH_SOLAR, site
from slips_cannot import cannot
from tables import slip_table
from topology.read import read_bytes
from topology.report import check
from topology.rule import RULES

SIZES = [(seed, objects, phases) for seed, objects in ((1, 10), (2, 30), (3, 70), (4, 200), (5, 700), (6, 2000)) for phases in (1, 2, 3)]
EARTHED = [(seed, objects, phases, earthing, outbuildings) for seed, objects in ((1, 10), (2, 90), (3, 200)) for phases in (1, 2, 3)
           for earthing in EARTHING for outbuildings in (0, 3) if earthing != "TN-C-S" or outbuildings]
PLACES = [(0, 1, "TN-C-S", 0), (1, 1, "TN-C-S", 0), (0, 2, "TN-C-S", 0), (1, 2, "TN-C-S", 2), (0, 3, "TN-C-S", 0), (1, 3, "TN-C-S", 0),
          (2, 1, "TN-S", 0), (3, 3, "TT", 0)]
"""Seed, phases, earthing and outbuildings of the sites that each slip is put into"""


@pytest.mark.parametrize(("seed", "objects", "phases"), SIZES)
def test_a_generated_site_is_read_and_checked_without_a_word(seed: int, objects: int, phases: int) -> None:
    read = read_bytes(site(seed, objects, phases).encode())
    assert read.complete and read.findings == ()
    assert [(f.rule, f.message) for f in check(read).findings] == []


@pytest.mark.parametrize("arguments", EARTHED)
def test_so_is_one_with_another_earthing_system_and_outbuildings(arguments: tuple[int, int, int, str, int]) -> None:
    assert [(f.rule, f.message) for f in check(read_bytes(site(*arguments).encode())).findings] == []


@pytest.mark.parametrize(("seed", "objects", "phases"), SIZES)
def test_it_has_about_as_many_objects_as_asked_for(seed: int, objects: int, phases: int) -> None:
    number = len(read_bytes(site(seed, objects, phases).encode()).objects)
    assert objects <= number <= objects + max(SMALLEST_WITH_SOLAR, objects // 5)


def test_the_largest_site_is_valid() -> None:
    read = read_bytes(site(7, 20_000, 1).encode())
    assert read.complete and read.findings == () and 20_000 <= len(read.objects) <= 20_200


def test_the_same_arguments_give_the_same_text_whatever_the_hash_seed() -> None:
    code = "import sys, sites, hashlib; sys.stdout.write(hashlib.sha256(sites.site(9, 400, 3).encode()).hexdigest())"
    wanted = hashlib.sha256(site(9, 400, 3).encode()).hexdigest()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        assert subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=Path(__file__).parent,
                              env=env).stdout == wanted
    assert site(9, 400, 3) != site(10, 400, 3)


@pytest.mark.parametrize(("rule", "place"), [(rule, place) for rule in sorted(MUTATIONS) for place in PLACES if rule not in cannot(*place[1:])])
def test_a_slip_makes_its_own_check_speak_and_no_other(rule: str, place: tuple[int, int, str, int]) -> None:
    seed, *kind = place
    text = site(seed, 150, *kind)
    assert {(f.rule, f.outcome) for f in check(read_bytes(MUTATIONS[rule](text).encode())).findings} == {(rule, "finding")}


HIDES = frozenset(["not-fed", "bus-not-a-chain"])
"""What is not fed cannot be computed, and a bus with a tee has other ends: their slips hide others."""


@pytest.mark.parametrize("number", range(24))
def test_of_two_slips_both_are_spoken_of_and_nothing_else(number: int) -> None:
    pick = random.Random(number)
    phases = 1 + number % 3
    first, second = pick.sample(sorted(set(MUTATIONS) - cannot(phases) - HIDES), 2)
    try:
        text = MUTATIONS[second](MUTATIONS[first](site(number, 150, phases)))
    except ValueError:
        return  # the first has taken away what the second would change
    read = read_bytes(text.encode())
    if not read.findings:  # both may write the same part of the file, and both may take the last way of the board
        assert {f.rule for f in check(read).findings} - {"way-used-twice"} == {first, second} - {"way-used-twice"}


def test_every_check_has_its_slip() -> None:
    assert set(MUTATIONS) == set(RULES)


def test_the_published_table_is_as_the_checks_speak_today() -> None:
    assert (Path(__file__).parents[1] / "gallery/slips.md").read_text(encoding="utf-8") == slip_table()  # else: python tests/tables.py > gallery/slips.md


@pytest.mark.parametrize("rule", sorted(MUTATIONS))
def test_a_site_without_the_thing_cannot_have_the_slip(rule: str) -> None:
    if rule not in ("grid-sensor-misses", "ne-links-not-one", "pen-switched"):  # even the smallest site has a grid sensor and a main switch
        with pytest.raises(ValueError, match="nothing to change"):
            MUTATIONS[rule](site(1, 10))


def test_each_slip_can_be_put_into_several_kinds_of_sites() -> None:
    assert all(sum(rule not in cannot(*place[1:]) for place in PLACES) >= 2 for rule in MUTATIONS)


@pytest.mark.parametrize("arguments", [(1, 9, 1), (1, 20_001, 1), (1, 100, 4), (1, 100, 1, "IT")])
def test_other_sizes_are_refused(arguments: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="no site with"):
        site(*arguments)
