# SPDX-License-Identifier: MIT
"""Site file → Site: the text tree, then every declared object, then the references between them."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from . import site_faults
from .collector import no_collection
from .dataclass import dataclass
from .errors import Finding, Mark, Unknown, Unusable
from .faults import no_file
from .glyphs import without_glyph
from .kinds import Said, shape_of
from .long_names import long_names
from .own_tables import own_tables
from .results import result_faults, setting_faults
from .scope import Reading, Reference, Scope
from .site import (Board, Chain, Circuit, Controller, CurrentTransformer, Drawing, EarthBar, Equipment, EquipmentType, HybridInverter,
                   NeutralEarthLink, Place, Ported, Revision, Site, Tap, Terminal, Thing)
from .stated import UnlessStated, by_class
from .tables import Table as OwnTable
from .tree import UNUSABLE, Map, Node, Scalar, Sequence, Tree
from .yaml_reader import read_tree
from .yaml_source import MAX_BYTES

__all__ = ["GROUPS", "ReadSite", "bytes_of", "chains_of", "equipment_library", "read_bytes", "read_file"]

GROUPS: dict[str, tuple[type, ...]] = {
    "board": (Board,), "controller": (Controller,), "place": (Place,), "sensor": (CurrentTransformer,), "equipment": (Equipment,),
    "bus device": (Equipment, HybridInverter, Controller, Tap), "type": (EquipmentType,), "terminal": (Terminal,), "circuit": (Circuit,),
    "earth bar": (EarthBar,), "N–E link": (NeutralEarthLink,), "thing": (Thing,)}
"""What a reference may mean."""
IN_CHAINS = ("sensor", "equipment", "bus device", "circuit", "N–E link", "thing")
"""Groups whose objects stand in chains."""
OF_ABSENCE = ("missing-key", "no-value", "unknown-id", "one-end", "tbc-unclear")
"""Faults that say something is not there: nobody knows in a file that could not be read to its end."""


@dataclass(frozen=True, eq=False)
class ReadSite:
    """A site as it was read.

    site     : None where not even its frame could be read
    objects  : everything with an id, by id, in the order of the file
    types    : equipment types of the file and of the library, by name
    findings : faults of reading, in file order
    complete : False where YAML itself broke
    lines    : the text of the file, for messages
    texts    : the text of the included files and own tables by name, for messages
    tables   : tables of the user's own, in the order in which the file names them
    folder   : where included and previous files stand; None for a site that was not read from a file
    """

    site: Site | None
    objects: dict[str, Any]
    types: dict[str, EquipmentType]
    findings: tuple[Finding, ...]
    complete: bool
    lines: tuple[str, ...]
    name: str = "site.yaml"
    texts: dict[str, tuple[str, ...]] = field(default_factory=dict)
    tables: tuple[OwnTable, ...] = ()
    folder: Path | None = None

    @property
    def unusable(self) -> bool:
        """The file cannot be used at all (exit code 2)."""
        return self.site is None or not self.complete


def read_file(path: Path) -> ReadSite:
    """Read a site file.

    Raises Unusable when there is no such file or it cannot be opened.
    """
    return read_bytes(bytes_of(path), path.name, path.parent)


def bytes_of(path: Path) -> bytes:
    """The bytes of a site file. Raises Unusable when there is no such file or it cannot be opened."""
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)  # no more than tells that it is too large: a device may have no end
    except OSError as error:
        raise Unusable(no_file(Mark(path.name, 1, 1), str(path), error.strerror or "unknown")) from error


def read_bytes(data: bytes, name: str = "site.yaml", folder: Path | None = None) -> ReadSite:
    """Read a site from the bytes of its file. folder: where included files stand; without it none can be included."""
    tree = read_tree(data, name)
    reading = Reading(findings=[*tree.findings, *without_glyph(tree), *long_names(tree)])
    library = equipment_library()
    with no_collection():
        site = _read_root(tree, reading, name)
    texts: dict[str, tuple[str, ...]] = {}
    types = {**library, **_included(site, reading, folder, texts), **({} if site is None or isinstance(site.types, Unknown) else site.types)}
    tables = own_tables(None if site is None else site.tables, folder, reading.findings, texts)
    if site is not None:
        _previous(site, reading, folder)
        reading.findings += [*result_faults(site.tests), *setting_faults(reading.objects.values())]
        _terminals(reading)
        _resolve(reading, types, site)
        _ends(reading)
        _loops(reading)
    findings = sorted(_once(reading.findings, tree), key=lambda f: (f.mark, f.rule))
    return ReadSite(site, {o.id: o for o in reading.objects.values()}, types, tuple(findings), tree.complete, tuple(tree.lines), name, texts,
                    tables, folder)


def _read_root(tree: Tree, reading: Reading, name: str) -> Site | None:
    if not isinstance(tree.root, Map):
        if tree.complete:
            mark, got = (tree.root.mark, shape_of(tree.root)) if tree.root else (Mark(name, 1, 1), "empty")
            reading.findings.append(site_faults.wrong_shape(mark, "site file", "a mapping", got, "site: {name: …}"))
        return None
    return Scope(reading, stated=_stated(tree.root)).root(Site, tree.root, Mark(name, 1, 1))


def _stated(root: Map) -> dict[type, dict[str, Any]]:
    """What holds unless stated otherwise, wherever in the file it stands; its faults are reported when the whole is read."""
    said = next((node for key, node in root.items if key.text == "unless_stated"), None)
    return {} if said is None else by_class(Scope(Reading()).root(UnlessStated, said, said.mark))


def _included(site: Site | None, reading: Reading, folder: Path | None, texts: dict[str, tuple[str, ...]]) -> dict[str, EquipmentType]:
    """Types of the included files, which stand in the folder of the site file; later files win."""
    types: dict[str, EquipmentType] = {}
    for said in site.include if site is not None and isinstance(site.include, tuple) else ():
        if isinstance(said, Said):
            types |= _types_of(said, reading, folder, texts)
    return types


def _types_of(said: Said, reading: Reading, folder: Path | None, texts: dict[str, tuple[str, ...]]) -> dict[str, EquipmentType]:
    try:
        if folder is None:
            raise FileNotFoundError(2, "the site was not read from a folder")
        data = (folder / said.id).read_bytes()
    except OSError as error:
        reading.findings.append(site_faults.include_missing(said.mark, said.id, error.strerror or "unknown"))
        return {}
    tree = read_tree(data, said.id)
    texts[said.id] = tuple(tree.lines)
    reading.findings += [*tree.findings, *without_glyph(tree), *long_names(tree)]
    if not isinstance(tree.root, Map):
        if tree.complete:
            reading.findings.append(site_faults.include_not_types(said.mark, said.id))
        return {}
    return {key.text: Scope(reading).named(EquipmentType, key, node, register=False) for key, node in tree.root.items}


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


def _previous(site: Site, reading: Reading, folder: Path | None) -> None:
    """The previous site files that revisions name are there."""
    rows = site.drawing.revisions if isinstance(site.drawing, Drawing) and isinstance(site.drawing.revisions, tuple) else ()
    for said in (row.was for row in rows if isinstance(row, Revision)):
        if isinstance(said, Said) and folder is not None and not (folder / said.id).is_file():
            reading.findings.append(site_faults.revision_missing(said.mark, said.id))


def chains_of(objects: Iterator[Any] | list[Any]) -> Iterator[Chain]:
    """All chains among objects: the supply and every circuit."""
    return (o for o in objects if isinstance(o, Chain))


def _terminals(reading: Reading) -> None:
    """Every terminal of a device can be referred to, whether the file says something of it or not."""
    for device in [o for o in reading.objects.values() if isinstance(o, Ported)]:
        said = device.ports if isinstance(device.ports, dict) else {}
        for name, terminal in said.items():
            if name not in device.terminals:
                reading.findings.append(site_faults.unknown_key(terminal.mark, name, f"{device.word} {device.id}", device.terminals))
        for name in device.terminals:
            if name not in said:
                blank = Terminal(id=f"{device.id}.{name}", mark=device.mark, marks={}, own_id=None, name="", status=device.status, owner=device.owner,
                                 place=device.place, in_line=(), feeds=None, circuits=(), load=None)
                reading.objects.setdefault(blank.id.casefold(), blank)


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
                   and not any(first <= f.mark.column < last for first, last in spans.get(f.mark.line, ()) if f.mark.file == text[0].mark.file)]


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
            wanted = _either(reference.to)
            reading.findings.append(site_faults.wrong_object(reference.said.mark, reference.said.id, reference.what, wanted, found.word, _instead(found, wanted, by_id)))


def _instead(found: Any, wanted: str, by_id: dict[str, Any]) -> tuple[str, ...]:
    """What was meant by a device in the place of one of its terminals, or by a circuit in the place of its board."""
    if "terminal" in wanted and isinstance(found, Ported):
        return tuple(f"{found.id}.{name}" for name in found.terminals)
    board = by_id.get(found.id.partition(".")[0])
    return (board.id,) if "board" in wanted and isinstance(found, Circuit) and isinstance(board, Board) else ()


def _either(words: tuple[str, ...]) -> str:
    """Words as a choice: a, b or c."""
    return " or ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


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
    called = _fold(reference.said.id)
    named = next((id_ for id_ in known if called and called == _fold(getattr(by_id.get(id_), "name", ""))), "")
    return site_faults.unknown_id(reference.said.mark, reference.said.id, reference.what, _either(reference.to), known, named)


def _fold(name: Any) -> str:
    """A spoken name as it is compared: an id has no spaces."""
    return " ".join(name.casefold().replace("_", " ").split()) if isinstance(name, str) else ""


# ---- chains ----------------------------------------------------------------------------------------------------------

def _ends(reading: Reading) -> None:
    """Every chain leads to exactly one thing."""
    for chain in chains_of(list(reading.objects.values())):
        ends = tuple(name for name in ("feeds", "circuits", "load") if name in chain.marks)
        if len(ends) != 1 and chain.marks:  # without marks it is no mapping, which is reported already
            mark = chain.marks[ends[1]] if ends else chain.mark
            reading.findings.append(site_faults.one_end(mark, chain.id, ends))


def _loops(reading: Reading) -> None:
    """Boards and devices that feed each other in a circle."""
    by_id = {o.id: o for o in reading.objects.values()}
    feeds = {o.id: list(_feeds_of(o)) for o in by_id.values() if isinstance(o, Board | Ported)}
    done: set[str] = set()
    for start in feeds:
        trail: list[tuple[str, Iterator[Said]]] = [(start, iter(feeds[start]))] if start not in done else []
        done.add(start)
        while trail:
            said = next(trail[-1][1], None)
            if said is None:
                trail.pop()
                continue
            target = said.id.partition(".")[0]
            if target in [name for name, _ in trail]:
                names = [name for name, _ in trail]
                reading.findings.append(site_faults.feed_loop(said.mark, (*names[names.index(target):], target)))
            elif target in feeds and target not in done:
                done.add(target)
                trail.append((target, iter(feeds[target])))


def _feeds_of(obj: Any) -> Iterator[Said]:
    """What a board, or a device by its terminals, feeds."""
    if isinstance(obj, Board):
        yield from _feeds_in(obj.circuits)
    elif isinstance(obj.ports, dict):
        yield from _feeds_in(tuple(obj.ports.values()))


def _feeds_in(chains: tuple[Chain, ...]) -> Iterator[Said]:
    """What the chains of a bar feed, circuits of local bars included."""
    stack = list(reversed(chains)) if isinstance(chains, tuple) else []
    while stack:
        chain = stack.pop()
        if isinstance(chain, Unknown):
            continue
        if isinstance(chain.feeds, Said):
            yield chain.feeds
        if isinstance(chain.circuits, tuple):
            stack.extend(reversed(chain.circuits))
