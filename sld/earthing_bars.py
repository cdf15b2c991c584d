# SPDX-License-Identifier: MIT
"""Neutral bars and earth bars of a site, and the conductors between them, taken from its graph.

A board has a neutral bar and an earth bar, and so has a place where a neutral–earth link or a device with terminals stands.
Bars that nothing separates (no cable, no pole that opens) are one bar.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import field
from functools import cached_property
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.graph import Bar, Link
from topology.kinds import Said
from topology.modes import opened_by
from topology.quantity import show_quantity
from topology.site import (Board, Bond, Cable, CablePart, Changeover, Controller, Coupler, EarthBar, Electrode, Load,
                           NeutralEarthLink, Ported, Source, Supply, Switching, Terminal)

from sld.called import called, in_words

__all__ = ["Arrangement", "Conductor", "Leaf", "Stretch", "arrangement", "size_of"]

STOPS = (Supply, Board, Bar, NeutralEarthLink, Source, Terminal, Load, Controller)
N, PE, PEN = "N", "PE", "PEN"
MOST = 6  # loads without PE that are named


@dataclass(frozen=True, slots=True)
class Stretch:
    """What leads from one stop of the power layer to the next. mask: conductors that go all the way; devices: ids, cables left out."""

    start: str
    end: str
    mask: int
    cables: tuple[Cable, ...]
    devices: tuple[str, ...]
    opens: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Conductor:
    """A conductor between two bars. what: N, PE or PEN; run: the cable, or the object that it belongs to; lines: its text."""

    id: str
    a: str
    b: str
    what: str
    run: Any = None
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Leaf:
    """What ends at a bar: an electrode, a bonded part, equipment, the final subcircuits. kind: of symbol."""

    id: str
    object: str
    bar: str
    kind: str
    lines: tuple[str, ...]
    wire: tuple[str, ...] = ()
    what: str = PE


@dataclass
class Arrangement:
    """All bars with their titles and the id of the object that each belongs to, the conductors between them, and what ends at them."""

    titles: dict[str, list[str]] = field(default_factory=dict)
    objects: dict[str, str] = field(default_factory=dict)
    conductors: list[Conductor] = field(default_factory=list)
    leaves: list[Leaf] = field(default_factory=list)


def arrangement(flows: Flows) -> Arrangement:
    """The neutral and earthing arrangement of a site."""
    return _Builder(flows).made


def size_of(cable: Cable, what: str) -> str:
    """Cross-section of a conductor of a cable, each of its parts once; TBC where it is not known."""
    found = []
    for run in cable.runs if isinstance(cable.parts, tuple) else ():
        area = _area(run, what, isinstance(cable.conductors, tuple) and what in cable.conductors)
        found.append("TBC" if isinstance(area, Unknown) else show_quantity(area, "mm2"))
    return ", ".join(dict.fromkeys(found)) or "TBC"


def _area(run: Any, what: str, as_core: bool) -> Any:
    """An earth core has a size of its own; every other conductor is a core."""
    if not isinstance(run, CablePart):
        return run
    if what == PE and not as_core:
        if isinstance(run.cores, Unknown):
            return run.cores
        return run.area if run.cores[1] is None else run.cores[1]
    return run.area


class _Builder:
    def __init__(self, flows: Flows) -> None:
        self.flows = flows
        self.made = Arrangement()
        self.same: dict[str, str] = {}
        stretches = list(self.stretches())
        self.merge(stretches)
        self.name()
        for stretch in stretches:
            self.between(stretch)
        self.links()
        self.ends(stretches)
        self.earth()

    # ---- stretches ----

    def is_stop(self, node: str) -> bool:
        return isinstance(self.flows.obj(node), STOPS) or len(self.onward(node)) != 1

    def onward(self, node: str) -> list[tuple[str, Link]]:
        return [(v, data["obj"]) for _, v, data in self.flows.graph.out_edges(node, data=True) if data["layer"] == "power"]

    def stretches(self) -> Iterator[Stretch]:
        for start in self.flows.graph:
            if self.is_stop(start):
                yield from (self.follow(start, *step) for step in self.onward(start))

    def follow(self, start: str, node: str, link: Link) -> Stretch:
        """From a stop on to the next one."""
        mask, cables, devices, opens = link.conductors, [link.run], [], []
        while not self.is_stop(node):
            devices.append(node)
            if self.opens_neutral(node, mask):
                opens.append(node)
            node, link = self.onward(node)[0]
            mask &= link.conductors
            cables.append(link.run)
        mask |= link.conductors & conductors.PEN  # a cable may carry on N and PE as PEN
        if self.opens_neutral(node, mask):
            opens.append(node.partition(".")[0])
        return Stretch(start, node, mask, tuple(c for c in cables if isinstance(c, Cable)), tuple(devices), tuple(opens))

    def opens_neutral(self, node: str, mask: int) -> bool:
        obj = self.flows.obj(node)
        if isinstance(obj, Terminal):
            obj = self.flows.objects.get(node.partition(".")[0])
        poles = obj.poles if isinstance(obj, Switching | Changeover | Coupler) else None
        return isinstance(poles, str) and bool(opened_by(poles, len(conductors.phase_names(mask))) & conductors.N)

    # ---- bars ----

    def key(self, what: str, node: str) -> str:
        """The bar of a stop, after all that is one bar has been merged; the point of supply is one for all its conductors."""
        obj = self.flows.obj(node)
        if isinstance(obj, Supply):
            name = node
        else:
            base = node.partition(".")[0] if isinstance(obj, Terminal) else node
            name = f"{base}.{what}"
        while name in self.same:
            name = self.same[name]
        return name

    def join(self, a: str, b: str) -> None:
        """b is a, too."""
        if a != b:
            self.same[b] = a

    def merge(self, stretches: list[Stretch]) -> None:
        """Bars that nothing separates are one, and go by the board where one is among them."""
        for s in stretches:
            start, end = self.flows.obj(s.start), self.flows.obj(s.end)
            to_board = isinstance(start, NeutralEarthLink) and isinstance(end, Board)
            local = isinstance(start, (NeutralEarthLink, Board, Bar)) and isinstance(end, Bar)
            if s.cables or not (to_board or local):
                continue
            for what in (N, PE):
                if what == PE or not s.opens and s.mask & conductors.N:
                    pair = (self.key(what, s.start), self.key(what, s.end))
                    self.join(*(pair[::-1] if to_board else pair))
        for bar in self.earth_bars:
            if isinstance(bar.place, Said) and bar.place.id in self.flows.graph:
                self.join(self.key(PE, bar.place.id), self.key(PE, bar.id))

    @cached_property
    def earth_bars(self) -> list[EarthBar]:
        return [o for o in self.flows.objects.values() if isinstance(o, EarthBar) and o.id in self.flows.graph]

    def name(self) -> None:
        """Titles of bars, those of a board first."""
        for node in self.flows.graph:
            obj = self.flows.obj(node)
            if isinstance(obj, Supply):
                self.made.titles[node], self.made.objects[node] = [], node
            elif isinstance(obj, EarthBar):
                self.title(self.key(PE, node), node, _earth_bar_words(obj))
            elif isinstance(obj, (Board, Bar, NeutralEarthLink, Terminal)):
                for what, words in ((N, "neutral bar"), (PE, "earth bar")):
                    self.title(self.key(what, node), node, self.words(obj, words))

    def title(self, bar: str, node: str, words: str) -> None:
        """Words of a bar: its own board's in place of those of links and local bars on it, and beside those of earth bars."""
        own = bar == f"{node}.{bar.rpartition('.')[2]}"
        earth_bar = isinstance(self.flows.obj(node), EarthBar)
        if own or bar not in self.made.titles:
            self.made.objects[bar] = node.partition(".")[0] if isinstance(self.flows.obj(node), Terminal) else node
            self.made.titles[bar] = [words, *(title for title in self.made.titles.get(bar, ()) if title in self.earth_bar_titles)]
        elif earth_bar:
            self.made.titles[bar].append(words)

    @cached_property
    def earth_bar_titles(self) -> set[str]:
        return {_earth_bar_words(bar) for bar in self.earth_bars}

    def words(self, obj: Any, words: str) -> str:
        if isinstance(obj, NeutralEarthLink):
            return f"{words.split()[0]} at {obj.id}{self.at_home(obj.id, '')}"
        if isinstance(obj, Terminal):
            return f"{obj.id.partition('.')[0]} {words.split()[0]}"
        return self.local(obj, words) if isinstance(obj, Bar) else f"{obj.id} {words}"

    def local(self, bar: Bar, words: str) -> str:
        """Of a local bar: the circuit that ends in it, where it stands, and what its circuits share."""
        circuit = bar.id.removesuffix(".bar")
        shared = getattr(self.flows.objects.get(circuit), "neutral", None) if words.startswith("neutral") else None
        combined = getattr(shared, "combined", None)
        size = "" if shared is None else ", combined TBC"
        if isinstance(combined, float):
            size = f", combined {show_quantity(combined, 'mm2')}"
        return f"{in_words(self.flows.objects, circuit)} {words}{self.at_home(bar.id, circuit)}{size}"

    def at_home(self, node: str, name: str) -> str:
        """Where a bar stands, unless its name says so."""
        home = self.flows.home(node)
        return f" in {home}" if home and not name.startswith(f"{home}.") else ""

    # ---- conductors ----

    def between(self, s: Stretch) -> None:
        """The conductors of a stretch between two bars."""
        if isinstance(self.flows.obj(s.end), (Load, Controller)) or self.leaf_source(s.end):
            return
        for what, bit in ((PEN, conductors.PEN), (N, conductors.N), (PE, conductors.PE)):
            if s.mask & bit:
                a, b = self.key(N if what == PEN else what, s.start), self.key(N if what == PEN else what, s.end)
                if a in self.made.titles and b in self.made.titles and a != b:
                    self.conductor(s, a, b, what)

    def conductor(self, s: Stretch, a: str, b: str, what: str) -> None:
        lines = tuple(line for cable in s.cables for line in ([cable.id] if "." not in cable.id else []) + [size_of(cable, what)])
        through = (f"through {', '.join(dict.fromkeys(called(self.flows, name) for name in s.opens))}",) if what == N and s.opens else ()
        run = s.cables[0] if s.cables else None
        name = f"{run.id}.{what}" if run is not None else f"{b}.in"
        taken = sum(conductor.id.partition("/")[0] == name for conductor in self.made.conductors) if run is None else 0
        self.made.conductors.append(Conductor(f"{name}/{taken + 1}" if taken else name, a, b, what, run, (*lines, *through)))

    def leaf_source(self, node: str) -> bool:
        obj = self.flows.obj(node)
        return isinstance(obj, Source) and not isinstance(obj, Ported)

    def links(self) -> None:
        for obj in self.flows.objects.values():
            if isinstance(obj, NeutralEarthLink) and obj.id in self.flows.graph:
                lines = (obj.id, "N–E link", *(("closed in backup only",) if obj.closed == "in backup" else ()))
                self.made.conductors.append(Conductor(obj.id, self.key(N, obj.id), self.key(PE, obj.id), "link", obj, lines))
                self.electrode(obj.electrode, self.key(PE, obj.id))

    def electrode(self, electrode: Any, bar: str) -> None:
        if isinstance(electrode, Electrode):
            size = "TBC" if isinstance(electrode.conductor, Unknown) else show_quantity(electrode.conductor, "mm2")
            self.made.leaves.append(Leaf(electrode.id, electrode.id, bar, "electrode", (f"electrode, {electrode.kind}",), (size,)))

    # ---- what ends at a bar ----

    def ends(self, stretches: list[Stretch]) -> None:
        """Equipment one by one, final subcircuits together."""
        finals: dict[str, list[Stretch]] = {}
        counts: Counter[str] = Counter()
        for s in stretches:
            end = self.flows.obj(s.end)
            bar = self.key(PE, s.start)
            if bar not in self.made.titles:
                continue
            if isinstance(end, Load) and (isinstance(end.kind, Unknown) or end.kind != "spare"):
                finals.setdefault(bar, []).append(s)
                counts[self.key(N, s.start)] += bool(s.mask & conductors.N)
            elif self.leaf_source(s.end):
                at = bar if s.mask & conductors.PE else ""
                self.made.leaves.append(Leaf(f"{s.end}.PE", s.end, at, "protective-earth", (s.end, str(end.word)), _pe_lines(s)))
        for bar, number in counts.items():
            if number and bar in self.made.titles:
                self.made.titles[bar].append(f"{number} subcircuit{'s' if number > 1 else ''}")
        for bar, found in finals.items():
            self.finals(bar, found)

    def finals(self, bar: str, found: list[Stretch]) -> None:
        """The final subcircuits of an earth bar: those with PE together, those without it by their loads."""
        carried = [s for s in found if s.mask & conductors.PE]
        if carried:
            owner, count = self.made.objects[bar], (_count(len(carried)),)
            self.made.leaves.append(Leaf(f"{bar}.finals", owner, bar, "final-subcircuits", count, _sizes(carried)))
        if without := [s.end for s in found if not s.mask & conductors.PE]:
            self.made.titles[bar].append(f"no PE to {', '.join(without[:MOST])}{' …' if without[MOST:] else ''}")

    def earth(self) -> None:
        """Earth bars: what they are joined to, their electrodes, what is bonded to them."""
        for bar in self.earth_bars:
            at = self.key(PE, bar.id)
            self.electrode(bar.electrode, at)
            for bond in bar.bonding if isinstance(bar.bonding, tuple) else ():
                if isinstance(bond, Bond):
                    size = "TBC" if isinstance(bond.conductor, Unknown) else show_quantity(bond.conductor, "mm2")
                    self.made.leaves.append(Leaf(bond.id, bond.id, at, "protective-earth", ("bonding", str(bond.part)), (size,)))
            for said in bar.joined_to if isinstance(bar.joined_to, tuple) else ():
                if isinstance(said, Said) and said.id in self.flows.graph and self.key(PE, said.id) != at:
                    size = "TBC" if isinstance(bar.conductor, Unknown) else show_quantity(bar.conductor, "mm2") if bar.conductor else "TBC"
                    self.made.conductors.append(Conductor(f"{bar.id}.joined.{said.id}", self.key(PE, said.id), at, PE, None, (size,)))


def _earth_bar_words(bar: EarthBar) -> str:
    return f"{bar.id} {bar.name or bar.kind}".strip()


def _pe_lines(s: Stretch) -> tuple[str, ...]:
    return tuple(line for cable in s.cables for line in ([cable.id] if "." not in cable.id else []) + [size_of(cable, PE)]) or ("TBC",)


def _sizes(found: list[Stretch]) -> tuple[str, ...]:
    """How many protective conductors there are of each size."""
    sizes = Counter(size_of(s.cables[-1], PE) if s.cables else "TBC" for s in found)
    return tuple(f"{number} × {size}" for size, number in sorted(sizes.items()))


def _count(number: int) -> str:
    return f"{number} final {'subcircuit' if number == 1 else 'subcircuits'}"
