# SPDX-License-Identifier: MIT
"""Automatic ids after the contract: from board and way, so that a change of one circuit renames nothing else."""
from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from sites import site
from topology.kinds import Said
from topology.read import ReadSite, read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"
BOATHOUSE = (GALLERY / "boathouse/site.yaml").read_text(encoding="utf-8")
EXPLICIT = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,31}")
"""The contract's form of an id."""
AUTOMATIC = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,31}(?:\.[A-Za-z0-9_-]+)*")
"""The same with dots, which the contract reserves for automatic ids."""
NEW = {"way": "490", "in_line": [{"breaker": "16 A C 1P 6 kA"}, {"cable": "2.5 mm\u00b2 2C+2.5E 9 m"}], "load": "lighting"}
Plain = dict[str, Any]


def read(plain: Plain | str) -> ReadSite:
    return read_bytes((plain if isinstance(plain, str) else yaml.safe_dump(plain, allow_unicode=True, sort_keys=False)).encode())


def plain(text: str) -> Plain:
    """The file as text, without YAML's types."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def bars(file: Plain) -> Iterator[tuple[str, list[Plain]]]:
    """Every list of circuits with its board: those of boards, then those of local bars."""
    for name, board in file["boards"].items():
        stack = [board["circuits"]]
        while stack:
            circuits = stack.pop()
            yield name, circuits
            stack += [c["circuits"] for c in circuits if "circuits" in c]


def facts(found: ReadSite) -> dict[str, str]:
    """Each id with what it is: its class and the other things it says in words."""
    return {o.id: f"{type(o).__name__} {getattr(o, 'name', '')} {getattr(o, 'status', '')}" for o in found.objects.values()}


def under(id_: str, ids: Iterator[str] | list[str]) -> set[str]:
    return {i for i in ids if i == id_ or i.startswith(f"{id_}.")}


@pytest.fixture(params=["boathouse", "generated", "generated-3"])
def text(request: pytest.FixtureRequest) -> str:
    return {"boathouse": BOATHOUSE, "generated": site(11, 150), "generated-3": site(12, 150, 3)}[request.param]


def test_every_id_has_the_form_of_the_contract(text: str) -> None:
    ids = list(read(text).objects)
    assert all(AUTOMATIC.fullmatch(i) for i in ids)
    assert len({i.casefold() for i in ids}) == len(ids)


def test_ids_that_the_file_says_are_kept_as_they_are(text: str) -> None:
    said = re.findall(r"\bid: (\w+)", text) + list(plain(text)["boards"]) + list(plain(text)["controllers"])
    assert said and set(said) <= set(read(text).objects)
    assert all(EXPLICIT.fullmatch(i) for i in said)


def test_an_id_with_a_dot_cannot_be_said() -> None:
    found = read(BOATHOUSE.replace("id: Q1", "id: MSB.Q1"))
    assert [(f.rule, f.mark.line, f.mark.column) for f in found.findings] == [("bad-id", 36, 21)]
    assert "MSB.Q1" not in found.objects


def test_circuits_and_their_devices_are_called_after_board_and_way() -> None:
    """The examples of the contract: board, way, device, and a number from the second one on."""
    two = BOATHOUSE.replace("[breaker: 6 A C 2P 6 kA]", "[breaker: 6 A C 2P 6 kA, cable: 1 m, cable: 2 m]")
    objects = read(two).objects
    assert {"MSB.1", "MSB.3", "MSB.3.breaker", "MSB.3.load", "MSB.9", "SB.9", "SB.9.breaker", "SB.9.cable", "SB.9.cable2"} <= set(objects)
    assert [type(objects[i]).__name__ for i in ("SB.9", "SB.9.cable2")] == ["Circuit", "Cable"]


def test_a_circuit_on_a_local_bar_is_called_after_its_board() -> None:
    """MSB.3 and MSB.4 stand behind the group on way 1."""
    assert "MSB.3" in read(BOATHOUSE).objects and "MSB.1.3" not in read(BOATHOUSE).objects


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1, 3]), st.data())
def test_a_new_circuit_renames_nothing(seed: int, phases: int, data: st.DataObject) -> None:
    text = site(seed, 90, phases)
    before = facts(read(text))
    file = plain(text)
    name, circuits = data.draw(st.sampled_from(list(bars(file))))
    circuits.insert(data.draw(st.integers(0, len(circuits))), {**NEW, **({"phase": "L1"} if phases == 3 else {})})
    after = facts(read(file))
    assert {i: after.get(i) for i in before} == before
    assert set(after) - set(before) == {f"{name}.490{part}" for part in ("", ".breaker", ".cable", ".load")}


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1, 3]), st.data())
def test_a_deleted_circuit_takes_only_its_own_ids_away(seed: int, phases: int, data: st.DataObject) -> None:
    text = site(seed, 90, phases)
    found = read(text)
    before = facts(found)
    file = plain(text)
    name, circuits = data.draw(st.sampled_from(list(bars(file))))
    gone = circuits.pop(data.draw(st.integers(0, len(circuits) - 1)))
    after = facts(read(file))
    ids = under(f"{name}.{gone['way'].partition('-')[0]}", list(before))
    for inner in gone.get("circuits", ()):
        ids |= under(f"{name}.{inner['way']}", list(before))
    ids |= set(re.findall(r"'id': '(\w+)'", repr(gone)))
    ids |= {i for explicit in set(ids) for i in under(explicit, list(before))}
    assert set(before) - set(after) == ids
    assert all(after[i] == before[i] for i in after)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1, 3]), st.randoms(use_true_random=False))
def test_the_order_of_circuits_and_boards_does_not_matter(seed: int, phases: int, shuffle: Any) -> None:
    text = site(seed, 90, phases)
    file = plain(text)
    for _, circuits in bars(file):
        shuffle.shuffle(circuits)
    boards = list(file["boards"].items())
    shuffle.shuffle(boards)
    file["boards"] = dict(boards)
    assert facts(read(file)) == facts(read(text))


def test_a_circuit_that_moves_into_a_group_keeps_its_id() -> None:
    file = plain(BOATHOUSE)
    circuits = file["boards"]["MSB"]["circuits"]
    moved = circuits.pop(1)
    circuits[0]["circuits"].append(moved)
    assert facts(read(file)) == facts(read(BOATHOUSE))


def test_a_circuit_that_moves_to_another_way_takes_its_devices_along_and_no_other() -> None:
    before, after = facts(read(BOATHOUSE)), facts(read(BOATHOUSE.replace("{way: 7,", "{way: 17,")))
    assert {i.replace("MSB.7", "MSB.17"): what for i, what in before.items()} == after


def test_two_circuits_on_one_way_have_ids_of_their_own() -> None:
    found = read(BOATHOUSE.replace("{way: 7,", "{way: 5,"))
    assert {"MSB.5", "MSB.5.2", "MSB.5.rcbo", "MSB.5.2.rcbo"} <= set(found.objects) and found.findings == ()


@pytest.mark.parametrize("way", ["TBC", "'?'"])
def test_a_circuit_without_a_known_way_has_an_id_too(way: str) -> None:
    found = read(BOATHOUSE.replace("{way: 7,", f"{{way: {way},"))
    assert {"MSB.TBC", "MSB.TBC.rcbo"} <= set(found.objects) and found.findings == ()


def test_segments_are_called_after_their_bus_and_ends() -> None:
    objects = read(BOATHOUSE).objects
    assert {"control.BA1-BAT1", "control.BAT1-BAT2"} <= set(objects)
    assert objects["control.BA1-BAT1"].from_ == Said("BA1", objects["control.BA1-BAT1"].from_.mark)
