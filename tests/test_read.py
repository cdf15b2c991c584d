# SPDX-License-Identifier: MIT
"""Reading a site: every fault of content word for word at its place, what TBC means, round trips, and whatever input comes.

Expected places are found by searching the text for the word at fault, not by running the program.
"""
from __future__ import annotations

import re
import string
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from sites import site
from topology import faults, site_faults
from topology.errors import CannotTell, Mark, Unknown, Unusable
from topology.fields import fields_of, show_object
from topology.flow import Flows
from topology.read import ReadSite, equipment_library, read_bytes, read_file
from topology.report import check

GALLERY = Path(__file__).parents[1] / "gallery"
BOATHOUSE = (GALLERY / "boathouse/site.yaml").read_text(encoding="utf-8")
BASE = """\
site: {name: Quai \u00e9t\u00e9}
people:
  designer: {name: J. Draft, licence: EL 1}
operation: {internet: yes}
supply:
  system: 1/PEN AC 50 Hz 230 V
  in_line:
    - fuse: 80 A gG
    - ct: {id: CT1, measures: grid, phase: L1}
    - ne_link: {id: NE1, electrode: rod 6 mm\u00b2}
    - switch: {id: Q1, rating: 63 A 2P}
  feeds: MSB
boards:
  MSB:
    ways: 12
    circuits:
      - {way: 1, name: \u00d6st \U0001f16a, in_line: [breaker: 20 A C 1P 6 kA, cable: 2.5 mm\u00b2 2C+2.5E Cu PVC 21 m], load: sockets 3 kW}
      - {way: 2, in_line: [rcd: 40 A 2P 30 mA type A], circuits: [{way: 3, load: spare}]}
      - {way: 4, in_line: [breaker: 16 A C 1P 6 kA], feeds: SB}
  SB:
    main_switch: switch 63 A 2P
    circuits:
      - {way: 1, in_line: [breaker: 25 A C 2P 6 kA], feeds: {storage: {id: BAT1, type: storage-ac-b}}}
      - {way: 2, in_line: [breaker: 6 A C 2P 6 kA], feeds: GW1}
controllers:
  GW1: {kind: gateway, inputs: {1: CT1 on L1}}
  BA1: {kind: bus adapter, joined_to: GW1}
buses:
  control: {type: bus-shielded-pair-60, segments: [{from: BA1, to: BAT1, length: 3 m, shield_bond: BA1}], terminators: [BA1, BAT1]}
types: {storage-ac-b: {kind: storage, disconnects_itself: yes}}
"""
BREAKER, LINE = "breaker: 20 A C 1P 6 kA", "[breaker: 20 A C 1P 6 kA, cable: 2.5 mm\u00b2 2C+2.5E Cu PVC 21 m]"


def read(text: str) -> ReadSite:
    return read_bytes(text.encode(), "s.yaml")


def changed(old: str, new: str) -> tuple[str, int]:
    """The base with its first `old` replaced, and where the new text begins."""
    assert old in BASE, old
    return BASE.replace(old, new, 1), BASE.index(old)


def place(text: str, start: int, word: str) -> tuple[int, int, int]:
    """Line, column and width of the first `word` from an index on."""
    at = text.index(word, start)
    return text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1) + 1, len(word)


# ---- faults, word for word -------------------------------------------------------------------------------------------
# (replaced, by, word at fault, rule, message, next step)

FORM = "write it like '16 A 1P+N B 6 kA'; other remarks go under 'name:'"
FAULTS: list[tuple[str, str, str, str, str, str]] = [
    # keys
    (BREAKER, "breaker: {ratting: 20 A}", "ratting", "unknown-key", "unknown key 'ratting' in MSB.1.breaker", "did you mean 'rating'?"),
    (BREAKER, "braker: 20 A C 1P 6 kA", "braker", "unknown-key", "unknown key 'braker' in devices in line of MSB.1",
     "did you mean 'breaker'?"),
    ("people:\n", "people:\n  boss: X\n", "boss", "unknown-key", "unknown key 'boss' in people",
     "keys here: customer, customer_contact, owner, designer, installer, approver"),
    (BREAKER, "breaker: {rating: 20 A, ring: yes}", "ring", "unknown-key", "unknown key 'ring' in MSB.1.breaker", "'ring' is a key of circuit"),
    (BREAKER, "breaker: {rating: 20 A, breaking_capacity: 6 kA}", "breaking_capacity", "unknown-key",
     "unknown key 'breaking_capacity' in MSB.1.breaker", "'breaking' is the key for the breaking capacity"),
    ("licence: EL 1", "licens: EL 1", "licens", "unknown-key", "unknown key 'licens' in designer of people", "did you mean 'licence'?"),
    ("feeds: {storage:", "feeds: {store:", "store", "unknown-key", "unknown key 'store' in 'feeds' of SB.1", "did you mean 'storage'?"),
    ("switch 63 A 2P", "swich 63 A 2P", "swich", "unknown-key", "unknown key 'swich' in main switch of SB", "did you mean 'switch'?"),
    ("{id: BAT1, type: storage-ac-b}", "{id: BAT1, name: Cellar}", "BAT1", "missing-key", "BAT1 lacks 'type'",
     "add 'type: storage-ac-b', or 'type: TBC' while it is not known"),
    ("{way: 3, load: spare}", "{load: spare}", "{", "missing-key", "circuit of MSB lacks 'way'",
     "add 'way: 5', or 'way: TBC' while it is not known"),
    ("{name: J. Draft, licence: EL 1}", "{licence: EL 1}", "{", "missing-key", "designer of people lacks 'name'",
     "add 'name: A. Example', or 'name: TBC' while it is not known"),
    # shapes
    (LINE, "breaker", "breaker", "wrong-shape", "devices in line of MSB.1 should be a list, not one value",
     "write it like this: [breaker: 16 A C 1P 6 kA]"),
    (LINE, "[breaker]", "breaker", "wrong-shape", "entry among devices in line of MSB.1 should be a device with its facts, not 'breaker'",
     "write it like this: breaker: \u2026"),
    (BREAKER, "breaker: [20 A]", "[20", "wrong-shape", "MSB.1.breaker should be one value or a mapping, not a list",
     "write it like this: 16 A 1P+N B 6 kA"),
    ("ways: 12", "ways: [12]", "[", "wrong-shape", "number of ways of MSB should be one value, not a list", "write it like this: 24"),
    ("feeds: GW1", "feeds: [GW1]", "[", "wrong-shape", "'feeds' of SB.2 should be an id or equipment, not a list",
     "write it like this: SB"),
    ("{way: 3, load: spare}", "spare", "spare", "wrong-shape", "MSB.2.circuit should be a mapping, not 'spare'",
     "write it like this: {way: 5-6}"),
    ("{name: J. Draft, licence: EL 1}", "J. Draft", "J. Draft", "wrong-shape", "designer of people should be a mapping, not 'J. Draft'",
     "write it like this: {name: J. Draft}"),
    ("{way: 1, in_line: [breaker: 25 A C 2P 6 kA], feeds: {storage: {id: BAT1, type: storage-ac-b}}}", "{way: 1, in_line: [{rcd: 40 A 2P, junction: {}}], "
     "feeds: {storage: {id: BAT1, type: storage-ac-b}}}", "junction", "one-device", "'junction' stands in the same entry as 'rcd'",
     "begin a new entry: '- junction: \u2026'"),
    # values
    ("63 A 2P}\n", "63 A 2P, name: ''}\n", "''", "no-value", "name of Q1 has no value",
     "write a value such as 'Main switch', or TBC while it is not known"),
    (BREAKER, "breaker: ''", "''", "no-value", "MSB.1.breaker has no value",
     "write a value such as '16 A 1P+N B 6 kA', or TBC while it is not known"),
    (LINE, "''", "''", "no-value", "devices in line of MSB.1 has no value",
     "write a value such as '[breaker: 16 A C 1P 6 kA]', or TBC while it is not known"),
    ("way: 3", "way: three", "three", "not-understood", "way of MSB.2.circuit: 'three' is not understood", "write it like '5-6'"),
    ("{1: CT1", "{input 1: CT1", "input 1", "not-understood", "name among inputs of GW1: 'input 1' is not understood", "write it like '1'"),
    ("measures: grid", "measures: gird", "gird", "not-a-choice", "'measures' of CT1 cannot be 'gird'", "did you mean 'grid'?"),
    ("internet: yes", "internet: true", "true", "not-a-choice", "internet connection of operation cannot be 'true'", "write 'yes'"),
    ("internet: yes", "internet: perhaps", "perhaps", "not-a-choice", "internet connection of operation cannot be 'perhaps'",
     "one of: yes, no"),
    ("type A]", "type X]", "X", "not-a-choice", "type of MSB.2.rcd cannot be 'X'", "one of: AC, A, F, B, A-S, S"),
    ("CT1 on L1}", "CT1 on L4}", "L4", "not-a-choice", "phase of the voltage reference of input 1 of GW1 cannot be 'L4'",
     "one of: L1, L2, L3"),
    ("way: 3", "way: 5-3", "5-3", "impossible-value", "way of MSB.5 cannot be '5-3': the last way comes before the first",
     "write it like '5-6', or TBC while it is not known"),
    ("21 m]", "-4 m]", "-4 m", "impossible-value", "length of MSB.1.cable cannot be '-4 m': it is outside 0.01 m to 100000 m",
     "write it like '14 m', or TBC while it is not known"),
    ("ways: 12", "ways: 900", "900", "impossible-value", "number of ways of MSB cannot be '900': it is outside 1 to 500",
     "write it like '24', or TBC while it is not known"),
    # words of a shorthand
    (BREAKER, "breaker: 20 A C 1P 6 kA fast", "fast", "unknown-word", "MSB.1.breaker: 'fast' is not understood here", FORM),
    (BREAKER, "breaker: \"20 A C 1P 6 kA fast\"", "fast", "unknown-word", "MSB.1.breaker: 'fast' is not understood here", FORM),
    (BREAKER, "breaker: '20 A  C, 1P  6 kA  fast'", "fast", "unknown-word", "MSB.1.breaker: 'fast' is not understood here", FORM),
    (BREAKER, "breaker: {rating: 20 A C fast 1P 6 kA}", "fast", "unknown-word", "MSB.1.breaker: 'fast' is not understood here", FORM),
    (BREAKER, "breaker: 2p 20 A C 6 kA", "2p", "unknown-word", "MSB.1.breaker: '2p' is not understood here", "did you mean '2P'?"),
    (BREAKER, "breaker: 20 A c 1P 6 kA", "c", "unknown-word", "MSB.1.breaker: 'c' is not understood here", "did you mean 'C'?"),
    ("switch 63 A 2P", "\"switch 63 A slow 2P\"", "slow", "unknown-word", "SB.switch: 'slow' is not understood here",
     "write it like '16 A 1P+N'; other remarks go under 'name:'"),
    (BREAKER, "breaker: 20 C 1P 6 kA", "20", "missing-unit", "rating of MSB.1.breaker: '20' has no unit", "did you mean '20 A'?"),
    (BREAKER, "breaker: 20 A C 1P 6", "6", "missing-unit", "breaking capacity of MSB.1.breaker: '6' has no unit", "did you mean '6 kA'?"),
    (BREAKER, "breaker: {rating: 20}", "20", "missing-unit", "rating of MSB.1.breaker: '20' has no unit", "did you mean '20 A'?"),
    (BREAKER, "breaker: 20 kW C 1P 6 kA", "20 kW", "wrong-unit", "rating of MSB.1.breaker is a current, and 'kW' is no unit of it",
     "write it like '16 A'"),
    ("cable: 2.5 mm\u00b2", "cable: 2.5 mm", "2.5 mm", "wrong-unit",
     "cross-section of MSB.1.cable is a cross-section, and 'mm' is no unit of it", "did you mean '2.5 mm\u00b2'?"),
    ("cable: 2.5 mm\u00b2 2C+2.5E Cu PVC 21 m", "cable: {length: \"2,5 m\"}", "\"2,5 m\"", "no-number",
     "length of MSB.1.cable is a length, and '2,5 m' is not a plain number with a unit", "did you mean '2.5 m'?"),
    (BREAKER, "breaker: 20 A 16 A C 1P 6 kA", "16 A", "said-twice", "rating of MSB.1.breaker is said twice", "keep one of the two"),
    (BREAKER, "breaker: {rating: 20 A C, curve: B}", "curve", "said-twice", "curve of MSB.1.breaker is said twice", "keep one of the two"),
    (BREAKER, "breaker: 20 A TBC", "TBC", "tbc-unclear", "MSB.1.breaker: TBC could stand for poles or curve or breaking",
     "use the long form and say which: {\u2026, poles: TBC, curve: TBC, breaking: TBC}"),
    (BREAKER, "breaker: 20 A C 1P 6 kA TBC", "TBC", "tbc-unclear", "MSB.1.breaker: nothing is missing here that TBC could stand for",
     "remove TBC"),
    # ends and ids
    (", load: sockets 3 kW", "", None, "one-end", "MSB.1 leads nowhere",  # type: ignore[list-item]
     "add 'load:', 'feeds:' or 'circuits:'; a spare way says 'load: spare'"),
    ("load: spare", "load: spare, feeds: TBC", "spare", "one-end", "MSB.3 has feeds and load: it can lead to one thing only",
     "keep one; a branch is a list of 'circuits:'"),
    ("id: Q1", "id: 1Q", "1Q", "bad-id", "'1Q' cannot be an id",
     "an id begins with a letter and has at most 32 letters, digits, '-' or '_'; put the spoken name under 'name:'"),
    ("id: Q1", "id: ct1", "ct1", "duplicate-id", "id 'ct1' is taken already (as 'CT1')", "give one of them another id"),
    ("id: Q1", "id: CT1", "CT1", "duplicate-id", "id 'CT1' is taken already", "give one of them another id"),
    ("feeds: SB", "feeds: SB2", "SB2", "unknown-id", "'feeds' of MSB.4: there is no board, controller or terminal 'SB2'", "did you mean 'SB'?"),
    ("feeds: SB", "feeds: Shed board", "Shed board", "unknown-id", "'feeds' of MSB.4: there is no board, controller or terminal 'Shed board'",
     "this site has MSB, SB, GW1, BA1"),
    ("feeds: MSB", "feeds: msb", "msb", "unknown-id", "'feeds' of supply: there is no board, controller or terminal 'msb'", "did you mean 'MSB'?"),
    ("type: bus-shielded-pair-60", "type: bus-shielded-pair-6", "bus-shielded-pair-6", "unknown-id",
     "type of control: there is no type 'bus-shielded-pair-6'", "did you mean 'bus-shielded-pair-60'?"),
    ("to: BAT1", "to: BAT7", "BAT7", "unknown-id", "end of control.BA1-BAT7: there is no bus device 'BAT7'", "this site has BAT1, GW1, BA1"),
    ("CT1 on L1}", "BAT1 on L1}", "BAT1", "wrong-object", "sensor of input 1 of GW1: 'BAT1' is a storage unit, not a sensor",
     "name a sensor"),
    ("joined_to: GW1", "joined_to: BAT1", "BAT1", "wrong-object", "'joined_to' of BA1: 'BAT1' is a storage unit, not a controller",
     "name a controller"),
    ("feeds: GW1", "feeds: MSB", "MSB", "feed-loop", "boards feed each other in a circle: MSB \u2192 SB \u2192 MSB",
     "remove one of these feeds"),
    # faults of the text are reported once, in the midst of a site
    ("name: J. Draft,", "name: Draft, J.,", ",", "comma-in-braces", "the comma ends the value 'Draft', and 'J.' has no value of its own",
     'put the whole value in quotes: name: "Draft, J."'),
    ("licence: EL 1}", "licence: *EL}", "*EL", "leading-sign", "'*EL' begins with '*', which YAML reads as a reference to an earlier value",
     'put the value in quotes: licence: "*EL"'),
    ("ways: 12", "ways: *w", "*w", "leading-sign", "'*w' begins with '*', which YAML reads as a reference to an earlier value",
     'put the value in quotes: ways: "*w"'),
]


@pytest.mark.parametrize(("old", "new", "word", "rule", "message", "next_"), FAULTS, ids=[f"{f[3]}-{n}" for n, f in enumerate(FAULTS)])
def test_each_fault_has_its_place_its_words_and_its_next_step(old: str, new: str, word: str | None, rule: str, message: str,
                                                              next_: str) -> None:
    text, start = changed(old, new)
    line, column, width = place(text, start if word else text.index("{way: 1, name"), word or "{")
    found = read(text)
    assert [(f.rule, f.message, f.next) for f in found.findings] == [(rule, message, next_)]
    mark = found.findings[0].mark
    assert (mark.file, mark.line, mark.column) == ("s.yaml", line, column)
    if word and re.match(r"[\w\"'*-]", word):
        assert mark.width == width
    assert found.complete and found.findings[0].source and found.findings[0].severity == "error"


def test_the_base_is_without_fault() -> None:
    assert read(BASE).findings == ()


def test_every_fault_of_content_has_such_a_test_or_is_a_key_of_the_whole_file() -> None:
    rules = {name.replace("_", "-") for name in site_faults.__all__}
    own = {"acceptance-unused", "include-missing", "include-not-types", "revision-missing", "second-supply", "table-refused"}  # tests of their own
    assert rules - {f[3] for f in FAULTS} <= own


@pytest.mark.parametrize(("old", "new"), [f[:2] for f in FAULTS], ids=[f"{f[3]}-{n}" for n, f in enumerate(FAULTS)])
def test_windows_line_ends_and_a_byte_order_mark_move_nothing(old: str, new: str) -> None:
    text, _ = changed(old, new)
    windows = read_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode(), "s.yaml")
    assert windows.findings == read(text).findings


def test_one_run_reports_every_fault() -> None:
    """All faults that leave each other alone, in one file."""
    text, wanted = BASE, []
    for old, new, rule in (("licence: EL 1", "licens: EL 1", "unknown-key"), ("internet: yes", "internet: ja", "not-a-choice"),
                           ("measures: grid", "measures: gird", "not-a-choice"), ("63 A 2P}", "63 A 2P fast}", "unknown-word"),
                           ("20 A C 1P 6 kA", "20 A C 1P 6", "missing-unit"), ("21 m]", "-4 m]", "impossible-value"),
                           ("feeds: SB", "feeds: SB2", "unknown-id"), ("type: storage-ac-b", "name: x", "missing-key"),
                           ("on L1", "on L4", "not-a-choice")):
        assert text.count(old) >= 1
        text = text.replace(old, new, 1)
        wanted.append(rule)
    found = read(text).findings
    assert [f.rule for f in found] == wanted
    assert [f.mark for f in found] == sorted(f.mark for f in found)


def test_a_second_place_is_named() -> None:
    twice = read(changed(BREAKER, "breaker: 20 A 16 A C 1P 6 kA")[0]).findings[0]
    text, start = changed(BREAKER, "breaker: 20 A 16 A C 1P 6 kA")
    line, column, width = place(text, start, "20 A")
    assert [(r.mark, r.message) for r in twice.related] == [(Mark("s.yaml", line, column, width), "first said here")]
    taken = read(changed("id: Q1", "id: CT1")[0]).findings[0]
    assert [(r.mark.line, r.message) for r in taken.related] == [(9, "first used here")]


# ---- places inside shorthands ----------------------------------------------------------------------------------------

@pytest.mark.parametrize("value", [
    "20 A fast C", "'20 A fast C'", '"20 A fast C"', '"20 A \\u0043 fast 1P"', "'it''s fast'", '"\\"x\\" fast"', '"a\\tb fast"',
    '"\\x43 \\U00000043 fast"', "20 A C\n        fast", "'20 A C\n\n         fast'",
    '"20 A C \\\n         fast"', "\u00e9\u00e9 \U0001f16a fast",
    "&run 20 A fast", "&run '20 A fast'", "&run \"\\u0043 fast\""])
def test_the_column_is_on_the_very_word_whatever_quotes_and_escapes_stand_before_it(value: str) -> None:
    for text, start in (changed(BREAKER, f"breaker: {value}"), changed("switch 63 A 2P",
    f"switch {value}" if value[0] not in "'\"&" else value)):
        found = [f for f in read(text).findings if f.message.endswith("'fast' is not understood here")]
        if found:
            assert [(f.mark.line, f.mark.column, f.mark.width) for f in found] == [place(text, start, "fast")]
    text, start = changed(BREAKER, f"breaker: {value}")
    assert any("'fast'" in f.message for f in read(text).findings)


def test_a_word_of_a_reference_is_marked_where_the_reference_stands() -> None:
    text, start = changed(BREAKER, "breaker: *run")
    text = text.replace("40 A 2P", "40 A 2P").replace("name: Quai", "name: &run Quai")
    found = read(text).findings
    assert {(f.rule, f.mark.column) for f in found} == {("unknown-word", place(text, start, "*run")[1])}


# ---- what follows from a fault is not repeated ------------------------------------------------------------------------

def test_what_stands_behind_a_break_is_not_called_missing() -> None:
    broken = [found for at in range(0, len(BOATHOUSE), 97) if not (found := read(BOATHOUSE[:at] + "\n  @x\n")).complete]
    assert len(broken) >= 40
    for found in broken:
        assert {f.rule for f in found.findings} & {"missing-key", "unknown-id", "one-end", "no-value"} == set()


@pytest.mark.parametrize("rule", ["open-bracket", "open-quote", "tab-indent"])
def test_a_break_is_one_finding(rule: str) -> None:
    broken = {"open-bracket": "in_line: [\n", "open-quote": "name: 'x\n", "tab-indent": "a:\n\t b: c\n"}[rule]
    found = read(changed("supply:\n", f"supply:\n  {broken}")[0])
    assert [f.rule for f in found.findings] == [rule] and not found.complete and found.unusable


def test_references_to_what_could_not_be_read_are_not_called_unknown() -> None:
    assert [f.rule for f in read(changed("boards:\n", "boards: []\nlimits:\n")[0]).findings if f.rule == "unknown-id"] == []
    found = read(changed("{storage: {id: BAT1,", "{stoarge: {id: BAT1,")[0]).findings
    assert [f.rule for f in found] == ["unknown-key"]


def untold(found: ReadSite) -> set[tuple[str, str]]:
    """What cannot be told, with what is missing."""
    return {(f.rule, m.what) for f in check(found).findings if f.outcome == "cannot-tell" for m in f.missing}


@pytest.mark.parametrize(("old", "new"), [(BREAKER, "breaker: 20 A X 1P 6 kA"), ("ct: {id: CT1, measures: grid, phase: L1}", "ct: gird L1"),
                                          ("load: sockets 3 kW", "load: sokets 3 kW"), ("63 A 2P}", "63 A to}")])
def test_a_word_that_is_not_understood_is_not_missed_as_well(old: str, new: str) -> None:
    """One cause, one finding, from the reader and from the checks."""
    found = read(changed(old, new)[0])
    assert [f.rule for f in found.findings if f.rule != "unknown-id"] == ["unknown-word"]
    assert untold(found) <= untold(read(BASE))  # the base has no fault levels, so that some rules cannot tell anyway


# ---- TBC ---------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("old", "new"), [
    (BREAKER, "breaker: TBC"), (BREAKER, "breaker: '?'"), (BREAKER, "breaker: TBC C 1P 6 kA"), (BREAKER, "breaker: 20 A C 1P TBC"),
    (BREAKER, "breaker: '20 A ? 1P 6 kA'"), (BREAKER, "breaker: {rating: TBC}"), (LINE, "TBC"), (LINE, "[TBC]"), ("ways: 12", "ways: TBC"),
    ("way: 3", "way: TBC"), ("load: spare", "load: TBC"), ("feeds: GW1", "feeds: TBC"), ("{way: 3, load: spare}", "TBC"),
    ("{storage: {id: BAT1, type: storage-ac-b}}", "{storage: {id: BAT1, type: TBC}}"), ("type: bus-shielded-pair-60", "type: TBC"),
    ("terminators: [BA1, BAT1]", "terminators: TBC"), ("terminators: [BA1, BAT1]", "terminators: [BA1, TBC]"),
    ("[{from: BA1, to: BAT1, length: 3 m, shield_bond: BA1}]", "TBC"), ("[{from: BA1, to: BAT1, length: 3 m, shield_bond: BA1}]", "[{from: BA1, to: TBC}]"),
    ("CT1 on L1}", "CT1 on TBC}"), ("CT1 on L1}", "TBC on L1}"), ("CT1 on L1}", "TBC}"), ("inputs: {1: CT1 on L1}", "inputs: TBC"),
    ("system: 1/PEN AC 50 Hz 230 V", "system: TBC"), ("measures: grid", "measures: TBC"), ("type A]", "type TBC]"),
    ("switch 63 A 2P", "switch 63 A TBC"), ("switch 63 A 2P", "TBC"), ("switch 63 A 2P", "switch TBC"), ("internet: yes", "internet: TBC"),
    ("{name: J. Draft, licence: EL 1}", "TBC"), ("{internet: yes}", "TBC"), ("{name: Quai \u00e9t\u00e9}", "TBC"), ("id: Q1", "id: TBC"),
    ("kind: gateway", "kind: TBC"), ("phase: L1", "phase: TBC")])
def test_tbc_is_no_fault_anywhere_and_no_check_passes_or_breaks_on_it(old: str, new: str) -> None:
    found = read(changed(old, new)[0])
    assert found.findings == ()
    assert {f.rule for f in check(found).findings if f.outcome == "finding"} <= {"generation-sensor-sees-other", "terminator-misplaced", "upstream-may-trip-first"}


def test_a_value_that_is_not_known_says_what_is_missing() -> None:
    switch = read(changed("63 A 2P}", "TBC 2P}")[0]).objects["Q1"]
    assert isinstance(switch.rating, Unknown) and switch.rating.given and switch.poles == "2P"
    with pytest.raises(CannotTell, match="rating of Q1 is not known"):
        _ = switch.rating > 5


def test_a_whole_table_or_the_supply_may_be_open() -> None:
    for table in ("boards", "supply", "controllers", "buses"):
        head, _, rest = BASE.partition(f"{table}:\n")
        text = head + f"{table}: TBC\n" + "".join(re.split(r"(?m)^(?=\w)", rest)[1:])
        assert {f.rule for f in read(text).findings} <= {"unknown-id"}
        check(read(text))


# ---- the whole file ------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("text", "rule", "message"), [
    ("", "wrong-shape", "site file should be a mapping, not empty"), ("- a\n", "wrong-shape", "site file should be a mapping, not a list"),
    ("hello", "wrong-shape", "site file should be a mapping, not one value")])
def test_what_is_no_mapping_is_no_site(text: str, rule: str, message: str) -> None:
    found = read(text)
    assert [(f.rule, f.message, f.next, f.mark.line, f.mark.column) for f in found.findings] == [
        (rule, message, "write it like this: site: {name: \u2026}", 1, 1)]
    assert found.site is None and found.unusable


def test_a_file_without_its_two_parts_says_which() -> None:
    assert [(f.rule, f.message) for f in read("places: {}\n").findings] == [
        ("missing-key", "site file lacks 'site'"), ("missing-key", "site file lacks 'supply'")]


def test_no_file_and_no_right_to_read_it_are_told(tmp_path: Path) -> None:
    with pytest.raises(Unusable) as caught:
        read_file(tmp_path / "siet.yaml")
    found = caught.value.finding
    assert (found.rule, found.mark, found.next) == ("no-file", Mark("siet.yaml", 1, 1), "give the path of a site file")
    assert found.message == f"{tmp_path / 'siet.yaml'} cannot be opened: No such file or directory"
    with pytest.raises(Unusable, match="cannot be opened"):
        read_file(tmp_path)


def test_a_file_is_read_like_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "s.yaml"
    path.write_text(BASE, encoding="utf-8")
    assert show_object(read_file(path).site) == show_object(read(BASE).site)


def test_the_library_of_types_is_without_fault() -> None:
    types = equipment_library()
    assert types["storage-ac-b"].power == 2700.0 and all(t.kind for t in types.values())


# ---- round trip ------------------------------------------------------------------------------------------------------------

TEXTS = {"boathouse": BOATHOUSE, "base": BASE, **{f"generated-{s}-{p}": site(s, 150, p) for s in range(3) for p in (1, 3)}}


@pytest.mark.parametrize("name", TEXTS)
def test_what_is_shown_and_written_is_read_as_the_same_site(name: str) -> None:
    found = read(TEXTS[name])
    shown = show_object(found.site)
    again = read(yaml.safe_dump(shown, allow_unicode=True, sort_keys=False))
    assert again.findings == found.findings == ()
    assert list(again.objects) == list(found.objects)
    assert show_object(again.site) == shown


@pytest.mark.parametrize("name", TEXTS)
def test_every_value_survives_the_round_trip(name: str) -> None:
    found = read(TEXTS[name])
    again = read(yaml.safe_dump(show_object(found.site), allow_unicode=True, sort_keys=False))
    for id_, obj in found.objects.items():
        for f in fields_of(type(obj)):
            value = getattr(obj, f.name)
            if isinstance(value, int | float | str):
                assert getattr(again.objects[id_], f.name) == value, (id_, f.name)


# ---- whatever comes ----------------------------------------------------------------------------------------------------------

WORDS = ["TBC", "'?'", "{}", "[]", "", "[TBC]", "{x: y}", "16 A", "L1", "MSB", "CT1", "way", "5-6", "no", "-3 m", "'it''s'", "null",
"{id: Q1}",
         "[a, b]", "type X", "on", "1", "\u00e9\u00a0", "BAT1", "breaker: TBC", "&a x", "*a", "\x07", "\U0001f16a", "10_0", "1e9 A",
         "...", "GW1"]
VALUE = re.compile(r"(?<=: )[^,\[\]{}\n]+|\{[^{}\n]*\}|\[[^\[\]\n]*\]")
SOURCES = [BOATHOUSE, site(1, 90), site(2, 90, 3)]


def judge(data: bytes) -> None:
    """No exception, each finding at a place that exists, with words and a next step; the graph and the checks stand whatever was read."""
    found = read_bytes(data, "s.yaml")
    for f in found.findings:
        assert f.rule in faults.FAULTS and f.message and f.next
        assert 1 <= f.mark.line <= len(found.lines) and 1 <= f.mark.column <= len(found.lines[f.mark.line - 1]) + 1 and f.mark.width >= 1
    assert len({(f.mark, f.rule, f.message) for f in found.findings}) == len(found.findings)
    if found.site is not None:
        Flows(found)
        check(found)
        show_object(found.site)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_without_an_exception(data: bytes) -> None:
    judge(data)


def slips() -> Iterator[st.SearchStrategy[Any]]:
    yield st.tuples(st.just("line out"), st.integers(0, 10**6), st.integers(1, 6))
    yield st.tuples(st.just("line in"), st.integers(0, 10**6), st.integers(0, 10**6))
    yield st.tuples(st.just("character"), st.integers(0, 10**6),
    st.sampled_from("#:-?*&!|>@%`'\"[]{},\t\n 0A\u00b2\x07" + string.ascii_letters))
    yield st.tuples(st.just("value"), st.integers(0, 10**6), st.sampled_from(WORDS))


def slipped(text: str, kind: str, at: int, what: Any) -> str:
    lines = text.split("\n")
    if kind == "line out":
        start = at % len(lines)
        return "\n".join(lines[:start] + lines[start + what:])
    if kind == "line in":
        lines.insert(at % (len(lines) + 1), lines[what % len(lines)])
        return "\n".join(lines)
    if kind == "character":
        start = at % (len(text) + 1)
        return text[:start] + what + text[start + 1:]
    found = list(VALUE.finditer(text))
    match = found[at % len(found)] if found else None
    return text[:match.start()] + what + text[match.end():] if match else text


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(SOURCES), st.lists(st.one_of(list(slips())), min_size=1, max_size=4))
def test_any_slips_in_a_site_are_read_without_an_exception(text: str, slips_: list[tuple[str, int, Any]]) -> None:
    for slip in slips_:
        text = slipped(text, *slip)
    judge(text.encode())


@pytest.mark.parametrize("said", ["1", "3", "all", "L4", "TBC", "L2 1"])
def test_phases_that_a_board_cannot_have_are_a_fault_of_that_field_alone(said: str) -> None:
    text = BASE.replace("  SB:\n", f"  SB:\n    phases: {said}\n", 1)
    assert text != BASE
    judge(text.encode())
    found = read(text).findings
    assert [f.rule for f in found] == ([] if said == "TBC" else ["not-understood"])


def test_the_status_of_the_site_is_not_that_of_its_drawing() -> None:
    read = read_bytes(b"site: {name: House, status: existing}\ndrawing: {number: X-1}\n")
    assert read.site is not None
    assert isinstance(read.site.drawing.status, Unknown) and read.site.site.status == "existing"
