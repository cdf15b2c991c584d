# SPDX-License-Identifier: MIT
"""The set as one PDF: cover, diagrams, schedules, findings, index of ids, attachments; with bookmarks, and links both ways."""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from sld.font import printable
from sld.issue.attachments import Bound, bind, leaves_of
from sld.issue.contents import Contents
from sld.issue.cover import cover
from sld.issue.index import index_leaves
from sld.issue.leaves import Leaf, in_frame, room_on
from sld.issue.listing import schedule_blocks
from sld.issue.reported import findings_blocks
from sld.pdf import FONTS, POINTS, Letters, binary, content, page, register_fonts
from sld.pdf_marks import Shapes
from sld.primitives import Furniture, Scene, Text
from sld.sheet import SheetInfo
from sld.sheet_info import sheet_info

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["set_pdf"]

TITLES = {"single-line": "Single-line diagram", "bus": "Bus diagram", "sensors": "Sensor diagram", "boards": "Board layout",
          "earthing": "Earthing and neutral"}


def set_pdf(made: Contents, bound: Sequence[Bound]) -> bytes:
    """The document. No clock: the same site, attachments and libraries give the same bytes."""
    info = sheet_info(made.flows, "", power=False, report=made.report)
    body = [*(leaf for scene in made.scenes for leaf in diagram_leaves(scene)),
            *list_leaves(made, info)]
    linked = list(with_links(body))
    tail = leaves_of(bound, info)
    # the index and the cover speak of page numbers, which hang on how many pages they take themselves: the second round knows
    first = len(cover(made, info, [*linked, *tail], 1, bound))
    index = index_leaves(linked, made.flows, info, first)
    front = cover(made, info, [*linked, *index, *tail], first, bound)
    leaves = [*front, *linked, *index, *tail]
    return bind(written(leaves, info), leaves, bound)


def stamp_of(info: SheetInfo) -> str:
    return f"{info.number} rev. {info.revision}"


def diagram_leaves(scene: Scene) -> Iterator[Leaf]:
    """The sheets of a diagram; each object that is drawn is a place, once in a document."""
    for sheet in scene.sheets:
        placed = {**{wire.object: wire.points[0] for wire in sheet.wires}, **{area.object: area.bbox[:2] for area in sheet.areas},
                  **{symbol.object: symbol.bbox[:2] for symbol in sheet.symbols}}
        name = title_of(scene)
        title = name if len(scene.sheets) == 1 else f"{name}, sheet {sheet.number}"
        places = [(f"place {scene.diagram} {sheet.number} {symbol.id}", symbol.bbox[:2]) for symbol in sheet.symbols]
        links = tuple((label.bbox, f"place {scene.diagram} {label.link[0]} {label.link[1]}") for label in sheet.labels if label.link)
        yield Leaf(name, title, sheet, links, (*((f"drawn {key}", at) for key, at in placed.items() if key), *places))


def title_of(scene: Scene) -> str:
    """What a diagram is called in the outline and on the page."""
    return TITLES.get(scene.diagram, f"{scene.diagram} diagram".capitalize())


def list_leaves(made: Contents, info: SheetInfo) -> list[Leaf]:
    """Schedules and findings behind each other on sheets."""
    x0, _, x1, _ = room_on("A3", info, True)
    blocks = (*schedule_blocks(made.tables, made.flows, x1 - x0), *findings_blocks(made.report))
    return in_frame("Schedules and findings", info, blocks)


def with_links(leaves: Sequence[Leaf]) -> Iterator[Leaf]:
    """Links to places that exist; and from each symbol of a diagram to the first row that lists its object."""
    places = {key for leaf in leaves for key, _ in leaf.anchors}
    listed: dict[str, str] = {}
    for leaf in leaves:
        for key, _ in leaf.anchors:
            if key.startswith("listed "):
                listed.setdefault(key.rpartition(" ")[2], key)
    for leaf in leaves:
        kept = [(box, key) for box, key in leaf.links if key in places]
        kept += [(symbol.bbox, listed[symbol.object]) for symbol in leaf.sheet.symbols if symbol.object in listed]
        yield replace(leaf, links=tuple(kept))


def describe(canvas: Canvas, info: SheetInfo) -> None:
    """What a viewer says of the document; its day is that of the revision, so that the clock has no say."""
    canvas.setTitle(printable(f"{info.number} {info.title}".strip()))
    canvas.setSubject(printable(", ".join(filter(None, (info.site, f"revision {info.revision}", info.status)))))
    canvas.setAuthor(printable(info.creator))
    canvas.setCreator("sld")
    if re.fullmatch(r"\d{4}-\d\d-\d\d", info.date):
        canvas.setDateFormatter(lambda *_: f"D:{info.date.replace('-', '')}000000Z")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()


def written(leaves: Sequence[Leaf], info: SheetInfo) -> bytes:
    """All pages as a PDF. A place that occurs twice is the first of them; a link to a place that does not occur is none."""
    from reportlab.pdfgen.canvas import Canvas

    register_fonts()
    out = BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=FONTS[False])
    describe(canvas, info)
    shapes = Shapes(Letters(canvas._doc))
    keys: dict[str, str] = {}
    for leaf in leaves:
        for key, _ in leaf.anchors:
            keys.setdefault(key, f"d{len(keys)}")
    pages = {f"page {number}": f"p{number}" for number in range(1, len(leaves) + 1)}
    done: set[str] = set()
    for number, leaf in enumerate(leaves, 1):
        outline(canvas, leaf, number, leaves, keys)
        place(canvas, leaf, keys, done)
        for box, key in leaf.links:
            if name := {**keys, **pages}.get(key):
                link(canvas, leaf, box, name)
        paint(canvas, leaf, shapes, f"{stamp_of(info)}, page {number} of {len(leaves)} of the set")
    with binary():
        canvas.save()
    return out.getvalue()


def outline(canvas: Canvas, leaf: Leaf, number: int, leaves: Sequence[Leaf], keys: Mapping[str, str]) -> None:
    """Bookmarks: what begins on a page, and below a document its sheets where there are several."""
    canvas.setPageSize((leaf.sheet.width * POINTS, leaf.sheet.height * POINTS))
    canvas.bookmarkPage(f"p{number}")
    before = leaves[number - 2].holds if number > 1 else ()
    for title in leaf.holds:
        if title not in before:
            name = keys.get(f"part {title}") or f"g{number}"  # a name of its own: the library keeps one title a name
            canvas.bookmarkPage(f"g{number}")
            canvas.addOutlineEntry(printable(title), name, 0, closed=True)
    if not leaf.parts and sum(other.document == leaf.document for other in leaves) > 1:
        canvas.addOutlineEntry(printable(leaf.title), f"p{number}", 1)


def place(canvas: Canvas, leaf: Leaf, keys: dict[str, str], done: set[str]) -> None:
    """Named places on a page, with some air above and at the left of them."""
    for key, (x, y) in leaf.anchors:
        if key not in done:
            done.add(key)
            left, top = max(0.0, x - 15.0), min(leaf.sheet.height, leaf.sheet.height - y + 15.0)
            canvas.bookmarkPage(keys[key], fit="XYZ", left=round(left * POINTS, 2), top=round(top * POINTS, 2), zoom=0)


def link(canvas: Canvas, leaf: Leaf, box: tuple[float, float, float, float], name: str) -> None:
    x0, y0, x1, y1 = box
    high = leaf.sheet.height
    canvas.linkAbsolute("", name, tuple(round(v * POINTS, 2) for v in (x0, high - y1, x1, high - y0)), thickness=0)


def paint(canvas: Canvas, leaf: Leaf, shapes: Shapes, stamp: str) -> None:
    """What is drawn on a page; its place in the set stands in the lower margin."""
    sheet = leaf.sheet
    if leaf.picture is not None:
        from reportlab.lib.utils import ImageReader

        x0, y0, x1, y1 = (value * POINTS for value in leaf.picture.box)
        canvas.drawImage(ImageReader(BytesIO(leaf.picture.data)), x0, sheet.height * POINTS - y1, x1 - x0, y1 - y0)
    said = Furniture("stamp", (Text((20.0 if sheet.frame[0] else 4.0, sheet.height - 1.2), stamp, 1.8),))
    page(canvas, sheet, content(replace(sheet, furniture=(*sheet.furniture, said)), shapes))
    canvas.showPage()
