# SPDX-License-Identifier: MIT
"""Views of one site: as found, as proposed, and the difference of both (which is how the file is drawn without a wish).

A view leaves things out by their status and draws the rest alike. A device in line that is left out is bridged; what then hangs
on nothing stands apart. What altered or relocated things were before is not in the file: both views draw them as the file has them.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import networkx as nx

from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Bar, Link
from topology.kinds import Said
from topology.net import Wires
from topology.site import Board, Bus, Cable, Controller, Segment

__all__ = ["VIEWS", "View", "view", "view_notes", "view_words"]

VIEWS = {"difference": "", "as-found": "new", "proposed": "removed"}
"""The views, each with the status that it leaves out."""
MOST = 8  # ids that a note names
WORDS = {"as-found": "as found", "proposed": "as proposed"}


def view(flows: Flows, name: str) -> Flows:
    """The site as a view has it: as-found, proposed, or difference, which is the site itself.

    Raises KeyError for another name.
    """
    left_out = VIEWS[name]
    return View(flows, name, left_out) if left_out else flows


def view_words(flows: Flows) -> str:
    """What a view adds to the type of a document."""
    return f", {WORDS[flows.name]}" if isinstance(flows, View) else ""


def view_notes(flows: Flows) -> tuple[str, ...]:
    """What the reader of a view has to know."""
    if not isinstance(flows, View):
        return ()
    changed = sorted(o.id for o in flows.whole.objects.values() if _status(o) in ("altered", "relocated"))
    were = f" What {', '.join(changed[:MOST])}{' …' if changed[MOST:] else ''} was before the work is not in the file." if changed else ""
    return (f"View of the site {WORDS[flows.name]}: what is {VIEWS[flows.name]} is left out.{were if flows.name == 'as-found' else ''}",)


class View(Flows):
    """A site without the things of a status. hidden: their ids; whole: the site with them."""

    def __init__(self, whole: Flows, name: str, left_out: str) -> None:
        super().__init__(whole.read)
        self.whole, self.name = whole, name
        nodes = dict(whole.graph.nodes(data="obj"))
        self.hidden = frozenset(o.id for o in [*whole.objects.values(), *nodes.values()] if _status(o) == left_out)
        self.objects = {id_: self.less(_plain(obj)) for id_, obj in whole.objects.items() if not self.leaves_out(obj)}
        self.graph = self.bridged(whole.graph)
        self.wires = Wires(self.graph)

    def leaves_out(self, obj: Any) -> bool:
        """Whether an object, or an end of a segment, is left out."""
        ends = (obj.from_, obj.to) if isinstance(obj, Segment) else ()
        return obj.id in self.hidden or any(isinstance(said, Said) and said.id in self.hidden for said in ends)

    def less(self, obj: Any) -> Any:
        """An object without what it says of things that are left out."""
        if isinstance(obj, Bus) and isinstance(obj.segments, tuple):
            said = obj.terminators
            ends = tuple(s for s in said if not (isinstance(s, Said) and s.id in self.hidden)) if isinstance(said, tuple) else said
            kept = tuple(s for s in obj.segments if isinstance(s, Unknown) or not self.leaves_out(s))
            return replace(obj, segments=kept, terminators=ends)
        if isinstance(obj, Controller) and isinstance(obj.inputs, dict):
            return replace(obj, inputs={name: i for name, i in obj.inputs.items() if _sensor(i) not in self.hidden})
        return obj

    def bridged(self, whole: nx.MultiDiGraph) -> nx.MultiDiGraph:
        """The graph without what is left out, in its own order."""
        graph = nx.MultiDiGraph(name=whole.graph["name"])
        for node, data in whole.nodes(data=True):
            if node not in self.hidden:
                home = None if data["home"] in self.hidden else data["home"]
                graph.add_node(node, obj=_plain(data["obj"]), home=home)
        for u, v, key, data in whole.edges(keys=True, data=True):
            if u in self.hidden or getattr(data["obj"].run, "id", "") in self.hidden and not isinstance(data["obj"].run, Cable):
                continue
            for end, name, link in self.onward(whole, v, key, data["layer"], data["obj"]):
                graph.add_edge(u, end, key=name, layer=data["layer"], obj=link)
        return nx.freeze(graph)

    def onward(self, whole: nx.MultiDiGraph, node: str, key: str, layer: str, link: Link) -> Iterator[tuple[str, str, Link]]:
        """Where a link leads past what is left out, with the link that then stands for all of it."""
        stack = [(node, key, replace(link, run=self.run(link)))]
        while stack:
            here, name, so_far = stack.pop()
            if here not in self.hidden:
                yield here, name, so_far
            elif layer == "power" and not isinstance(whole.nodes[here]["obj"], Board | Bar):  # what a new board feeds was not fed before
                onward = [(v, k, data["obj"]) for _, v, k, data in whole.out_edges(here, keys=True, data=True) if data["layer"] == "power"]
                stack += [(v, k, Link(nxt.id, (so_far.ports[0], nxt.ports[1]), nxt.conductors, self.run(nxt) or so_far.run))
                          for v, k, nxt in reversed(onward)]

    def run(self, link: Link) -> Any:
        """The cable, segment or lead of a link, as this view draws it."""
        run = link.run
        return None if run is None or getattr(run, "id", "") in self.hidden else _plain(run)


def _sensor(given: Any) -> str:
    """Id of the sensor that an input reads."""
    return str(getattr(getattr(given, "sensor", None), "id", ""))


def _status(obj: Any) -> str:
    status = getattr(obj, "status", "")
    return "" if isinstance(status, Unknown) else status


def _plain(obj: Any) -> Any:
    """An object as one that no work touches."""
    return replace(obj, status="existing") if _status(obj) not in ("", "existing") else obj
