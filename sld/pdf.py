# SPDX-License-Identifier: MIT
"""A Scene as PDF: all sheets at their exact size, straight from the primitives, with the font inside and text that can be searched."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import field
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from topology.dataclass import dataclass

from sld.font import font_file, printable
from sld.pdf_marks import Ink, Shapes, number
from sld.primitives import Area, Polyline, Scene, Sheet

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["pdf"]

POINTS = 72 / 25.4  # points in a mm
FEW = 12  # boards of a sheet that the outline shows at once
BEFORE = 20.0  # what a viewer shows above and left of a place that a link leads to [mm]
FONTS = {False: "lettering", True: "lettering-bold"}
ESCAPED = [chr(code) if 32 <= code < 127 and chr(code) not in "()\\" else f"\\{code:03o}" for code in range(256)]
"""a byte of a string as a PDF writes it (ISO 32000-1, 7.3.4.2)"""


def pdf(*scenes: Scene) -> bytes:
    """One document of one diagram, or of several: title and author are those of the first.

    The outline names diagrams (where there are several), sheets and boards. No clock: the same Scenes give the same bytes.
    Raises ValueError where there is no Scene, or one without sheets, since a PDF needs a page.
    """
    from reportlab.pdfgen.canvas import Canvas

    if not scenes:
        raise ValueError("a document needs a diagram")
    for scene in scenes:
        if not scene.sheets:
            raise ValueError(f"the diagram {scene.diagram} has no sheet")
    register_fonts()
    made = BytesIO()
    canvas = Canvas(made, invariant=1, pageCompression=1, initialFontName=FONTS[False])
    describe(canvas, scenes)
    lettering = Letters(canvas._doc)
    shapes = Shapes(lettering)
    for scene in scenes:
        diagram(canvas, scene, shapes, int(len(scenes) > 1))
    with binary():
        canvas.save()
    return made.getvalue()


def describe(canvas: Canvas, scenes: Sequence[Scene]) -> None:
    """What a viewer says about the document; it opens with its outline beside it."""
    canvas.setTitle(printable(scenes[0].title))
    canvas.setSubject(", ".join(scene.diagram for scene in scenes))
    canvas.setAuthor(printable(scenes[0].author))
    canvas.setCreator("sld")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()


def diagram(canvas: Canvas, scene: Scene, shapes: Shapes, level: int) -> None:
    """The pages of a diagram. level: of its sheets in the outline; above it stands the diagram itself."""
    targets = {label.link for sheet in scene.sheets for label in sheet.labels if label.link}
    title = printable(scene.title)
    for sheet in scene.sheets:
        page(canvas, sheet, content(sheet, shapes))
        if level and sheet is scene.sheets[0]:
            canvas.bookmarkPage(scene.diagram)
            canvas.addOutlineEntry(scene.diagram, scene.diagram, 0)
        entries(canvas, scene.diagram, sheet, f"{title}, sheet {sheet.number}", level)
        references(canvas, scene.diagram, sheet, targets)
        canvas.showPage()


@contextmanager
def binary() -> Iterator[None]:
    """Streams as bytes: written as letters they take a quarter more room, and most of the time."""
    from reportlab import rl_config

    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Once in a process: reportlab keeps a font by its name."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for bold, name in FONTS.items():
        registerFont(TTFont(name, str(font_file(bold))))


def page(canvas: Canvas, sheet: Sheet, drawn: str) -> None:
    """One sheet. The page's unit becomes the mm and its origin the top left corner; y changes sign at each stroke, for the text's sake."""
    canvas.setPageSize((sheet.width * POINTS, sheet.height * POINTS))
    canvas.transform(POINTS, 0, 0, POINTS, 0, sheet.height * POINTS)
    canvas.setLineJoin(1)
    canvas.addLiteral(drawn)


def entries(canvas: Canvas, name: str, sheet: Sheet, title: str, level: int) -> None:
    """Entries of the outline for a sheet and, below it, for its boards and places."""
    key = f"{name}-sheet-{sheet.number}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(title, key, level, closed=len(sheet.areas) > FEW)
    for area in sheet.areas:
        names = [printable(label.text.text) for label in sheet.labels if label.id.startswith(f"{area.id}.text")]
        place = f"{name}-area-{sheet.number}-{area.id}"
        canvas.bookmarkHorizontal(place, area.bbox[0], -area.bbox[1])
        canvas.addOutlineEntry(" ".join(names) or area.object, place, level + 1)


def references(canvas: Canvas, name: str, sheet: Sheet, targets: set[tuple[int, str]]) -> None:
    """Links from the references of a sheet, and the places on it to which others lead."""
    for placed in sheet.symbols:
        if (sheet.number, placed.id) in targets:
            x0, y0, _, _ = placed.bbox
            canvas.bookmarkHorizontal(place_key(name, sheet.number, placed.id), x0 - BEFORE, BEFORE - y0)
    for label in sheet.labels:
        if label.link:
            x0, y0, x1, y1 = label.bbox
            canvas.linkRect("", place_key(name, *label.link), (x0, -y1, x1, -y0), relative=1, thickness=0)


def place_key(name: str, sheet: int, place: str) -> str:
    """Name of a place in the document; sheets are counted in each diagram anew."""
    return f"{name}-place-{sheet}-{place}"


def content(sheet: Sheet, shapes: Shapes) -> str:
    """Operators of everything on a sheet, what covers after what is covered."""
    ink = Ink(shapes.lettering)
    for furniture in sheet.furniture:
        ink.draw(furniture.marks)
    ink.draw(map(rectangle, sheet.areas))
    ink.draw(Polyline(wire.points, wire.pen) for wire in sheet.wires)
    for placed in sheet.symbols:
        ink.symbol(placed, shapes)
    ink.draw(label.text for label in sheet.labels)
    return "\n".join(ink.code)


def rectangle(area: Area) -> Polyline:
    x0, y0, x1, y1 = area.bbox
    return Polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), area.pen, True)


@dataclass(slots=True)
class Letters:
    """Text as operators, with the letters of the document's own subsets of the font; the same text is made once."""

    document: Any
    made: dict[tuple[str, bool, float], str] = field(default_factory=dict)

    def __call__(self, text: str, bold: bool, size: float) -> str:
        key = (text, bold, size)
        if key not in self.made:
            self.made[key] = " ".join(self.shown(text, bold, size))
        return self.made[key]

    def shown(self, text: str, bold: bool, size: float) -> Iterator[str]:
        """A font and a string for each subset that the text needs: each holds 256 letters."""
        from reportlab.pdfbase.pdfmetrics import getFont

        font = getFont(FONTS[bold])
        for subset, codes in font.splitString(text, self.document):
            yield f"{font.getSubsetInternalName(subset, self.document)} {number(size)} Tf ({''.join(map(ESCAPED.__getitem__, codes))}) Tj"
