# SPDX-License-Identifier: MIT
"""Earthing and neutral arrangement: PEN, neutral–earth links, neutral and earth bars, protective conductors, electrodes, bonding."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from topology.earthed import EarthedPart, earthed_parts, links_of
from topology.errors import CannotTell, Unknown
from topology.flow import Flows
from topology.site import Board, Cable, Changeover, Supply

from sld.called import in_words
from sld.earth_strips import EARTH_DASH
from sld.earthing_bars import Arrangement, Conductor, Leaf, arrangement
from sld.earthing_notes import earthing_notes
from sld.layout import Feed, Net, Segment, Strip, layouts
from sld.paging import paged
from sld.primitives import Pen, Scene, Sheet
from sld.sheet import DoesNotFit, SheetInfo, compose
from sld.sheet_info import sheet_info
from sld.single_line import pen_of
from sld.split import Forest, sheets, strips_of

__all__ = ["earthing_diagram"]

ONE_SHEET = 200  # strips beyond which one sheet is not tried
ALONE = ("A4", "A3", "A2")
SETS = (("A3", 150), ("A2", 1500), ("A1", 6000), ("A0", 1_000_000))
"""size of the sheets of a set by the number of strips"""
FEW = 2  # sheets of the smallest size that are better than one of the next
NOTES = ("PE and bonding conductors are dashed, N and PEN are solid; a bar stands for all bars of its conductor on a board.",)


def earthing_diagram(flows: Flows) -> Scene | None:
    """The earthing and neutral arrangement of a site; None where nothing of the supply is known."""
    made = arrangement(flows)
    trees = list(_trees(flows, made))
    if not trees:
        return None
    info = sheet_info(flows, "Earthing and neutral", power=False, control=False)
    info = replace(info, notes=(*info.notes, *NOTES, *earthing_notes(flows), *_links(flows), *_elsewhere(flows), *_devices(flows)))
    forest = Forest(tuple(root for root, _ in trees), tuple(net for _, nets in trees for net in nets))
    strips = sum(1 for root in forest.roots for _ in strips_of(root))
    alone = _alone(trees, info) if strips <= ONE_SHEET else None
    if alone is not None:
        return alone
    return Scene("earthing", f"{info.number} {info.title}".strip(), _set(forest, info, strips), info.creator)


def _set(forest: Forest, info: SheetInfo, strips: int) -> tuple[Sheet, ...]:
    """A set of sheets of the smallest size that suits; where not even the largest does, each tree on a sheet as long as it takes."""
    for size in [info.paper] if info.paper else [name for name, most in SETS if strips <= most]:
        try:
            found = sheets(forest, info, size)
        except DoesNotFit:
            if info.paper:
                raise
            continue
        if info.paper or size != SETS[0][0] or len(found) <= FEW:
            return found
    numbered = [replace(info, sheet=n, sheets=len(forest.roots)) for n in range(1, len(forest.roots) + 1)]
    return tuple(compose(layouts(root, forest.nets), one) for root, one in zip(forest.roots, numbered, strict=True))


def _alone(trees: Sequence[tuple[Strip, tuple[Net, ...]]], info: SheetInfo) -> Scene | None:
    """All on one sheet, each tree in its best style; None where that is larger than A2."""
    forms = [layouts(root, nets) for root, nets in trees]
    pieces = [[form[n] for form in forms] for n in range(min(map(len, forms)))]
    try:
        scene = paged("earthing", info, pieces[0], pieces[1:])
    except DoesNotFit:
        return None
    return scene if len(scene.sheets) == 1 and scene.sheets[0].size in ALONE else None


# ---- trees -----------------------------------------------------------------------------------------------------------

def _trees(flows: Flows, made: Arrangement) -> Iterator[tuple[Strip, tuple[Net, ...]]]:
    """A tree from the point of supply, then one for each part that no neutral and no protective conductor joins to it."""
    near: dict[str, list[Conductor]] = {bar: [] for bar in made.titles}
    for conductor in made.conductors:
        near[conductor.a].append(conductor)
        near[conductor.b].append(conductor)
    leaves: dict[str, list[Leaf]] = {}
    for leaf in made.leaves:
        leaves.setdefault(leaf.bar, []).append(leaf)
    done: set[str] = set()
    starts = [bar for bar in made.titles if isinstance(_object(flows, made.objects[bar]), Supply)]
    for root in [*starts, *made.titles]:
        if root not in done and (near[root] or leaves.get(root)):
            yield _tree(flows, made, root, near, leaves, done)
    for leaf in leaves.get("", ()):
        yield _leaf(replace(leaf, wire=()), wired=False), ()


def _tree(flows: Flows, made: Arrangement, root: str, near: dict[str, list[Conductor]], leaves: dict[str, list[Leaf]],
          done: set[str]) -> tuple[Strip, tuple[Net, ...]]:
    """Bars from a root on, each once; a conductor that closes a loop is a net of its own."""
    order: list[tuple[str, Conductor | None]] = []
    below: dict[str, list[str]] = {}
    used: set[str] = set()
    loops: list[Conductor] = []
    stack: list[tuple[str, Conductor | None]] = [(root, None)]
    done.add(root)
    while stack:
        bar, feed = stack.pop()
        order.append((bar, feed))
        below[bar] = []
        for conductor in near[bar]:
            other = conductor.b if conductor.a == bar else conductor.a
            if conductor.id in used:
                continue
            used.add(conductor.id)
            if other in done:
                loops.append(conductor)
                continue
            done.add(other)
            below[bar].append(other)
            stack.append((other, conductor))
    built: dict[str, Strip] = {}
    for bar, feed in reversed(order):
        children = (*(built[child] for child in below[bar]), *(_leaf(leaf) for leaf in leaves.get(bar, ())))
        built[bar] = _bar(flows, made, bar, feed, children)
    return built[root], tuple(_loop(conductor) for conductor in loops)


def _object(flows: Flows, name: str) -> Any:
    """What an id stands for: a device with terminals is no node of the graph itself."""
    return flows.obj(name) if name in flows.graph else flows.objects[name]


def _bar(flows: Flows, made: Arrangement, bar: str, feed: Conductor | None, children: tuple[Strip, ...]) -> Strip:
    """A bar with the conductor that leads to it; a link stands between two bars."""
    obj = _object(flows, made.objects[bar])
    if isinstance(obj, Supply):
        return Strip(bar, obj.id, "supply", _supply_lines(obj), "Point of supply", children=children)
    wire = _feed(feed) if feed is not None and feed.what != "link" else None
    lines, crossed = tuple(made.titles[bar]), str(getattr(obj, "status", "")) == "removed"
    strip = Strip(bar, made.objects[bar], "busbar", lines, " ".join(lines), pen_of(obj), wire, children, crossed=crossed)
    if feed is None or feed.what != "link":
        return strip
    tie = Feed(f"{feed.id}.upper", feed.id, pen=pen_of(feed.run))
    onto = replace(strip, wire=Feed(f"{feed.id}.lower", feed.id, "earth", conductors="PE", pen=Pen(pen_of(feed.run).width, EARTH_DASH)))
    return Strip(feed.id, feed.id, "link", feed.lines, " ".join(feed.lines), pen_of(feed.run), tie, (onto,))


def _feed(conductor: Conductor) -> Feed:
    run = conductor.run
    pen = pen_of(run) if isinstance(run, Cable) else Pen()
    earth = conductor.what == "PE"
    return Feed(conductor.id, _owner(conductor), "earth" if earth else "power", lines=conductor.lines, conductors=conductor.what,
                pen=Pen(pen.width, EARTH_DASH) if earth else pen)


def _owner(conductor: Conductor) -> str:
    """The object that a conductor belongs to: its cable, its link, or else the object of the bar that it leads to."""
    return str(conductor.run.id) if conductor.run is not None else conductor.b.rpartition(".")[0]


def _leaf(leaf: Leaf, wired: bool = True) -> Strip:
    wire = Feed(f"{leaf.id}.in", leaf.object, "earth", lines=leaf.wire, conductors="PE", pen=Pen(0.25, EARTH_DASH)) if wired else None
    lines = leaf.lines if wired else (*leaf.lines, "no PE leads here")
    return Strip(leaf.id, leaf.object, leaf.kind, lines, " ".join(leaf.lines), wire=wire)


def _loop(conductor: Conductor) -> Net:
    earth = conductor.what == "PE"
    text = " ".join(conductor.lines if conductor.what == "link" else (conductor.what, *conductor.lines))
    segment = Segment(conductor.id, _owner(conductor), conductor.a, conductor.b, text)
    return Net(f"{conductor.id}.net", "earth" if earth else "power", (segment,), pen=Pen(0.25, EARTH_DASH if earth else ()))


def _supply_lines(supply: Supply) -> tuple[str, ...]:
    code = None if isinstance(supply.system, Unknown) else supply.system.code
    system = "TBC" if code is None or isinstance(code, Unknown) else f"{code[0]}/{code[1]}"
    return ("Point of supply", f"system {system}")


# ---- notes -----------------------------------------------------------------------------------------------------------

def _links(flows: Flows) -> Iterator[str]:
    """Which N–E links each PE-connected part has in each mode."""
    for part in earthed_parts(flows):
        modes = [f"{mode.name}: {words}" for mode in flows.modes if (words := _linked(flows, part, mode))]
        boards = [node for node in part.nodes if isinstance(flows.obj(node), Board)]
        if modes and boards:
            yield f"PE-connected part of {', '.join(boards)}; N–E link closed in mode {'; '.join(modes)}."


def _linked(flows: Flows, part: EarthedPart, mode: object) -> str:
    try:
        found = links_of(part, flows, mode)  # type: ignore[arg-type]
    except CannotTell:
        return "cannot tell"
    return ", ".join(" and ".join(neutral.links) or "none" for neutral in found)


def _elsewhere(flows: Flows) -> Iterator[str]:
    """Neutrals that do not run beside their phases."""
    for start, end, layer in flows.graph.edges(data="layer"):
        if layer == "neutral":
            one, other = (in_words(flows.objects, flows.circuit_of[node].id) if node in flows.circuit_of else node for node in (end, start))
            yield f"The neutral of {one} goes to {other}, apart from its phases."


def _devices(flows: Flows) -> Iterator[str]:
    """What devices with terminals do with the neutral."""
    for obj in flows.objects.values():
        if isinstance(obj, Changeover):
            yield f"{obj.id} has poles {obj.poles if isinstance(obj.poles, str) else 'TBC'}."
