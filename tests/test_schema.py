# SPDX-License-Identifier: MIT
"""The JSON Schema of the site file against jsonschema, for our text tree and for files as editors type them."""
from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from sites import site
from topology.fields import fields_of
from topology.schema import schema_json, site_schema
from topology.site import ITEMS, Breaker, Site
from topology.tree import to_plain
from topology.yaml_reader import read_tree

GALLERY = Path(__file__).parents[1] / "gallery"
SITES = {path.parent.name: path.read_text(encoding="utf-8") for path in sorted(GALLERY.glob("*/site.yaml"))
         if not path.parent.name.startswith("faulty")}
BOATHOUSE = SITES["boathouse"]
TEXTS = {**SITES, "generated": site(1, 300), "generated-3": site(2, 300, 3)}
VALIDATOR = jsonschema.Draft202012Validator(site_schema())


class Editor(yaml.SafeLoader):
    """YAML 1.2's core types, as editors give them: numbers and true or false, but neither dates nor yes and no."""


Editor.yaml_implicit_resolvers = {
    sign: [(tag, pattern) for tag, pattern in rows if tag not in ("tag:yaml.org,2002:timestamp", "tag:yaml.org,2002:bool")]
    for sign, rows in yaml.SafeLoader.yaml_implicit_resolvers.items()}
Editor.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(?:true|True|TRUE|false|False|FALSE)$"), list("tTfF"))


class Old(yaml.SafeLoader):
    """YAML 1.1 as PyYAML types it (yes is true), with dates as text."""


Old.yaml_implicit_resolvers = {sign: [(tag, pattern) for tag, pattern in rows if tag != "tag:yaml.org,2002:timestamp"]
                               for sign, rows in yaml.SafeLoader.yaml_implicit_resolvers.items()}


def keys_as_text(value: Any) -> Any:
    """JSON has no keys but text."""
    if isinstance(value, dict):
        return {str(key): keys_as_text(item) for key, item in value.items()}
    return [keys_as_text(item) for item in value] if isinstance(value, list) else value


def forms(text: str) -> dict[str, Any]:
    return {"text": to_plain(read_tree(text.encode(), "s.yaml").root),
            **{loader.__name__: keys_as_text(yaml.load(text, Loader=loader)) for loader in (Editor, Old)}}


def errors(text: str) -> dict[str, list[str]]:
    return {name: [e.message for e in VALIDATOR.iter_errors(form)] for name, form in forms(text).items()}


def test_it_is_a_json_schema_after_draft_2020_12() -> None:
    """Oracle: the meta-schema of the draft."""
    jsonschema.Draft202012Validator.check_schema(site_schema())


@pytest.mark.parametrize("name", TEXTS)
def test_valid_sites_validate_as_text_and_as_editors_type_them(name: str) -> None:
    assert errors(TEXTS[name]) == {"text": [], "Editor": [], "Old": []}


SLIPS = {
    "unknown key of a circuit": ("{way: 3, name", "{way: 3, nam"), "unknown key of the site": ("people:", "persons:"),
    "unknown device": ("[breaker: 20 A", "[braker: 20 A"), "wrong choice": ("measures: grid", "measures: gird"),
    "wrong choice of a status": ("status: existing", "status: planned"), "no required key": ("  name: Heron Point Boathouse\n", ""),
    "list for a value": ("busbar: 100 A", "busbar: [100 A]"), "number without unit": ("allocation: 63 A", "allocation: 63"),
    "two devices in an entry": ("[rcd: 40 A 2P 30 mA type A]", "[{rcd: 40 A 2P, breaker: 20 A}]"), "bad id": ("  SB:\n",
    "  Solar board:\n"),
    "bad own id": ("id: CT1", "id: 1CT"), "bad way": ("way: 9-10", "way: nine"), "no supply": ("supply:\n", "suply:\n"),
    "wrong mode of backup": ("backup: none", "backup: some"), "text for a mapping": ("operation: {mode", "operation: none\nlimits2: {mode")}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_refused_in_every_form(slip: str) -> None:
    old, new = SLIPS[slip]
    assert old in BOATHOUSE
    assert all(errors(BOATHOUSE.replace(old, new, 1)).values())


@pytest.mark.parametrize(("old", "new"), [
    ("allocation: 63 A", "allocation: TBC"), ("breaker: 20 A C 1P 6 kA", "breaker: TBC"), ("breaker: 20 A C 1P 6 kA",
     "breaker: TBC C 1P 6 kA"),
    ("breaker: 20 A C 1P 6 kA", "breaker: 6 kA 1P C 20 A"), ("breaker: 20 A C 1P 6 kA", "breaker: {rating: 20 A C 1P, breaking: TBC}"),
    ("measures: grid", "measures: TBC"), ("terminators: [BA1, BAT2]", "terminators: TBC"), ("way: 3", "way: TBC"), ("busbar: 100 A",
     "busbar: '?'"),
    ("limits: {", "limits: TBC\nprofile: TBC\n#{"), ("connection: \"7300 0041 92\"", "connection: 7300004192"), ("lead: 3 m",
     "lead: [2 m, 1 m]"),
    ("feeds: SB", "feeds: TBC"),
    ("places:\n  MP: {name: Meter panel}\n  ER: {name: East roof}\n  WR: {name: West roof}\n  BS: {name: Boat shed wall}\n", "places: TBC\n"),
    ("internet: yes", "internet: TBC")])
def test_what_the_reader_takes_is_valid(old: str, new: str) -> None:
    assert old in BOATHOUSE
    text = BOATHOUSE.replace(old, new, 1)
    if new.startswith("limits"):
        text = text.replace("profile: [au]\n", "")
    assert errors(text) == {"text": [], "Editor": [], "Old": []}


def test_every_key_that_is_declared_is_in_the_schema_and_no_other() -> None:
    schema = site_schema()
    assert list(schema["properties"]) == [f.key for f in fields_of(Site)]
    long = schema["$defs"]["Breaker"]["anyOf"][1]
    assert list(long["properties"]) == [f.key for f in fields_of(Breaker)] and long["additionalProperties"] is False
    assert set(schema["$defs"]) >= {cls.__name__ for cls in ITEMS.values()}


def test_every_reference_of_the_schema_leads_somewhere() -> None:
    text = schema_json()
    names = {piece.partition('"')[0] for piece in text.split('"#/$defs/')[1:]}
    assert names and names <= set(json.loads(text)["$defs"])


def test_the_json_is_the_same_each_time_and_ends_with_a_line_feed() -> None:
    assert schema_json() == schema_json() and schema_json().endswith("}\n")
    assert json.loads(schema_json()) == site_schema()
