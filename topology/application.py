# SPDX-License-Identifier: MIT
"""The fields of an application to a network operator: the one list, and whether a site has them."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from importlib import resources
from typing import Any

import networkx as nx
import yaml

from . import site as classes
from .dataclass import dataclass
from .errors import Unknown
from .flow import Flows
from .kinds import Said

__all__ = ["Field", "application_fields", "missing", "subjects"]


@dataclass(frozen=True)
class Field:
    """A field. id: of the entry with which profiles ask for it, empty where none does; ways: where the site file has it, any will do;
    each: class of object that has it, empty for the site; when: condition; source, found: who asks for it everywhere, empty where nobody does.
    """

    what: str
    ways: tuple[str, ...]
    id: str = ""
    each: str = ""
    when: str = "always"
    source: str = ""
    found: str = ""


@cache
def application_fields() -> tuple[Field, ...]:
    """Every field, with the text of its source."""
    said = yaml.load(resources.files(__package__).joinpath("profiles/fields/application.yaml").read_bytes(), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return tuple(Field(**{**one, "ways": tuple(one["ways"]), "source": said["sources"].get(one.get("source"), "")}) for one in said["fields"])


def subjects(field: Field, flows: Flows) -> Iterator[Any]:
    """The objects that must have a field: the site itself, or all of a class for which it counts."""
    counts = CONDITIONS[field.when]
    if not field.each:
        yield from (part for part in (flows.site,) if counts(flows, part))
        return
    kind = getattr(classes, field.each)
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

def _storage(flows: Flows, _: Any) -> bool:
    return any(isinstance(o, classes.Storage | classes.Battery) for o in flows.objects.values())


def _export_limit(flows: Flows, _: Any) -> bool:
    return not missing(flows, flows.site, "limits.export")


def _of_the_distributor(_: Flows, obj: Any) -> bool:
    return isinstance(obj.owner, str) and obj.owner == "distributor"


def _one_of_several(flows: Flows, obj: Any) -> bool:
    """Whether equipment of one phase stands where several arrive."""
    said = obj.type_
    kind = flows.types.get(said.id) if isinstance(said, Said) else None
    several = obj.id in flows.graph and flows.phases_at(obj.id).bit_count() > 1
    return several and kind is not None and not isinstance(kind.phases, Unknown) and kind.phases == 1


def _on_the_way(flows: Flows, obj: Any) -> bool:
    """Whether a cable or device lies between the point of supply and a source."""
    return obj.id in _way_of(flows)


@lru_cache(maxsize=4)
def _way_of(flows: Flows) -> frozenset[str]:
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
    "always": lambda flows, part: True, "storage": _storage, "export limit": _export_limit, "of the distributor": _of_the_distributor,
    "one phase of several": _one_of_several, "on the way to a source": _on_the_way}
