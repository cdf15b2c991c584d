# SPDX-License-Identifier: MIT
"""Text of a site file: marks, limits, and every trap of YAML word for word, with its place."""
from __future__ import annotations

import gc
import json
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import topology.yaml_reader
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from topology import faults
from topology.errors import Finding, Mark
from topology.tree import UNUSABLE, Map, Node, Scalar, Sequence, Tree, to_plain
from topology.yaml_reader import read_tree

SITE = (Path(__file__).parents[1] / "gallery/boathouse/site.yaml").read_text(encoding="utf-8")
LOADERS = sorted({"CSafeLoader", "SafeLoader"} & set(dir(yaml)))


def read(text: str) -> Tree:
    return read_tree(text.encode(), "s.yaml")


def places(tree: Tree) -> list[tuple[int, int, str]]:
    return [(f.mark.line, f.mark.column, f.rule) for f in tree.findings]


def scalars(node: Node | None) -> Iterator[Scalar]:
    if isinstance(node, Map):
        for key, value in node.items:
            yield key
            yield from scalars(value)
    elif isinstance(node, Sequence):
        for value in node.items:
            yield from scalars(value)
    elif node is not None:
        yield node


# ---- faults, word for word -------------------------------------------------------------------------------------------
# (text, broken, line, column, rule, message, next step)

FAULTS: list[tuple[str, bool, int, int, str, str, str]] = [
    ("site: {address: 4 Kelp Lane, Port Example}\n", False, 1, 28, "comma-in-braces",
     "the comma ends the value '4 Kelp Lane', and 'Port Example' has no value of its own",
     'put the whole value in quotes: address: "4 Kelp Lane, Port Example"'),
    ("load: {kind:lighting}\n", False, 1, 8, "key-without-value", "'kind:lighting' has no space after its colon", "type 'kind: lighting'"),
    ("load: {lighting}\n", False, 1, 8, "key-without-value", "'lighting' has no value", "type 'lighting: ' and its value"),
    ("name: Unit #4\n", False, 1, 12, "bare-hash", "'#' begins a comment here: only 'Unit' is left of the value",
     "put the value in quotes: name: \"Unit #4\", or a space after '#' if it is a comment"),
    ("name: #4\n", False, 1, 7, "bare-hash", "'#' begins a comment here: nothing is left of the value",
     "put the value in quotes: name: \"#4\", or a space after '#' if it is a comment"),
    ("a: {name: #4, way: 5}\nb: c\n", True, 1, 11, "bare-hash", "'#' begins a comment here: nothing is left of the value",
     "put the value in quotes: name: \"#4\", or a space after '#' if it is a comment"),
    ("name: Workshop: north\n", True, 1, 15, "colon-in-value", "': ' inside the value 'Workshop: north' makes a second key of it",
     'put the value in quotes: name: "Workshop: north"'),
    ("a: {name: Workshop: north}\n", True, 1, 19, "colon-in-value", "': ' inside the value 'Workshop: north' makes a second key of it",
     'put the value in quotes: name: "Workshop: north"'),
    ("name: @home\n", True, 1, 7, "leading-sign", "'@home' begins with '@', which YAML keeps for itself",
     'put the value in quotes: name: "@home"'),
    ("name: `home\n", True, 1, 7, "leading-sign", "'`home' begins with '`', which YAML keeps for itself",
     'put the value in quotes: name: "`home"'),
    ("name: *bright\n", False, 1, 7, "leading-sign", "'*bright' begins with '*', which YAML reads as a reference to an earlier value",
     'put the value in quotes: name: "*bright"'),
    ("name: * bright\n", True, 1, 7, "leading-sign", "'* bright' begins with '*', which YAML reads as a reference to an earlier value",
     'put the value in quotes: name: "* bright"'),
    ("name: & Sons\n", True, 1, 7, "leading-sign", "'& Sons' begins with '&', which YAML reads as a name for the value",
     'put the value in quotes: name: "& Sons"'),
    ("name: !Shed\n", False, 1, 7, "leading-sign", "'!Shed' begins with '!', which YAML reads as a type",
     'put the value in quotes: name: "!Shed"'),
    ("name: % load\n", True, 1, 7, "leading-sign", "'% load' begins with '%', which YAML reads as an instruction",
     'put the value in quotes: name: "% load"'),
    ("name: > 5 kW\n", True, 1, 7, "leading-sign",
     "'> 5 kW' begins with '>', which YAML reads as the beginning of a text over several lines",
     'put the value in quotes: name: "> 5 kW"'),
    ("row: {of: X, result: >200 Mohm}\n", True, 1, 22, "leading-sign",
     "'>200 Mohm' begins with '>', which YAML reads as the beginning of a text over several lines",
     'put the value in quotes: result: ">200 Mohm"'),
    ("name: >\n  Shed\n", False, 1, 7, "leading-sign",
     "'> Shed' begins with '>', which YAML reads as the beginning of a text over several lines",
     'put the value in quotes: name: "> Shed"'),
    ("name: |\n  Shed\n", False, 1, 7, "leading-sign",
     "'| Shed' begins with '|', which YAML reads as the beginning of a text over several lines",
     'put the value in quotes: name: "| Shed"'),
    ("length: ?\n", True, 1, 9, "leading-sign", "'?' begins with '?', which YAML reads as the beginning of a key",
     "type TBC for what is not known yet"),
    ("in_line:\n  - ?\n", False, 2, 5, "leading-sign", "'?' begins with '?', which YAML reads as the beginning of a key",
     "type TBC for what is not known yet"),
    ("in_line: - breaker\n", True, 1, 10, "leading-sign", "'- breaker' begins with '-', which YAML reads as an entry of a list",
     'put the value in quotes: in_line: "- breaker", or begin the list on the next line'),
    ("@home: x\n", True, 1, 1, "leading-sign", "'@home' begins with '@', which YAML keeps for itself", 'put it in quotes: "@home"'),
    ("a: !!str 007\n", False, 1, 4, "tag-not-allowed", "'!!str' gives the value a type, and a site file has none", "remove '!!str'"),
    ("a: &m {b: c}\nd: *m\n", False, 2, 4, "alias-misuse", "'*m' refers to a mapping; only single values can be referred to",
     "write the mapping out here, or describe the equipment once under 'types:'"),
    ("a: &m [b]\nd: *m\n", False, 2, 4, "alias-misuse", "'*m' refers to a list; only single values can be referred to",
     "write the list out here, or describe the equipment once under 'types:'"),
    ("a: &m {b: c}\nd: {<<: *m}\n", False, 2, 5, "merge-key", "'<<' is not read as a merge of mappings", "write the entries out here"),
    ("way: 3\nname: a\nway: 4\n", False, 3, 1, "duplicate-key", "'way' is there twice", "keep one of the two"),
    ("[Q1, Q2]: existing\n", False, 1, 1, "key-not-text", "a list stands where a key belongs",
     "type a plain word as the key, or put the whole text in quotes"),
    ("a: b\n---\nc: d\n", False, 2, 1, "several-documents", "a second document begins here, and a site file is one document",
     "remove the line with '---' or '...'"),
    ("- breaker\n  - cable\n", False, 2, 3, "list-in-value", "'- cable' is read as part of the value 'breaker' above",
     "begin it exactly below the '-' of the entry before"),
    ("a:\n\tb: c\n", True, 2, 1, "tab-indent", "this line is indented with a tab",
     "use spaces, two a step (most editors can convert tabs to spaces)"),
    ("a:\n  b: c\n d: e\n", True, 3, 2, "indentation", "'d: e' does not stand below any entry above it",
     "begin it exactly below the first letter of the entry above that it stands beside"),
    ("a: b\n  c: d\n", True, 2, 3, "indentation", "'c' is indented further than 'a' above, which has a value already",
     "begin it exactly below the first letter of the entry above that it stands beside"),
    ("- a\nb: c\n", True, 2, 1, "indentation", "'b: c' stands among the entries of a list and does not begin with '- '",
     "begin it exactly below the first letter of the entry above that it stands beside"),
    ("a: \"Sockets\nb: c\n", True, 1, 4, "open-quote", "the quote \" that opens here is never closed",
     "type \" at the end of the value; \\\" stands for one inside double quotes"),
    ("a: 'Sockets\nb: c\n", True, 1, 4, "open-quote", "the quote ' that opens here is never closed",
     "type ' at the end of the value; two of them ('') stand for one inside single quotes"),
    ("a: \"Sockets\nb: \"Lights\"\n", True, 1, 4, "open-quote", "the quote \" that opens here is never closed",
     "type \" at the end of the value; \\\" stands for one inside double quotes"),
    ("a: [b, c\nd: e\n", True, 1, 4, "open-bracket", "the bracket '[' that opens here is not closed before 'd: e'",
     "type ']' where it ends, or a comma between entries"),
    ("a: {b: [c}\n", True, 1, 8, "open-bracket", "the bracket '[' that opens here is not closed before '}'",
     "type ']' where it ends, or a comma between entries"),
    ("a: {b: c", True, 1, 4, "open-bracket", "the bracket '{' that opens here is not closed before the file ends",
     "type '}' where it ends, or a comma between entries"),
    ("a: \"b\" c\n", True, 1, 8, "text-after-value", "'c' follows after the \" that ends the value",
     "take it inside before the \", or remove it"),
    ("a: 'it's'\n", True, 1, 8, "text-after-value", "'s'' follows after the ' that ends the value",
     "take it inside before the ', or remove it; a text with ' in it goes in double quotes"),
    ("a: [b] c\n", True, 1, 8, "text-after-value", "'c' follows after the ] that ends the value",
     "take it inside before the ], or remove it"),
    ("a: b\nstatus existing\nc: d\n", True, 2, 1, "line-without-colon", "'status existing' has no colon that would make a key of it",
     "type a key, a colon, a space and the value"),
    ("status existing\nc: d\n", True, 1, 1, "line-without-colon", "'status existing' has no colon that would make a key of it",
     "type a key, a colon, a space and the value"),
    ("a: b\nway:5\nc: d\n", True, 2, 1, "line-without-colon", "'way:5' has no space after its colon", "type 'way: 5'"),
    ("file: \"plans\\site.png\"\n", True, 1, 13, "backslash-in-quotes", "'\\s' inside double quotes is no character that YAML knows",
     "use single quotes, or type the backslash twice"),
    ("way: ]\n", True, 1, 6, "yaml-syntax", "']' stands where a value or a key belongs", "remove it, or put the value in quotes"),
    ("a: {b: c, , d: e}\n", True, 1, 11, "yaml-syntax", "',' stands where a value or a key belongs",
     "remove it, or put the value in quotes"),
    ("name: a\x07b\n", True, 1, 8, "control-character", "character U+0007 cannot be seen and is not allowed",
     "delete it, or type this part of the line again"),
    ("name: a\u202eb\n", True, 1, 8, "control-character", "character U+202E cannot be seen and is not allowed",
     "delete it, or type this part of the line again"),
    ("a: " + "[" * 41, True, 1, 43, "too-deep", "lists and mappings stand more than 40 deep here",
     "write inner boards under 'boards:' and refer to them by 'feeds:'"),
    ("a: " + "x" * 10_001, True, 1, 4, "scalar-too-long", "this value has 10,001 characters; a value has at most 10,000",
     "shorten it, or look for a missing quote"),
]


@pytest.mark.parametrize("loader", LOADERS)
@pytest.mark.parametrize(("text", "broken", "line", "column", "rule", "message", "next_"), FAULTS,
                         ids=[f"{f[4]}-{n}" for n, f in enumerate(FAULTS)])
def test_each_trap_has_its_place_its_words_and_its_next_step(text: str, broken: bool, line: int, column: int, rule: str, message: str,
                                                             next_: str, loader: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(topology.yaml_reader, "LOADER", getattr(yaml, loader))
    tree = read(text)
    assert [(f.mark.line, f.mark.column, f.rule, f.message, f.next) for f in tree.findings] == [(line, column, rule, message, next_)]
    assert tree.complete is not broken
    assert tree.findings[0].severity == "error" and tree.findings[0].source and tree.findings[0].mark.file == "s.yaml"


@pytest.mark.parametrize("fault", [f for f in FAULTS if "in quotes: " in f[6]],
                         ids=lambda f: f[0][:20].strip())
def test_the_cure_that_a_finding_proposes_is_read_without_fault(fault: tuple[Any, ...]) -> None:
    cure = re.search(r'quotes: ((?:\w+: )?"[^"]*")', fault[6])
    assert cure is not None
    tree = read(cure[1] + "\n")
    assert tree.complete and tree.findings == []


@pytest.mark.parametrize("fault", [f for f in FAULTS if f[1]], ids=lambda f: f[4])
def test_a_break_is_a_fault_after_which_a_file_is_unusable_or_a_trap_that_may_break(fault: tuple[Any, ...]) -> None:
    assert fault[4] in UNUSABLE | {"leading-sign", "bare-hash"}


def test_the_files_that_we_call_broken_are_those_that_pyyaml_refuses() -> None:
    """Oracle: PyYAML's own events (control signs and our limits apart)."""
    for text, broken, *_, rule, _message, _next in FAULTS:
        if rule in ("control-character", "too-deep", "scalar-too-long"):
            continue
        try:
            for event in yaml.parse(text, Loader=yaml.SafeLoader):
                assert event is not None
            refused = False
        except yaml.YAMLError:
            refused = True
        assert refused is broken, text


def test_a_byte_that_is_not_utf8_is_shown_at_its_place() -> None:
    tree = read_tree("name: \u00e9\ncable: 16 mm".encode() + b"\xb2 2C\n", "s.yaml")
    assert not tree.complete and tree.root is None and tree.lines[0] == "name: \u00e9"
    assert [(f.mark, f.message, f.next) for f in tree.findings] == [
        (Mark("s.yaml", 2, 13), "byte 0xB2 is not UTF-8 (perhaps '\u00b2', saved in an older encoding)",
         "save the file as UTF-8 and run this again")]


def test_a_file_in_utf16_is_no_riddle() -> None:
    (found,) = read_tree("name: x".encode("utf-16"), "s.yaml").findings
    assert (found.rule, found.mark.line, found.message) == ("not-utf8", 1, f"byte 0x{'name: x'.encode('utf-16')[0]:02X} is not UTF-8")


def test_a_file_over_the_limit_is_not_even_looked_at() -> None:
    tree = read_tree(b"#" * 4_000_001, "s.yaml")
    assert not tree.complete
    assert [(f.rule, f.message) for f in tree.findings] == [
        ("too-large", "the file has more than 4,000,000 bytes, the most of a site file")]


def test_too_many_values_stop_the_reading() -> None:
    tree = read("- x\n" * 400_001)
    assert not tree.complete and isinstance(tree.root, Sequence) and len(tree.root.items) == 399_999
    assert places(tree) == [(400_000, 3, "too-many-values")]


def test_forty_brackets_are_read_and_forty_one_are_not() -> None:
    assert read("[" * 40 + "]" * 40).complete
    assert places(read("[" * 41 + "]" * 41)) == [(1, 41, "too-deep")]


@pytest.mark.parametrize("sign", ["[", "{", "- ", "? ", "a: {"])
def test_a_hundred_thousand_openings_end_at_once(sign: str) -> None:
    start = time.perf_counter()
    tree = read(sign * 100_000)
    assert not tree.complete and "too-deep" in {f.rule for f in tree.findings}
    assert time.perf_counter() - start < 2


# ---- more than one fault ---------------------------------------------------------------------------------------------

def test_every_fault_of_one_file_is_reported_in_file_order() -> None:
    tree = read("name: Unit #4\nsite: {address: 1 Quay, Port}\nway: 1\nway: 2\nnote: *star\nb: {k:v}\n")
    assert places(tree) == [(1, 12, "bare-hash"), (2, 23, "comma-in-braces"), (4, 1, "duplicate-key"), (5, 7, "leading-sign"),
                            (6, 5, "key-without-value")]
    assert tree.complete


def test_one_slip_is_reported_once() -> None:
    assert len(read("a: [x, y #4, z]\nb: c\n").findings) == 1
    assert len(read("a: *x y\n").findings) == 1
    assert len(read("a: {<<: *x}\n").findings) == 1
    assert len(read("a: {b: One, Two, Three}\n").findings) == 1


def test_what_was_meant_is_read_on_and_marked_as_faulty() -> None:
    tree = read("a: {b: One, Two, Three}\nc: #4\nd: @\n".replace("d: @\n", "d: *star\n"))
    assert to_plain(tree.root) == {"a": {"b": "One, Two, Three"}, "c": "#4", "d": "*star"}
    assert {s.text for s in scalars(tree.root) if s.faulty} == {"One, Two, Three", "#4", "*star"}


def test_what_stands_before_a_break_is_known() -> None:
    tree = read("site: {name: Shed}\nboards:\n  MSB: {name: Main, busbar: 100 A}\n  SB: @\n")
    assert to_plain(tree.root) == {"site": {"name": "Shed"}, "boards": {"MSB": {"name": "Main", "busbar": "100 A"}, "SB": None}}


def test_a_second_place_is_named_where_there_is_one() -> None:
    (twice,) = read("way: 3\nway: 4\n").findings
    assert [(r.mark, r.message) for r in twice.related] == [(Mark("s.yaml", 1, 1, 3), "first here")]
    (alias,) = read("a: &m [b]\nd: *m\n").findings
    assert [(r.mark, r.message) for r in alias.related] == [(Mark("s.yaml", 1, 4), "defined here")]
    (bracket,) = read("a: [b, c\nd: e\n").findings
    assert [(r.mark, r.message) for r in bracket.related] == [(Mark("s.yaml", 2, 2), "reading stopped here")]


def test_the_first_of_two_equal_keys_counts() -> None:
    assert to_plain(read("way: 3\nway: 4\n").root) == {"way": "3"}


# ---- what is no fault ------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("text", [
    "a: x # a comment\n", "a: x  #### \n", "a: x #---\n", "#a: b\n", "# a, #4\na: [x] # b, #c\n", "a: 'b, #4'\n", "a: [\"b, #4\", c]\n",
    "a: Unit#4\n",
    "a: http://x.example/y\n", "a: 12:30\n", "a: {b: c,}\n", "a: [b: c]\n", "a: R&D\n", "a: 50 %\n", "a: -5 m\n", "a: '?'\n",
    "%YAML 1.2\n---\na: b\n", "a: b\n...\n",
    "a:\n- b\n- c\n", "circuits: # all of them\n  - a\n", "circuits: #all of them\n  - a\n", "a: two\n  lines\n", "a: \"it's\"\n",
    "a:\tb\n"])
def test_lawful_text_is_silent(text: str) -> None:
    tree = read(text)
    assert tree.complete and tree.findings == []


def test_nothing_is_typed() -> None:
    """YAML 1.1 would make of these false, 8, 5400, None, a date and a float."""
    words = ["NO", "010", "1:30", "~", "2026-03-02", "1e3", "null", "0x1F", "TBC"]
    assert to_plain(read("".join(f"- {word}\n" for word in words)).root) == words


def test_an_empty_value_is_an_empty_plain_text() -> None:
    tree = read("a:\nb: ''\n")
    assert [(s.text, s.plain) for s in scalars(tree.root)] == [("a", True), ("", True), ("b", True), ("", False)]
    assert to_plain(tree.root) == {"a": None, "b": ""}


@pytest.mark.parametrize("text", ["", "# nothing\n", "\n\n", "\ufeff"])
def test_an_empty_file_has_no_root(text: str) -> None:
    tree = read(text)
    assert (tree.root, tree.complete, tree.findings) == (None, True, [])


def test_a_byte_order_mark_and_windows_line_ends_change_nothing() -> None:
    plain, windows = read("a: b\nc: {d: e}\n"), read_tree(b"\xef\xbb\xbfa: b\r\nc: {d: e}\r\n", "s.yaml")
    assert windows == plain


def test_the_text_is_what_pyyaml_reads_without_its_types() -> None:
    """Oracle: PyYAML's BaseLoader, on the gallery site."""
    tree = read(SITE)
    assert tree.findings == []
    assert to_plain(tree.root) == json.loads(json.dumps(yaml.load(SITE, Loader=yaml.BaseLoader)))


# ---- marks -----------------------------------------------------------------------------------------------------------

def test_a_mark_counts_characters_and_covers_the_value() -> None:
    tree = read("n\u00e4me: \U0001f50c b\nc: {d: 16 mm\u00b2, e: \"f\"}\n")
    marks = {s.text: (s.mark.line, s.mark.column, s.mark.width) for s in scalars(tree.root)}
    assert marks == {"n\u00e4me": (1, 1, 4), "\U0001f50c b": (1, 7, 3), "c": (2, 1, 1), "d": (2, 5, 1), "16 mm\u00b2": (2, 8, 6),
                     "e": (2, 16, 1), "f": (2, 19, 3)}


def test_every_plain_value_of_a_site_stands_exactly_where_its_mark_says() -> None:
    tree = read(SITE)
    found = [s for s in scalars(tree.root) if s.plain and s.text]
    assert len(found) > 300
    for s in found:
        assert tree.lines[s.mark.line - 1][s.mark.column - 1:][:s.mark.width] == s.text


def test_a_named_value_is_marked_without_its_name_and_a_reference_where_it_stands() -> None:
    tree = read("a: &run 2.5 mm\u00b2 2C\nb: *run\n")
    assert tree.findings == []
    assert [(s.text, s.mark.line, s.mark.column, s.mark.width) for s in scalars(tree.root)] == [
        ("a", 1, 1, 1), ("2.5 mm\u00b2 2C", 1, 9, 10), ("b", 2, 1, 1), ("2.5 mm\u00b2 2C", 2, 4, 4)]


@pytest.mark.parametrize(("value", "spots"), [
    ("ab cd", [(1, 4), (1, 5), (1, 6), (1, 7), (1, 8)]), ("'ab'", [(1, 5), (1, 6)]), ('"ab"', [(1, 5), (1, 6)]),
    ("'a''b'", [(1, 5), (1, 6), (1, 8)]), ('"a\\tb"', [(1, 5), (1, 6), (1, 8)]), ('"\\u0041b"', [(1, 5), (1, 11)]),
    ("a\n  b", [(1, 4), (1, 5), (2, 3)]), ("'a\n\n  b'", [(1, 5), (1, 6), (3, 3)]), ('"a\\\n  b"', [(1, 5), (2, 3)])])
def test_each_character_of_a_value_has_its_own_place(value: str, spots: list[tuple[int, int]]) -> None:
    """Counted by hand: quotes, escapes and folded lines shift what follows."""
    (_, found) = scalars(read(f"k: {value}\n").root)
    assert len(found.text) == len(spots)
    assert [(m.line, m.column) for m in (found.spot(at, 1) for at in range(len(spots)))] == spots
    assert [(found.tail(1).spot(at, 1).line, found.tail(1).spot(at, 1).column) for at in range(len(spots) - 1)] == spots[1:]


# ---- whatever comes --------------------------------------------------------------------------------------------------

def judge(tree: Tree) -> None:
    """What holds for any input: a fault wherever something broke, and each at a place that exists."""
    assert tree.complete or tree.findings
    for found in tree.findings:
        assert isinstance(found, Finding) and found.rule in faults.FAULTS and found.message and found.next
        assert 1 <= found.mark.line <= len(tree.lines)
        assert 1 <= found.mark.column <= len(tree.lines[found.mark.line - 1]) + 1
    assert [f.mark for f in tree.findings] == sorted(f.mark for f in tree.findings)


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_give_findings_and_never_an_exception(data: bytes) -> None:
    judge(read_tree(data, "s.yaml"))


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet="#:-?*&!|>@%`'\"[]{},\t\n \r\\~<a1\u00b2\u03a9\u2028\x00\ufeff", max_size=60))
def test_any_text_of_yaml_signs_gives_findings_and_never_an_exception(text: str) -> None:
    judge(read(text))


@settings(max_examples=200, deadline=None)
@given(st.integers(0, len(SITE)), st.integers(0, 6), st.sampled_from(
    ["", " #4", ": ", "- ", "? ", "\n\n", "<<: *a", "&a ", "*a", "!!str ", "---\n", "{", "}", "[", "]", "\t", "'", '"', "\\x", ", ", "@",
     "%", "|", ">"]))
def test_any_slip_in_a_valid_site_gives_findings_and_never_an_exception(at: int, cut: int, typed: str) -> None:
    judge(read(SITE[:at] + typed + SITE[at + cut:]))


def test_the_garbage_collector_is_left_as_it_was() -> None:
    was_on = gc.isenabled()
    try:
        for wanted in (True, False):
            (gc.enable if wanted else gc.disable)()
            read("a: {b: @}\n")
            assert gc.isenabled() is wanted
    finally:
        (gc.enable if was_on else gc.disable)()


def test_reading_grows_with_the_file_and_not_faster() -> None:
    """Sixteen times the file in less than forty times the time: exponent 1.33, where quadratic growth would give 256 times."""
    row = "- {way: 3, name: Sockets, in_line: [breaker: 20 A C 1P 6 kA, cable: 2.5 mm\u00b2 2C+2.5E 24 m], load: {kind: sockets}}\n"

    def seconds(rows: int) -> float:
        data = (row * rows).encode()
        return min(_timed(data) for _ in range(3))

    assert seconds(3200) < 40 * seconds(200)


def _timed(data: bytes) -> float:
    start = time.perf_counter()
    assert read_tree(data, "s.yaml").complete
    return time.perf_counter() - start


# ---- the manual ------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("rule", list(faults.FAULTS))
def test_each_fault_explains_itself(rule: str) -> None:
    parts = faults.doc_parts(faults.FAULTS[rule].__doc__ or "")
    assert list(parts) == ["", "Why", "Bad", "Good", "Source"] and all(parts.values())
    assert parts[""].count("\n") == 0 and parts[""].endswith(".")


def test_rules_that_make_a_file_unusable_exist() -> None:
    assert set(faults.FAULTS) >= UNUSABLE
