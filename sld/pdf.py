# SPDX-License-Identifier: MIT
"""A Scene as PDF: all sheets at their exact size, straight from the primitives, with the font inside and text that can be searched."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from sld.font import drawable, font_file, font_size, from_start, printable
from sld.primitives import Arc, Area, Circle, Pen, Placed, Polyline, Primitive, Scene, Sheet, Text
from sld.svg import sweep

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["marks", "pdf"]

POINTS = 72 / 25.4  # points in a mm
FONTS = {False: "lettering", True: "lettering-bold"}


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
    canvas.setTitle(title)
    canvas.setSubject(scene.diagram)
    canvas.setAuthor("")
    canvas.setCreator("")
    targets = {label.link for sheet in scene.sheets for label in sheet.labels if label.link}
    for sheet in scene.sheets:
        page(canvas, sheet, f"{title}, sheet {sheet.number}")
        references(canvas, sheet, targets)
        canvas.showPage()
    canvas.save()
    return made.getvalue()


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Once in a process: reportlab keeps a font by its name."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for bold, name in FONTS.items():
        registerFont(TTFont(name, str(font_file(bold))))


def page(canvas: Canvas, sheet: Sheet, title: str) -> None:
    """One sheet. The page's unit becomes the mm and its origin the top left corner; y changes sign at each stroke, for the text's sake."""
    key = f"sheet-{canvas.getPageNumber()}"
    canvas.setPageSize((sheet.width * POINTS, sheet.height * POINTS))
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(title, key)
    canvas.transform(POINTS, 0, 0, POINTS, 0, sheet.height * POINTS)
    canvas.setLineJoin(1)
    for mark in marks(sheet):
        draw(canvas, mark)


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


def marks(sheet: Sheet) -> Iterator[Primitive]:
    """Everything on a sheet at its place and with the pen that it is drawn with, what covers after what is covered."""
    for furniture in sheet.furniture:
        yield from furniture.marks
    yield from map(rectangle, sheet.areas)
    for wire in sheet.wires:
        yield Polyline(wire.points, wire.pen)
    for placed in sheet.symbols:
        for mark in placed.symbol.strokes:
            yield in_place(mark, placed)
    for label in sheet.labels:
        yield label.text


def rectangle(area: Area) -> Polyline:
    x0, y0, x1, y1 = area.bbox
    return Polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), area.pen, True)


def in_place(mark: Primitive, placed: Placed) -> Primitive:
    """A symbol's stroke where it stands, with width and colour of its place; a dash of its own stays."""
    x, y = placed.at
    if isinstance(mark, Text):
        return replace(mark, at=(mark.at[0] + x, mark.at[1] + y), colour=placed.pen.colour)
    pen = Pen(placed.pen.width, mark.pen.dash or placed.pen.dash, placed.pen.colour)
    if isinstance(mark, Polyline):
        return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points), pen=pen)
    return replace(mark, centre=(mark.centre[0] + x, mark.centre[1] + y), pen=pen)


def draw(canvas: Canvas, mark: Primitive) -> None:
    """One primitive."""
    if isinstance(mark, Text):
        for part in drawable(mark):
            text(canvas, part) if isinstance(part, Text) else draw(canvas, part)
        return
    set_pen(canvas, mark.pen)
    if isinstance(mark, Polyline):
        polyline(canvas, mark)
    elif isinstance(mark, Circle):
        x, y = mark.centre
        canvas.circle(x, -y, mark.radius, 1, filled(canvas, mark))
    else:
        arc(canvas, mark)


def set_pen(canvas: Canvas, pen: Pen) -> None:
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dash))
    canvas.setStrokeColor(colour(pen.colour))


@lru_cache(maxsize=64)
def colour(code: str) -> Any:
    """#rrggbb as reportlab wants it; kept, because reading it takes longer than drawing a line."""
    from reportlab.lib.colors import HexColor

    return HexColor(code)


def filled(canvas: Canvas, mark: Polyline | Circle) -> int:
    """Set the colour of a filling; whether there is one, as reportlab wants it."""
    if mark.fill is None:
        return 0
    canvas.setFillColor(colour(mark.pen.colour if mark.fill == "pen" else mark.fill))
    return 1


def polyline(canvas: Canvas, mark: Polyline) -> None:
    path = canvas.beginPath()
    (x, y), *others = mark.points
    path.moveTo(x, -y)
    for x, y in others:
        path.lineTo(x, -y)
    if mark.closed:
        path.close()
    canvas.drawPath(path, 1, filled(canvas, mark))


def arc(canvas: Canvas, mark: Arc) -> None:
    """Clockwise on paper is against the sense of angles where y is up."""
    (x, y), radius = mark.centre, mark.radius
    canvas.arc(x - radius, -y - radius, x + radius, -y + radius, -mark.start, -sweep(mark))


def text(canvas: Canvas, mark: Text) -> None:
    """Characters that the font has, on their base line."""
    x, y = from_start(mark).at
    line = canvas.beginText()
    line.setFont(FONTS[mark.bold], font_size(mark.height, mark.bold))
    line.setFillColor(colour(mark.colour))
    if mark.turned:
        line.setTextTransform(0, 1, -1, 0, x, -y)
    else:
        line.setTextOrigin(x, -y)
    line.textOut(mark.text)
    canvas.drawText(line)
