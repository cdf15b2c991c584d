# SPDX-License-Identifier: MIT
"""A Scene as PDF: all sheets at their exact size, straight from the primitives, with the font inside and text that can be searched."""
from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from sld.font import font_file, printable
from sld.pdf_marks import Ink, Shapes, number
from sld.primitives import Area, Polyline, Scene, Sheet

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["pdf"]

POINTS = 72 / 25.4  # points in a mm
FEW = 12  # boards of a sheet that the outline shows at once
FONTS = {False: "lettering", True: "lettering-bold"}
ESCAPED = [chr(code) if 32 <= code < 127 and chr(code) not in "()\\" else f"\\{code:03o}" for code in range(256)]
"""a byte of a string as a PDF writes it (ISO 32000-1, 7.3.4.2)"""


def pdf(scene: Scene) -> bytes:
    """One document with a page and an outline entry for each sheet. No clock: the same Scene gives the same bytes.

    Raises ValueError for a Scene without sheets, since a PDF needs a page.
    """
    from reportlab.pdfgen.canvas import Canvas

    if not scene.sheets:
        raise ValueError(f"the diagram {scene.diagram} has no sheet")
    register_fonts()
    made, title = BytesIO(), printable(scene.title)
    canvas = Canvas(made, invariant=1, pageCompression=1, initialFontName=FONTS[False])
    describe(canvas, scene, title)
    targets = {label.link for sheet in scene.sheets for label in sheet.labels if label.link}
    lettering = Letters(canvas._doc)
    shapes = Shapes(lettering)
    for sheet in scene.sheets:
        page(canvas, sheet, f"{title}, sheet {sheet.number}", content(sheet, lettering, shapes))
        references(canvas, sheet, targets)
        canvas.showPage()
    with binary():
        canvas.save()
    return made.getvalue()


def describe(canvas: Canvas, scene: Scene, title: str) -> None:
    """What a viewer says about the document; it opens with its outline beside it."""
    canvas.setTitle(title)
    canvas.setSubject(scene.diagram)
    canvas.setAuthor(printable(scene.author))
    canvas.setCreator("sld")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()


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


def page(canvas: Canvas, sheet: Sheet, title: str, drawn: str) -> None:
    """One sheet. The page's unit becomes the mm and its origin the top left corner; y changes sign at each stroke, for the text's sake."""
    key = f"sheet-{canvas.getPageNumber()}"
    canvas.setPageSize((sheet.width * POINTS, sheet.height * POINTS))
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(title, key, closed=len(sheet.areas) > FEW)
    canvas.transform(POINTS, 0, 0, POINTS, 0, sheet.height * POINTS)
    canvas.setLineJoin(1)
    canvas.addLiteral(drawn)
    for area in sheet.areas:
        boards(canvas, sheet, area)


def boards(canvas: Canvas, sheet: Sheet, area: Area) -> None:
    """An entry of the outline for a board or place, below that of its sheet."""
    key = f"area-{sheet.number}-{area.id}"
    names = [printable(label.text.text) for label in sheet.labels if label.id.startswith(f"{area.id}.text")]
    canvas.bookmarkHorizontal(key, area.bbox[0], -area.bbox[1])
    canvas.addOutlineEntry(" ".join(names) or area.object, key, 1)


def references(canvas: Canvas, sheet: Sheet, targets: set[tuple[int, str]]) -> None:
    """Links from the references of a sheet, and the places on it to which others lead."""
    for placed in sheet.symbols:
        if (sheet.number, placed.id) in targets:
            x0, y0, x1, y1 = placed.bbox
            canvas.bookmarkHorizontal(place_key(sheet.number, placed.id), x0 - 20.0, 20.0 - y0)
    for label in sheet.labels:
        if label.link:
            x0, y0, x1, y1 = label.bbox
            canvas.linkRect("", place_key(*label.link), (x0, -y1, x1, -y0), relative=1, thickness=0)


def place_key(sheet: int, name: str) -> str:
    return f"place-{sheet}-{name}"


def content(sheet: Sheet, lettering: Letters, shapes: Shapes) -> str:
    """Operators of everything on a sheet, what covers after what is covered."""
    ink = Ink(lettering)
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
