# SPDX-License-Identifier: MIT
"""Site file → Site: the text tree, then every declared object, then the references between them."""
from __future__ import annotations

import gc
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from . import site_faults
from .errors import Finding, Mark, Unknown, Unusable
from .faults import no_file
from .kinds import Said, shape_of
from .scope import Reading, Reference, Scope
from .site import (Board, Chain, Circuit, Controller, CurrentTransformer, Equipment, EquipmentType, Place, Site)
from .tree import UNUSABLE, Map, Node, Scalar, Sequence, Tree, read_tree

__all__ = ["GROUPS", "ReadSite", "chains_of", "equipment_library", "read_bytes", "read_file"]

GROUPS: dict[str, tuple[type, ...]] = {
    "board": (Board,), "controller": (Controller,), "place": (Place,), "sensor": (CurrentTransformer,), "equipment": (Equipment,),
    "bus device": (Equipment, Controller), "type": (EquipmentType,)}
"""What a reference may mean."""
IN_CHAINS = ("sensor", "equipment", "bus device")
"""Groups whose objects stand in chains."""
OF_ABSENCE = ("missing-key", "no-value", "unknown-id", "one-end", "tbc-unclear")
"""Faults that say something is not there: nobody knows in a file that could not be read to its end."""


@dataclass(frozen=True)
class ReadSite:
    """A site as it was read.

    site     : None where not even its frame could be read
    objects  : everything with an id, by id, in the order of the file
    types    : equipment types of the file and of the library, by name
    findings : faults of reading, in file order
    complete : False where YAML itself broke
    lines    : the text of the file, for messages
    """

    site: Site | None
    objects: dict[str, Any]
    types: dict[str, EquipmentType]
    findings: tuple[Finding, ...]
    complete: bool
    lines: tuple[str, ...]
    name: str = "site.yaml"

    @property
    def unusable(self) -> bool:
        """The file cannot be used at all (exit code 2)."""
        return self.site is None or not self.complete


def read_file(path: Path) -> ReadSite:
    """Read a site file.

    Raises Unusable when there is no such file or it cannot be opened.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise Unusable(no_file(Mark(path.name, 1, 1), str(path), error.strerror or "unknown")) from error
    return read_bytes(data, path.name)


def read_bytes(data: bytes, name: str = "site.yaml") -> ReadSite:
    """Read a site from the bytes of its file."""
    tree = read_tree(data, name)
    reading = Reading(findings=list(tree.findings))
    library = equipment_library()
    was_on = gc.isenabled()
    gc.disable()  # thousands of small objects that all stay: collecting them makes reading grow by n^1.3
    try:
        site = _read_root(tree, reading, name)
    finally:
        if was_on:
            gc.enable()
    types = {**library, **({} if site is None or isinstance(site.types, Unknown) else site.types)}
    if site is not None:
        _resolve(reading, types, site)
        _ends(reading)
        _loops(reading)
    findings = sorted(_once(reading.findings, tree), key=lambda f: (f.mark, f.rule))
    return ReadSite(site, {o.id: o for o in reading.objects.values()}, types, tuple(findings), tree.complete, tuple(tree.lines), name)


def _read_root(tree: Tree, reading: Reading, name: str) -> Site | None:
    if not isinstance(tree.root, Map):
        if tree.complete:
            mark, got = (tree.root.mark, shape_of(tree.root)) if tree.root else (Mark(name, 1, 1), "empty")
            reading.findings.append(site_faults.wrong_shape(mark, "site file", "a mapping", got, "site: {name: …}"))
        return None
    return Scope(reading).root(Site, tree.root, Mark(name, 1, 1))


@cache
def equipment_library() -> dict[str, EquipmentType]:
    """The generic, invented equipment types that ship with the program, by name."""
    data = resources.files("topology").joinpath("equipment/generic.yaml").read_bytes()
    tree = read_tree(data, "equipment/generic.yaml")
    reading = Reading(findings=list(tree.findings))
    scope = Scope(reading)
    assert isinstance(tree.root, Map)
    types = {key.text: scope.named(EquipmentType, key, node, register=False) for key, node in tree.root.items}
    assert not reading.findings, reading.findings
    return types


def chains_of(objects: Iterator[Any] | list[Any]) -> Iterator[Chain]:
    """All chains among objects: the supply and every circuit."""
    return (o for o in objects if isinstance(o, Chain))


# ---- one fault, one finding ------------------------------------------------------------------------------------------

def _once(findings: list[Finding], tree: Tree) -> list[Finding]:
    """The findings without those that only follow from a fault of the text."""
    if not tree.findings:
        return findings
    text, content = findings[:len(tree.findings)], findings[len(tree.findings):]
    breaks = [f.mark for f in text if f.rule in UNUSABLE - {"control-character"} or f.rule in ("leading-sign", "bare-hash")]
    if breaks and not tree.complete:
        content = [f for f in content if f.rule not in OF_ABSENCE and f.mark < breaks[-1]]
    spans: dict[int, list[tuple[int, int]]] = {}
    for s in _scalars(tree.root):
        if s.faulty:
            spans.setdefault(s.mark.line, []).append((s.mark.column, s.mark.column + max(s.mark.width, len(s.text) + 2)))
    said = {f.mark for f in text}
    return text + [f for f in content if f.mark not in said
                   and not any(first <= f.mark.column < last for first, last in spans.get(f.mark.line, ()))]


def _scalars(root: Node | None) -> Iterator[Scalar]:
    """Every scalar of a tree."""
    stack = [root]
    while stack:
        node = stack.pop()
        if isinstance(node, Scalar):
            yield node
        elif isinstance(node, Sequence):
            stack += node.items
        elif isinstance(node, Map):
            stack += [part for item in node.items for part in item]


# ---- references ------------------------------------------------------------------------------------------------------

def _resolve(reading: Reading, types: dict[str, EquipmentType], site: Site) -> None:
    """Look up every id that was said. What may stand in a part that could not be read is not called unknown."""
    tables = any(isinstance(table, Unknown) for table in (site.boards, site.places, site.controllers))
    chains = tables or _unread(reading)
    by_id = {o.id: o for o in reading.objects.values()}
    for reference in reading.references:
        found = types.get(reference.said.id) if "type" in reference.to else by_id.get(reference.said.id)
        if found is None and "type" not in reference.to and (chains if set(reference.to) & set(IN_CHAINS) else tables):
            continue
        if found is None:
            reading.findings.append(_unknown(reference, by_id, types))
        elif not isinstance(found, tuple(c for group in reference.to for c in GROUPS[group])):
            wanted = " or ".join(reference.to)
            reading.findings.append(site_faults.wrong_object(reference.said.mark, reference.said.id, reference.what, wanted, found.word))


def _unread(reading: Reading) -> bool:
    """Whether some devices or circuits could not be read, for a reason that is reported already."""
    for obj in reading.objects.values():
        parts = [obj.in_line, obj.circuits, obj.feeds] if isinstance(obj, Chain) else [obj.circuits] if isinstance(obj, Board) else []
        inner = [item for part in parts if isinstance(part, tuple) and not isinstance(part, Said) for item in part]
        if any(isinstance(part, Unknown) and part.silent for part in (*parts, *inner)):
            return True
    return False


def _unknown(reference: Reference, by_id: dict[str, Any], types: dict[str, EquipmentType]) -> Finding:
    if "type" in reference.to:
        known = tuple(types)
    else:
        classes = tuple(c for group in reference.to for c in GROUPS[group])
        known = tuple(o.id for o in by_id.values() if isinstance(o, classes))
    return site_faults.unknown_id(reference.said.mark, reference.said.id, reference.what, " or ".join(reference.to), known)


# ---- chains ----------------------------------------------------------------------------------------------------------

def _ends(reading: Reading) -> None:
    """Every chain leads to exactly one thing."""
    for chain in chains_of(list(reading.objects.values())):
        ends = tuple(name for name in ("feeds", "circuits", "load") if name in chain.marks)
        if len(ends) != 1 and chain.marks:  # without marks it is no mapping, which is reported already
            mark = chain.marks[ends[1]] if ends else chain.mark
            reading.findings.append(site_faults.one_end(mark, chain.id, ends))


def _loops(reading: Reading) -> None:
    """Boards that feed each other in a circle."""
    by_id = {o.id: o for o in reading.objects.values()}
    feeds = {b.id: list(_feeds_in(b.circuits)) for b in by_id.values() if isinstance(b, Board)}
    done: set[str] = set()
    for start in feeds:
        trail: list[tuple[str, Iterator[Said]]] = [(start, iter(feeds[start]))] if start not in done else []
        done.add(start)
        while trail:
            said = next(trail[-1][1], None)
            if said is None:
                trail.pop()
            elif said.id in [name for name, _ in trail]:
                names = [name for name, _ in trail]
                reading.findings.append(site_faults.feed_loop(said.mark, (*names[names.index(said.id):], said.id)))
            elif said.id in feeds and said.id not in done:
                done.add(said.id)
                trail.append((said.id, iter(feeds[said.id])))


def _feeds_in(circuits: tuple[Circuit, ...]) -> Iterator[Said]:
    """What the circuits of a bar feed, circuits of local bars included."""
    stack = list(reversed(circuits)) if isinstance(circuits, tuple) else []
    while stack:
        circuit = stack.pop()
        if isinstance(circuit, Unknown):
            continue
        if isinstance(circuit.feeds, Said):
            yield circuit.feeds
        if isinstance(circuit.circuits, tuple):
            stack.extend(reversed(circuit.circuits))
