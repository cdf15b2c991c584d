# SPDX-License-Identifier: MIT
"""Title block after ISO 7200:2004, 180 mm wide, with a strip for the installation and the revision table above it."""
from __future__ import annotations

from sld.layout.text import shorten
from sld.primitives import Box, Furniture, Polyline, Primitive, Text
from sld.sheet.cells import CAPTION, NARROW, TEXT, WIDE, cell, outline
from sld.sheet.info import SheetInfo

__all__ = ["TITLE_WIDTH", "brief_block", "title_block", "title_height"]

TITLE_WIDTH = 180.0
STRIP = 30.0  # height of the strip [mm]
BRIEF = 36.0  # of the title block without the strip [mm]
FIELDS = STRIP + BRIEF
LINE = 5.0  # height of a line of the revision table [mm]
SHOWN = 5  # revisions in the table; the manifest of each issue keeps the older ones
COLUMNS = ((0.0, 14.0, "Rev."), (14.0, 26.0, "Date"), (40.0, 104.0, "Change"), (144.0, 36.0, "By"))

Field = tuple[float, float, float, float, str, str, float, bool]
"""x, y, width, height [mm], caption, text, capital height [mm], bold"""


def title_height(info: SheetInfo) -> float:
    """Of everything in the corner [mm]."""
    return LINE * (1 + max(1, len(info.revisions[-SHOWN:]))) + FIELDS


def title_block(info: SheetInfo, frame: Box) -> Furniture:
    """In the lower right corner of the frame."""
    x, top, y = frame[2] - TITLE_WIDTH, frame[3] - title_height(info), frame[3] - FIELDS
    marks = [*revision_table(info, x, top), *cells(strip_fields(info), x, y), *cells(title_fields(info), x, y + STRIP)]
    box = (x, top, frame[2], frame[3])
    return Furniture("title block", (*marks, outline(box, WIDE), Polyline(((x, y + STRIP), (frame[2], y + STRIP)), WIDE)), box)


def brief_block(info: SheetInfo, frame: Box) -> Furniture:
    """The fields of ISO 7200 alone, for sheets that go on behind one with the whole block."""
    box = (frame[2] - TITLE_WIDTH, frame[3] - BRIEF, frame[2], frame[3])
    return Furniture("title block", (*cells(title_fields(info), box[0], box[1]), outline(box, WIDE)), box)


def cells(fields: list[Field], x: float, y: float) -> list[Primitive]:
    """Fields from their corner on."""
    return [mark for dx, dy, width, height, caption, text, letters, bold in fields
            for mark in cell((x + dx, y + dy, x + dx + width, y + dy + height), caption, text, letters, bold)]


def strip_fields(info: SheetInfo) -> list[Field]:
    """What an installation needs and ISO 7200 does not have."""
    return [
        (0.0, 0.0, 84.0, 9.0, "Site", info.site, TEXT, True),
        (84.0, 0.0, 48.0, 9.0, "Connection identifier", info.connection, TEXT, True),
        (132.0, 0.0, 48.0, 9.0, "Client", info.customer, TEXT, False),
        (0.0, 9.0, 84.0, 12.0, "Address", info.address, TEXT, False),
        (84.0, 9.0, 48.0, 12.0, "Designer", info.designer, TEXT, False),
        (132.0, 9.0, 48.0, 12.0, "Licence, accreditation", info.licence, TEXT, False),
        (0.0, 21.0, 84.0, 9.0, "Network operator, approval", info.approval, TEXT, False),
        (84.0, 21.0, 48.0, 9.0, "Installer", info.installer, TEXT, False),
        (132.0, 21.0, 48.0, 9.0, "Signature of designer", "", TEXT, False),
    ]


def title_fields(info: SheetInfo) -> list[Field]:
    """The fields of ISO 7200, below the strip."""
    return [
        (0.0, 0.0, 60.0, 15.5, "Legal owner", info.owner, TEXT, False),
        (60.0, 0.0, 60.0, 7.75, "Document type", info.document_type, TEXT, False),
        (120.0, 0.0, 60.0, 7.75, "Document status", info.status, TEXT, True),
        (60.0, 7.75, 60.0, 7.75, "Creator", info.creator, TEXT, False),
        (120.0, 7.75, 60.0, 7.75, "Approval person", info.approver, TEXT, False),
        (0.0, 15.5, 104.0, 11.5, "Title", info.title, 3.5, True),
        (0.0, 27.0, 104.0, 9.0, "Supplementary title", info.supplementary, TEXT, False),
        (104.0, 15.5, 76.0, 11.5, "Identification number", info.number, 3.5, True),
        (104.0, 27.0, 14.0, 9.0, "Rev.", info.revision, 3.5, True),
        (118.0, 27.0, 28.0, 9.0, "Date of issue", info.date, TEXT, False),
        (146.0, 27.0, 14.0, 9.0, "Language", info.language, TEXT, False),
        (160.0, 27.0, 20.0, 9.0, "Sheet", f"{info.sheet}/{info.sheets}", TEXT, False),
    ]


def revision_table(info: SheetInfo, x: float, y: float) -> list[Primitive]:
    """Latest change lowest, as it is read together with the title block."""
    marks: list[Primitive] = [Text((x + dx + 1.0, y + 3.4), caption, CAPTION) for dx, _, caption in COLUMNS]
    marks += [outline((x + dx, y, x + dx + width, y + LINE), NARROW) for dx, width, _ in COLUMNS]
    for place in range(max(1, len(info.revisions[-SHOWN:]))):
        y += LINE
        shown = info.revisions[-SHOWN:][place] if info.revisions else None
        texts = (shown.index, shown.date, shown.note, shown.by) if shown else ("", "", "", "")
        for (dx, width, _), text in zip(COLUMNS, texts):
            marks.append(outline((x + dx, y, x + dx + width, y + LINE), NARROW))
            if text:
                marks.append(Text((x + dx + 1.5, y + 3.75), shorten(text, width - 3.0, TEXT), TEXT))
    return marks
