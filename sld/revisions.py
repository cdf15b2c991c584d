# SPDX-License-Identifier: MIT
"""What a revision changed: the site against the previous site file that the revision names, in words and as clouds on a sheet."""
from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from topology.compare import Difference, compare
from topology.dataclass import dataclass
from topology.errors import Unknown, Unusable
from topology.flow import Flows
from topology.kinds import Said
from topology.read import ReadSite, read_file
from topology.site import Circuit, Own, Revision

from sld.called import in_words
from sld.clouds import clouds
from sld.facts import fact
from sld.font import text_width
from sld.primitives import Furniture, Scene, Sheet
from sld.sheet.cells import TEXT
from sld.views import View, view

__all__ = ["Changes", "changes", "changed_ids", "clouded", "previous", "revision_notes", "summary"]

WITHIN = ("in_line", "circuits", "segments", "ports", "taps", "arrays")
"""Facts that only list what has an id of its own."""
MOST = 12  # ids that a line names
ROW = 101.0  # of text in the table of revisions [mm]


@dataclass(frozen=True)
class Changes:
    """What a revision changed: its letter, the previous file, the ids of what it added, changed and took away, and those lists in one line."""

    letter: str
    was: str
    added: tuple[str, ...]
    changed: tuple[str, ...]
    removed: tuple[str, ...]
    words: str


def _in_words(lists: Mapping[str, Sequence[str]], objects: Mapping[str, Any]) -> str:
    """In one line, each object as a reader knows it; those beyond some are counted."""
    parts = [f"{word} {_some([in_words(objects, name) for name in ids])}" for word, ids in lists.items() if ids]
    return "; ".join(parts) or "nothing on the drawings"


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST} more" if len(names) > MOST else ""
    return f"{', '.join(names[:MOST])}{more}"


def changes(flows: Flows) -> Changes | None:
    """What the last revision changed; None where it names no previous file that can be read."""
    rows = _rows(flows)
    as_found = isinstance(flows, View) and flows.name == "as-found"  # nobody revises what was found
    return _changes(flows, len(rows) - 1) if rows and not as_found else None


def summary(flows: Flows, row: Revision) -> str:
    """What a revision changed, in words for its row of the revision table."""
    rows = _rows(flows)
    found = _changes(flows, rows.index(row)) if row in rows else None
    return found.words if found else ""


def revision_notes(flows: Flows) -> tuple[str, ...]:
    """A line on what the clouds mean, with what changed where the table of revisions does not say all of it."""
    found = changes(flows)
    if found is None:
        return ()
    told = not fact(_rows(flows)[-1], "note") and text_width(found.words, TEXT) <= ROW
    return (f"Clouds mark what revision {found.letter} changed against {found.was}{'' if told else f': {found.words}'}.",)


def _rows(flows: Flows) -> list[Revision]:
    drawing = flows.site.drawing
    rows = () if isinstance(drawing, Unknown) or isinstance(drawing.revisions, Unknown) else drawing.revisions
    return [row for row in rows if isinstance(row, Revision)]


def _changes(flows: Flows, number: int) -> Changes | None:
    """A revision against its previous file, compared once."""
    key = ("changes", number)
    if key not in flows.memo:
        flows.memo[key] = _compared(flows, number)
    found: Changes | None = flows.memo[key]
    return found


def _compared(flows: Flows, number: int) -> Changes | None:
    """An earlier revision left the site as the next one names it as its previous file."""
    rows = _rows(flows)
    before = _previous(flows, rows[number])
    later = [read for row in rows[number + 1:] if (read := _previous(flows, row)) is not None]
    after = later[0] if later else flows.read
    if before is None or before.site is None:
        return None
    found = [d for d in compare(before, after) if d.id in before.objects or d.id in after.objects]
    lists: dict[str, list[str]] = {"added": [], "changed": [], "taken away": []}
    for d in found:
        kind = d.change if not d.fact and d.change in lists else "changed"
        if not _listed(d) and d.id not in lists[kind]:
            lists[kind].append(d.id)
    words = _in_words(lists, {**before.objects, **after.objects})
    return Changes(fact(rows[number], "rev"), before.name, *map(tuple, lists.values()), words)


def _listed(d: Difference) -> bool:
    """Whether a difference only says that a list has other members, which are differences of their own; another order is none of these."""
    return bool(d.fact) and d.fact.split()[0] in WITHIN and sorted(d.old.split()) != sorted(d.new.split())


def _previous(flows: Flows, row: Revision) -> ReadSite | None:
    """The previous site of a revision, read from the folder of the site file."""
    folder = flows.read.folder
    if not isinstance(row.was, Said) or folder is None:
        return None
    try:
        return read_file(folder / row.was.id)
    except Unusable:
        return None


def previous(flows: Flows) -> Flows | None:
    """The site before the last revision, in the same view; None where the revision names no previous file that can be read."""
    rows = _rows(flows)
    read = _previous(flows, rows[-1]) if rows else None
    if read is None or read.site is None or isinstance(flows, View) and flows.name == "as-found":
        return None
    before = Flows(read)
    return view(before, flows.name) if isinstance(flows, View) else before


# ---- on a sheet ------------------------------------------------------------------------------------------------------

def clouded(scene: Scene, flows: Flows) -> Scene:
    """The scene with a cloud round whatever the last revision added or changed."""
    found = changes(flows)
    if found is None:
        return scene
    ids = changed_ids(flows)
    return replace(scene, sheets=tuple(_clouded(sheet, ids, found.letter) for sheet in scene.sheets))


def changed_ids(flows: Flows) -> frozenset[str]:
    """What the last revision added or changed, by the ids under which it is to be seen."""
    found = changes(flows)
    return frozenset(_drawn(flows, name) for name in (*found.added, *found.changed)) if found else frozenset()


def _clouded(sheet: Sheet, ids: Collection[str], letter: str) -> Sheet:
    found = tuple(Furniture("revision cloud", marks) for marks in clouds(sheet, ids, letter))
    return replace(sheet, furniture=(*sheet.furniture, *found)) if found else sheet


def _drawn(flows: Flows, name: str) -> str:
    """The id under which a change is to be seen: of a circuit, that of its first device."""
    obj: Any = flows.objects.get(name)
    line = obj.in_line if isinstance(obj, Circuit) and isinstance(obj.in_line, tuple) else ()
    return next((item.id for item in line if isinstance(item, Own)), name)
