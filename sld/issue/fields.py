# SPDX-License-Identifier: MIT
"""What an application lacks: mandatory fields that the site file does not say, or leaves open."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from importlib import resources
from typing import Any

import networkx as nx
import yaml
from topology import site as classes
from topology.errors import Mark, Unknown
from topology.flow import Flows
from topology.kinds import Said
from topology.report import Report

__all__ = ["lacking", "mandatory"]

RULE = "application-field-missing"
"""The check that asks for what the profiles of a country or an operator want."""


@cache
def mandatory() -> tuple[dict[str, Any], ...]:
    """The fields, each with the text of its source."""
    said = yaml.safe_load(resources.files(__package__).joinpath("fields.yaml").read_text(encoding="utf-8"))
    return tuple({**field, "source": said["sources"][field["source"]]} for field in said["fields"])


def lacking(flows: Flows, report: Report) -> list[str]:
    """A line for each field that is missing: what, of which object, where in the file, and who asks for it."""
    found, ways = [], []
    for field in mandatory():
        for part in subjects(field, flows):
            if missing(flows, part, field["field"]) and missing(flows, part, field.get("or", field["field"])):
                found.append(line(field, part))
                ways.append(field["field"])
    for finding in report.findings:
        if finding.rule == RULE and not any(way in finding.next for way in ways):
            found.append(f"  {finding.message} ({place(finding.mark)}; {finding.source})")
    return list(dict.fromkeys(found))


def line(field: dict[str, Any], part: Any) -> str:
    of = f"{part.word} {part.id}: " if "each" in field else ""
    where = place(nearest(part, field["field"]))
    return f"  {of}{field['what']} ({field['field']}; {where}; asked for by {field['source']}, found: {field['found']})"


def nearest(part: Any, way: str) -> Mark:
    """The place of a field, or of the part of the file that it would stand in."""
    mark: Mark = part.mark
    for name in way.split("."):
        part = getattr(part, name, None)
        mark = getattr(part, "mark", None) or mark
    return mark


def place(mark: Mark) -> str:
    return f"{mark.file}:{mark.line}:{mark.column}"


def subjects(field: dict[str, Any], flows: Flows) -> Iterator[Any]:
    """The objects that must have a field: the site itself, or all of a class for which it counts."""
    counts = CONDITIONS[field.get("when", "always")]
    if "each" not in field:
        yield from (part for part in (flows.site,) if counts(flows, part))
        return
    kind = getattr(classes, field["each"])
    yield from (obj for obj in flows.objects.values() if isinstance(obj, kind) and getattr(obj, "status", "") != "removed" and counts(flows, obj))


def missing(flows: Flows, part: Any, way: str) -> bool:
    """Whether the value at the end of a way is open or not given, in one of the parts where there are several."""
    if isinstance(part, Unknown) or part is None:
        return True
    name, _, rest = way.partition(".")
    if isinstance(part, tuple) and way:
        return not part or any(missing(flows, item, way) for item in part)
    if not way:
        return part in ("", ()) or isinstance(part, tuple) and any(isinstance(item, Unknown) for item in part)
    if name == "type":
        said = part.type_
        return missing(flows, flows.types.get(said.id) if isinstance(said, Said) else None, rest)
    return hasattr(part, name) and missing(flows, getattr(part, name), rest)


# ---- conditions ----

def storage(flows: Flows, _: Any) -> bool:
    return any(isinstance(o, classes.Storage | classes.Battery) for o in flows.objects.values())


def export_limit(flows: Flows, _: Any) -> bool:
    return not missing(flows, flows.site, "limits.export")


def one_of_several(flows: Flows, obj: Any) -> bool:
    """Whether equipment of one phase stands where several arrive."""
    said = obj.type_
    kind = flows.types.get(said.id) if isinstance(said, Said) else None
    several = obj.id in flows.graph and flows.phases_at(obj.id).bit_count() > 1
    return several and kind is not None and not isinstance(kind.phases, Unknown) and kind.phases == 1


def on_the_way(flows: Flows, obj: Any) -> bool:
    """Whether a cable or device lies between the point of supply and a source."""
    return obj.id in way_of(flows)


@lru_cache(maxsize=4)
def way_of(flows: Flows) -> frozenset[str]:
    """Ids of all nodes and cables between the point of supply and any source, over the power layer."""
    power = nx.DiGraph([(u, v) for u, v, layer in flows.graph.edges(data="layer") if layer == "power"])
    between: set[str] = set()
    for source in flows.sources:
        if source in power:
            between |= {source, *nx.ancestors(power, source)}
    cables = {data["obj"].run.id for u, v, data in flows.graph.edges(data=True)
              if data["layer"] == "power" and u in between and v in between and isinstance(data["obj"].run, classes.Cable)}
    return frozenset(between | cables)


CONDITIONS: dict[str, Callable[[Flows, Any], bool]] = {
    "always": lambda flows, part: True, "storage": storage, "export limit": export_limit, "one phase of several": one_of_several,
    "on the way to a source": on_the_way}
