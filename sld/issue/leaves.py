# SPDX-License-Identifier: MIT
"""The pages of the set's document before they have their numbers: diagrams as drawn, everything else in the drawing's own frame."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from topology.dataclass import dataclass

from sld.issue.flow import Block, Page, pages
from sld.issue.grid import Grid, least_width
from sld.layout.move import moved_mark
from sld.primitives import Box, Furniture, Point, Primitive, Sheet
from sld.sheet import SheetInfo
from sld.sheet.blocks import caution
from sld.sheet.cells import WIDE, outline
from sld.sheet.frame import SIZES, frame_box, frame_furniture
from sld.sheet.titleblock import TITLE_WIDTH, brief_block, title_block

__all__ = ["AIR", "Leaf", "Picture", "framed", "in_frame", "room_on"]

INWARD = 5.0  # how far centring marks reach into these sheets [mm]: 10 mm from the border, as one source of ISO 5457 counts
AIR = INWARD + 1.0  # between frame and content [mm], so that centring marks stay clear
ABOVE = 3.0  # between content and what stands below it [mm]
PAPERS = ("A3", "A2", "A1", "A0")
"""Sizes that are tried for a table, smallest first; one size for most pages prints well."""


@dataclass(frozen=True)
class Picture:
    """An image at a place on its page. data: of a JPEG or PNG file."""

    data: bytes
    box: Box


@dataclass(frozen=True)
class Leaf:
    """A page.

    document : what it belongs to, a level of the outline
    title    : of the page in the outline
    sheet    : what is drawn on it
    links    : boxes [mm] that lead to the place of a key
    anchors  : places [mm] by key
    parts    : titles of what stands on it, where several share their sheets; nothing for the document itself
    picture  : an image on it
    under    : a page of a PDF file that lies below it: its place in the list of attachments and its number from 0
    """

    document: str
    title: str
    sheet: Sheet
    links: tuple[tuple[Box, str], ...] = ()
    anchors: tuple[tuple[str, Point], ...] = ()
    picture: Picture | None = None
    under: tuple[int, int] | None = None
    parts: tuple[str, ...] = ()

    @property
    def holds(self) -> tuple[str, ...]:
        """What stands on it, by title: a level of the outline."""
        return self.parts or (self.document,)


def corner(info: SheetInfo, frame: Box, brief: bool) -> Furniture:
    """The title block. brief: of a sheet that goes on behind the cover, which bears address, people and revisions."""
    return brief_block(info, frame) if brief else title_block(info, frame)


def room_on(paper: str, info: SheetInfo, brief: bool = False) -> Box:
    """The part of a sheet above title block and caution [mm]."""
    frame = frame_box(*SIZES[paper])
    block = corner(info, frame, brief).box
    assert block is not None
    top = min(block[1], frame[3] - caution(info, frame[2] - frame[0] - TITLE_WIDTH)[1])
    return (frame[0] + AIR, frame[1] + AIR, frame[2] - AIR, top - ABOVE)


def in_frame(document: str, info: SheetInfo, blocks: Iterable[Block], columns: int = 1, numbered: bool = True, brief: bool = True) -> list[Leaf]:
    """Text and tables on sheets with frame, title block and caution; the paper is as large as the widest table needs.

    numbered : sheets of this document have numbers of their own in the title block
    brief    : without the strip and the revisions above the title block
    """
    blocks = list(blocks)
    info = replace(info, document_type=document)
    paper = paper_for([block for block in blocks if isinstance(block, Grid)], info, columns)
    x0, y0, x1, y1 = room_on(paper, info, brief)
    made = [moved_page(page, x0, y0) for page in pages(blocks, x1 - x0, y1 - y0, columns)]
    found = []
    for number, page in enumerate(made, 1):
        kind = page.parts[0] if len(page.parts) == 1 else document
        said = replace(info, document_type=kind, **({"sheet": number, "sheets": len(made)} if numbered else {}))
        title = document if len(made) == 1 else f"{document}, sheet {number}"
        found.append(Leaf(document, title, framed(said, paper, page.marks, brief), tuple(page.links), tuple(page.anchors), parts=tuple(page.parts)))
    return found


def moved_page(page: Page, dx: float, dy: float) -> Page:
    """A page's content where it stands on the sheet."""
    return Page([moved_mark(mark, dx, dy) for mark in page.marks],
                [((x0 + dx, y0 + dy, x1 + dx, y1 + dy), key) for (x0, y0, x1, y1), key in page.links],
                [(key, (x + dx, y + dy)) for key, (x, y) in page.anchors], page.parts)


def paper_for(grids: Sequence[Grid], info: SheetInfo, columns: int) -> str:
    """The smallest paper on which every table can be set."""
    need = max(map(least_width, grids), default=0.0) * columns
    for paper in PAPERS:
        x0, _, x1, _ = room_on(paper, info)
        if need <= x1 - x0:
            return paper
    return PAPERS[-1]


def framed(info: SheetInfo, paper: str, marks: Sequence[Primitive], brief: bool = False) -> Sheet:
    """A sheet with frame, title block and caution around what is given."""
    width, height = SIZES[paper]
    frame = frame_box(width, height)
    block = corner(info, frame, brief)
    box = (frame[0], 0.0, frame[2] - TITLE_WIDTH, frame[3])
    said, high = caution(info, box[2] - box[0])
    box = (box[0], frame[3] - max(high, block.box[3] - block.box[1] if brief and block.box else 0.0), box[2], frame[3])
    warned = Furniture("caution", (*(moved_mark(mark, box[0], box[1]) for mark in said), outline(box, WIDE)), box)
    border = [f for f in frame_furniture(paper, width, height, True, block.box, INWARD) if f.name != "centring mark bottom"]  # the caution covers it
    return Sheet(info.sheet, paper, width, height, frame, (*border, block, warned, Furniture("content", tuple(marks))))
