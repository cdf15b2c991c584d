# SPDX-License-Identifier: MIT
"""What calls for a label at sources, on their direct-current side and for storage."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.errors import Unknown
from topology.site import Array, Battery, Cable, Junction, ModuleInverters, Storage

from .columns import dotted, total
from .isolating import SourceSwitches, called, surroundings
from .label_site import LabelSite, Place, is_array, panels
from .walk import kind_of

__all__ = ["array_connectors", "array_isolators", "arrays", "arrays_with_isolator", "battery_isolators", "direct_current_batteries", "direct_current_boxes",
           "direct_current_runs", "direct_current_sources", "disconnection_points", "elsewhere", "long_runs", "own_steps",
           "several_isolators", "sources", "storage", "storage_units"]


UN = {"lithium-ion": "UN 3480", "lithium metal": "UN 3090", "flooded lead": "UN 2794", "valve-regulated lead": "UN 2800",
      "nickel metal hydride": "UN 3496"}
"""UN numbers of batteries by chemistry. Source: UN recommendations on the transport of dangerous goods, as a consumer article has them."""
HIDDEN = ("in ceiling", "in insulation", "in wall")
"""Ways of laying that put a cable where somebody may meet it by surprise."""
LONG_RUN = 5.0
"""Length of a direct-current cable from which it bears tags along its way [m]. Source: an installer's text on labels, every 5 to 10 m."""


def sources(site: LabelSite) -> Iterator[Place]:
    """Every source, with its own steps of the shutdown."""
    for s in site.switches:
        yield Place(s.source, "equipment that feeds the installation", {"steps": own_steps(site, s)})


def own_steps(site: LabelSite, s: SourceSwitches) -> str:
    """The switches of one source in the order in which they are opened, each called as on the shutdown sequence."""
    batteries = [node for node, leaf in s.direct_current if node and not is_array(site, leaf)]
    arrays_of = [node for node, leaf in s.direct_current if node and is_array(site, leaf)]
    order = dict.fromkeys((*s.backup[:1], *s.outwards[-1:], *s.outwards[:1], *batteries, *arrays_of))
    names = [called(site.flows, node) for node in order]
    words = [f"{site.flows.objects[node].word} {name}" if names.count(name) > 1 else name for node, name in zip(order, names, strict=True)]
    return "; ".join(f"{number} {name} off" for number, name in enumerate(words, 1)) or "TBC"


def arrays_with_isolator(site: LabelSite) -> Iterator[Place]:
    """Inverters whose arrays have switches."""
    for s in site.switches:
        switches = [node for node, leaf in s.direct_current if node and is_array(site, leaf)]
        if switches:
            yield Place(s.source, f"its arrays are isolated by {', '.join(called(site.flows, node) for node in switches)}", {})


def several_isolators(site: LabelSite) -> Iterator[Place]:
    """Inverters with more than one direct-current switch."""
    for s in site.switches:
        switches = [node for node, _ in s.direct_current if node]
        if len(switches) > 1:
            yield Place(s.source, f"direct-current switches {', '.join(switches)}", {})


def array_isolators(site: LabelSite) -> Iterator[Place]:
    """Direct-current switches of arrays."""
    for s in site.switches:
        yield from (Place(node, f"isolates {leaf}", {}) for node, leaf in s.direct_current if node and is_array(site, leaf))


def battery_isolators(site: LabelSite) -> Iterator[Place]:
    """Direct-current switches of batteries."""
    for s in site.switches:
        yield from (Place(node, f"isolates {leaf}", {}) for node, leaf in s.direct_current if node and not is_array(site, leaf))


def arrays(site: LabelSite) -> Iterator[Place]:
    """The meter and the main board of a site with photovoltaic modules."""
    solar = [s for s in site.flows.sources if _has_modules(site.flows.obj(s))]
    if solar:
        yield from panels(site, f"photovoltaic modules at {', '.join(solar)}", {"isolation": _isolation(site, solar)})


def _isolation(site: LabelSite, solar: list[str]) -> str:
    """How the arrays are isolated, in the letters of the sign: by a load-break switch, at a disconnection point, on alternating current."""
    leaves = [node for s in site.switches for node, leaf in s.direct_current if s.source in solar and is_array(site, leaf)]
    letters = [*(["SW"] if any(leaves) else []), *(["DP"] if None in leaves else [])]
    modules = any(isinstance(site.flows.obj(s), ModuleInverters) for s in solar)
    return ", ".join([*letters, *(["AC where every module's voltage and inverter allow it, else DP"] if modules else [])]) or "TBC"


def _has_modules(source: Any) -> bool:
    """Whether photovoltaic modules stand behind a source; arrays that are not known count."""
    arrays = getattr(source, "arrays", ())
    return isinstance(source, ModuleInverters) or isinstance(arrays, Unknown) or bool(arrays)


def _chemistries(site: LabelSite) -> dict[str, str]:
    """Storage units, and batteries on the direct-current side of inverters, with their chemistry, "" where the type does not say."""
    flows = site.flows
    stores = [o for o in flows.objects.values() if isinstance(o, Storage | Battery) and (isinstance(o.status, Unknown) or o.status != "removed")]
    chemistry = {o.id: dotted(kind_of(flows, o), "chemistry") for o in stores}
    return {id_: said if isinstance(said, str) else "" for id_, said in chemistry.items()}


def storage(site: LabelSite) -> Iterator[Place]:
    """The meter and the main board of a site with storage, with the UN numbers."""
    stores = _chemistries(site)
    if stores:
        numbers = ", ".join(dict.fromkeys(UN.get(said, "TBC") for said in stores.values()))
        yield from panels(site, f"storage: {', '.join(stores)}", {"un": numbers})


def storage_units(site: LabelSite) -> Iterator[Place]:
    """Storage with its chemistry."""
    yield from (Place(id_, "storage", {"chemistry": said or "TBC"}) for id_, said in _chemistries(site).items())


def elsewhere(site: LabelSite) -> Iterator[Place]:
    """Sources that do not stand at the main board, one sign for each place."""
    places: dict[str, list[str]] = {}
    for s in site.switches:
        if site.flows.home(s.source) != site.main and s.source not in site.away:
            places.setdefault(surroundings(site.flows, s.source) or "TBC", []).append(s.source)
    for location, there in places.items() if site.main else ():
        stand = "stands" if len(there) == 1 else "stand"
        yield Place(str(site.main), f"{', '.join(there)} {stand} elsewhere", {"location": location})


def disconnection_points(site: LabelSite) -> Iterator[Place]:
    """Arrays without a load-break switch: they are isolated by unplugging."""
    for s in site.switches:
        yield from (Place(leaf, f"no switch between it and {s.source}", {}) for node, leaf in s.direct_current if node is None and is_array(site, leaf))


def direct_current_sources(site: LabelSite) -> Iterator[Place]:
    """Inverters with a direct-current side."""
    yield from (Place(s.source, f"direct current from {', '.join(leaf for _, leaf in s.direct_current)}", {}) for s in site.switches if s.direct_current)


def direct_current_batteries(site: LabelSite) -> Iterator[Place]:
    """Batteries on the direct-current side of an inverter."""
    yield from (Place(o.id, "battery with accessible direct current", {}) for o in site.flows.objects.values() if isinstance(o, Battery))


def array_connectors(site: LabelSite) -> Iterator[Place]:
    """Arrays on an inverter's direct-current side, with their plugs."""
    yield from (Place(leaf, f"plugs between it and {s.source}", {}) for s in site.switches for _, leaf in s.direct_current if is_array(site, leaf))


def _between(site: LabelSite, cls: type) -> Iterator[Any]:
    """What stands between an inverter and its arrays and battery."""
    for leaf in site.flows.objects.values():
        if isinstance(leaf, Array | Battery) and isinstance(leaf.in_line, tuple):
            yield from (item for item in leaf.in_line if isinstance(item, cls))


def direct_current_boxes(site: LabelSite) -> Iterator[Place]:
    """Junction boxes with direct current in them."""
    yield from (Place(box.id, "direct current in it", {}) for box in _between(site, Junction))


def direct_current_runs(site: LabelSite) -> Iterator[Place]:
    """Direct-current cables in ceilings, floors and walls."""
    for cable in _between(site, Cable):
        parts = [part for part in (cable.parts or (cable,)) if not isinstance(part, Unknown)] if isinstance(cable.parts, tuple) else []
        ways = {way for part in parts if isinstance(part.installed, tuple) for way in part.installed} & {*HIDDEN}
        if ways:
            yield Place(cable.id, f"direct current {', '.join(sorted(ways))}", {})


def long_runs(site: LabelSite) -> Iterator[Place]:
    """Direct-current cables that are long."""
    for cable in _between(site, Cable):
        parts = (cable.parts or (cable,)) if isinstance(cable.parts, tuple) else ()
        length = total(dotted(part, "length") for part in parts)
        if isinstance(length, float) and length >= LONG_RUN:
            yield Place(cable.id, f"direct current over {length:g} m", {})
