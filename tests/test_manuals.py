# SPDX-License-Identifier: MIT
"""What `sld explain` shows and what findings advise can be typed: examples and next steps use keys and values that the grammar reads."""
from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from topology import checks, site_faults
from topology.chains import Circuit
from topology.faults import FAULTS, doc_parts
from topology.fields import Field, fields_of
from topology.kinds import ByKind, Each, Kind, Nested, OneOf, Table
from topology.rule import RULES
from topology.scope import Reading, Scope
from topology.site import Site
from topology.tree import Map, Node
from topology.yaml_reader import read_tree

KEY = re.compile(r"(?<![\w\"#-])(?<!# )([A-Za-z_][A-Za-z0-9_-]*): ")
AFTER = frozenset("and at before behind beside between here in instead on or right than there though to until where which whose with within".split())
"""Words with which the prose of an example goes on after a value"""
BEFORE_A_COLON = frozenset("ends entry here it measure one round this which".split())
"""Words of next steps that stand before a colon and are no keys"""
SILENT = {"missing-key", "no-value", "unknown-id"}
"""An example shows what matters and leaves out the rest."""


@cache
def grammar() -> dict[str, tuple[Field, ...]]:
    """The declared fields of every class that a site can hold, by their key."""
    found: dict[str, list[Field]] = {}
    seen: set[type] = set()
    todo: list[type] = [Site]
    while todo:
        cls = todo.pop()
        if cls not in seen:
            seen.add(cls)
            for field in fields_of(cls):
                found.setdefault(field.key, []).append(field)
                todo += held(field.kind)
    return {key: tuple(fields) for key, fields in found.items()}


def held(kind: Kind) -> list[type]:
    if isinstance(kind, Nested):
        return [kind.cls]
    if isinstance(kind, OneOf | ByKind):
        return list(kind.classes.values())
    return held(kind.kind) if isinstance(kind, Each | Table) else []


@cache
def words() -> frozenset[str]:
    """Keys of fields, and the words that introduce a device or equipment."""
    introduced = {word for fields in grammar().values() for field in fields for word in introducing(field.kind)}
    return frozenset([*grammar(), *introduced])


def introducing(kind: Kind) -> list[str]:
    if isinstance(kind, OneOf):
        return list(kind.classes)
    return introducing(kind.kind) if isinstance(kind, Each | Table) else []


def keyed(text: str) -> Iterator[tuple[str, str]]:
    """Each key of an example with what follows it, brackets closed or words up to the next comma or semicolon; keys inside brackets belong to these."""
    at = 0
    while (found := KEY.search(text, at)) is not None:
        end = closing(text, found.end())
        yield found[1], text[found.end():end]
        at = end


def closing(text: str, start: int) -> int:
    if text[start] not in "{[":
        return start + len(re.split(r"[,;)}\]]", text[start:], maxsplit=1)[0])
    depth = 0
    for at in range(start, len(text)):
        depth += {"{": 1, "[": 1, "}": -1, "]": -1}.get(text[at], 0)
        if depth == 0:
            return at + 1
    raise AssertionError(f"a bracket stays open: {text}")


def is_read(key: str, text: str) -> bool:
    """Whether some field of this key, or the chain where this word introduces a device, reads the text without a fault."""
    document = f"{key}: {text}\n" if key in grammar() else f"in_line: [{key}: {text}]\n"
    tree = read_tree(document.encode(), "example.yaml")
    if tree.findings or not isinstance(tree.root, Map):
        return False
    node = tree.root.items[0][1]
    fields = grammar().get(key, ()) if key in grammar() else grammar()["in_line"]
    if any(reads(field, node) for field in fields):
        return True
    return key in grammar() and key in words() and is_device(key, text)


def is_device(key: str, text: str) -> bool:
    for document in (f"in_line: [{key}: {text}]\n", f"feeds: {{{key}: {text}}}\n"):
        tree = read_tree(document.encode(), "example.yaml")
        if not tree.findings and isinstance(tree.root, Map):
            scope = Scope(Reading())
            scope.root(Circuit, tree.root, tree.root.mark)
            if {f.rule for f in scope.reading.findings} <= SILENT:
                return True
    return False


def reads(field: Field, node: Node) -> bool:
    scope = Scope(Reading())
    field.kind.read(node, scope, field.key)
    return {f.rule for f in scope.reading.findings} <= SILENT


def some_prefix_is_read(key: str, text: str) -> bool:
    """In prose the value ends somewhere: the longest run of words that is one."""
    text = text.replace(", …", "").replace("…", "TBC")
    if text[:1] in "{[":
        return is_read(key, text) or is_device(key, text)
    parts = text.split(" ")
    ends = [n for n in range(len(parts), 0, -1) if n == len(parts) or parts[n] in AFTER]
    return any(is_read(key, " ".join(parts[:n])) or is_device(key, " ".join(parts[:n])) for n in ends)


EXAMPLES = [pytest.param(parts[head], id=f"{name}-{head}") for name, parts, heads in [
    *((name, rule.parts, ("Bad", "Good")) for name, rule in sorted(RULES.items())),
    *((name, doc_parts(fault.__doc__ or ""), ("Good",)) for name, fault in sorted(FAULTS.items()) if name.replace("-", "_") in site_faults.__all__)] for head in heads]


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_of_a_manual_is_typed_as_the_grammar_reads_it(example: str) -> None:
    text = " ".join(example.split())
    for key, value in keyed(text):
        assert key in words() or re.fullmatch(r"[A-Z]+\w*|[a-z]+(-\w+)+", key), key  # or the id of something
        if key in words():
            assert some_prefix_is_read(key, value), (key, value)


MODULES = sorted([*Path(checks.__file__).parent.glob("*.py"), Path(site_faults.__file__)])


def steps_of(path: Path) -> list[str]:
    """The next steps that a module can give, what is computed in them as X."""
    calls = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding"]
    return [text for call in calls if len(call.args) > 2 for text in literals(call.args[2])]


def literals(node: Any) -> list[str]:
    if isinstance(node, ast.JoinedStr):
        return ["".join(str(v.value) if isinstance(v, ast.Constant) else "X" for v in node.values)]
    if isinstance(node, ast.Constant):
        return [str(node.value)]
    return [text for part in (node.body, node.orelse) for text in literals(part)] if isinstance(node, ast.IfExp) else []


@pytest.mark.parametrize("path", MODULES, ids=[path.stem for path in MODULES])
def test_a_next_step_names_keys_that_the_grammar_has(path: Path) -> None:
    for step in steps_of(path):
        for key in re.findall(r"(?<![\w'])([a-z_]+):(?= |$|')", step):
            assert key in words() | BEFORE_A_COLON, (key, step)


def test_there_are_next_steps_and_examples_to_look_at() -> None:
    assert sum(len(steps_of(path)) for path in MODULES) > 90
    assert sum(1 for example in EXAMPLES for _ in keyed(" ".join(str(example.values[0]).split()))) > 120


@pytest.mark.parametrize(("key", "text"), [("breaker", "16 A X 1P"), ("cable", "2.5 mm² 7Q"), ("limits", "{exprt: 5 kW}"), ("ne_link", "maybe"), ("status", "newish")])
def test_what_the_grammar_does_not_read_would_be_found(key: str, text: str) -> None:
    assert not some_prefix_is_read(key, text)
