# SPDX-License-Identifier: MIT
"""Single-line diagram: on one sheet where that is legible, else on several."""
from __future__ import annotations

from collections.abc import Sequence

from topology.collector import no_collection
from topology.flow import Flows

from sld.layout import Arranged, Drawn, arrangements, joined
from sld.pens import BUS, LEAD, pen_of
from sld.power_tree import site_forest
from sld.primitives import Scene, Sheet
from sld.revisions import previous
from sld.sheet import DoesNotFit, SheetInfo, compose
from sld.sheet.frame import SIZES, frame_box
from sld.sheet_info import sheet_info
from sld.split import Forest, Kept, kept, resolved, sheets, strips_of

__all__ = ["BUS", "LEAD", "drawn_sheets", "pen_of", "single_line"]

ONE_SHEET = 260  # strips beyond which one sheet is not tried: they do not fit, and trying takes time
ALONE = ("A4", "A3", "A2")  # beyond this size a drawing is easier to handle as a set of smaller sheets
MOST_ON_A3 = 60  # strips
LANE = 6.0  # beside a drawing and below it, for lines that are no part of its tree [mm]
SETS = (("A2", 900), ("A1", 4000), ("A0", 10**9))
"""size of the sheets of a set by the number of strips"""


def single_line(flows: Flows) -> Scene:
    """The single-line diagram of a site. What an earlier edition put on several sheets stays on its sheet wherever it still fits there."""
    info = sheet_info(flows, "Single-line diagram")
    with no_collection():
        return Scene("single-line", f"{info.number} {info.title}".strip(), edition(flows, info), info.creator)


def edition(flows: Flows, info: SheetInfo) -> tuple[Sheet, ...]:
    """The sheets, after those of the previous file of each revision in turn, from the first one on."""
    files = [flows]
    while (before := previous(files[-1])) is not None and before.read.name not in {one.read.name for one in files}:
        files.append(before)
    found: Kept | None = None
    for one in files[:0:-1]:
        try:
            found = kept(drawn_sheets(site_forest(one), sheet_info(one, "Single-line diagram"), found))
        except DoesNotFit:
            found = None
    return drawn_sheets(site_forest(flows), info, found)


def drawn_sheets(forest: Forest, info: SheetInfo, before: Kept | None = None) -> tuple[Sheet, ...]:
    """One sheet of the size asked for or up to A2; several where that is too small, or where there are several trees.

    before : an earlier edition, whose devices stay where they are
    """
    size = sum(1 for root in forest.roots for _ in strips_of(root))
    if before and not before.alone:
        found = after(before, forest, info)
        if found:
            return found
    if len(forest.roots) == 1 and size <= ONE_SHEET:
        alone = one_sheet(arrangements(forest.roots[0], forest.nets, forest.enclosures), info)
        if alone:
            return resolved((alone,), {strip.id: strip.pair for strip in strips_of(forest.roots[0]) if strip.pair})
    return (after(before, forest, info) if before and before.alone and before.paper[0] == ALONE[-1] else None) or as_set(forest, info, size)


def after(before: Kept, forest: Forest, info: SheetInfo) -> tuple[Sheet, ...] | None:
    """The next edition on sheets of the same size; None where another size is asked for, or that no longer holds all parts."""
    try:
        return sheets(forest, info, before.paper[0], before=before) if info.paper in ("", before.paper[0]) else None
    except DoesNotFit:
        return None


def as_set(forest: Forest, info: SheetInfo, size: int) -> tuple[Sheet, ...]:
    """Sheets of the size asked for, else of the smallest that suits so many strips."""
    for name in [info.paper] if info.paper else [*small(forest, size), *(name for name, most in SETS if size <= most)]:
        try:
            found = sheets(forest, info, name)
        except DoesNotFit:
            if info.paper:
                raise
            continue
        if info.paper or len(found) == 1 or name not in ALONE[:-1]:
            return found
    return tuple(compose([way.drawn() for way in arrangements(root, forest.nets, forest.enclosures)], info) for root in forest.roots)


def small(forest: Forest, size: int) -> tuple[str, ...]:
    """Sizes on which several trees are tried first, for one sheet only."""
    return ALONE[:-1] if len(forest.roots) > 1 and size <= MOST_ON_A3 else ()


def one_sheet(ways: Sequence[Arranged], info: SheetInfo) -> Sheet | None:
    """The smallest sheet on which the drawing fits in one of its styles; None where a set of sheets is better."""
    made: dict[int, Drawn] = {}
    for size in [info.paper] if info.paper else ALONE:
        x0, y0, x1, y1 = frame_box(*SIZES[size])
        for number, way in enumerate(ways):
            if max(way.width, way.height) > max(x1 - x0, y1 - y0) or min(way.width, way.height) > min(x1 - x0, y1 - y0):
                continue
            if number not in made:
                plain = way.drawn()
                made[number] = joined(plain, (0.0, 0.0, plain.width + LANE, plain.height + LANE))
            try:
                return compose(made[number], info, size=size)
            except DoesNotFit:
                continue
    return None
