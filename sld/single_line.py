# SPDX-License-Identifier: MIT
"""Single-line diagram: on one sheet where that is legible, else on several."""
from __future__ import annotations

from collections.abc import Sequence

from topology.flow import Flows

from sld.layout import Drawn, layouts
from sld.pens import BUS, LEAD, pen_of
from sld.power_tree import site_forest
from sld.primitives import Scene, Sheet
from sld.sheet import DoesNotFit, SheetInfo, compose
from sld.sheet_info import sheet_info
from sld.split import Forest, sheets, strips_of

__all__ = ["BUS", "LEAD", "pen_of", "single_line"]

ONE_SHEET = 260  # strips beyond which one sheet is not tried: they do not fit, and trying takes time
ALONE = ("A4", "A3", "A2")  # beyond this size a drawing is easier to handle as a set of smaller sheets
SETS = (("A2", 900), ("A1", 4000))
"""size of the sheets of a set by the number of strips"""


def single_line(flows: Flows) -> Scene:
    """The single-line diagram of a site."""
    info = sheet_info(flows, "Single-line diagram")
    return Scene("single-line", f"{info.number} {info.title}".strip(), drawn_sheets(site_forest(flows), info))


def drawn_sheets(forest: Forest, info: SheetInfo) -> tuple[Sheet, ...]:
    """One sheet of the size asked for or up to A2; several where that is too small, or where there are several trees."""
    size = sum(1 for root in forest.roots for _ in strips_of(root))
    if len(forest.roots) == 1 and size <= ONE_SHEET:
        alone = one_sheet(layouts(forest.roots[0], forest.nets, forest.enclosures), info)
        if alone:
            return (alone,)
    return sheets(forest, info, info.paper or next((name for name, most in SETS if size <= most), "A0"))


def one_sheet(drawn: Sequence[Drawn], info: SheetInfo) -> Sheet | None:
    """The smallest sheet on which the drawing fits in one of its styles; None where a set of sheets is better."""
    for size in [info.paper] if info.paper else ALONE:
        try:
            return compose(drawn, info, size=size)
        except DoesNotFit:
            continue
    return None
