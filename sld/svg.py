# SPDX-License-Identifier: MIT
"""A sheet as SVG: 1 user unit is 1 mm, every object a group of its own, the font inside the file."""
from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Iterator
from html import escape
from itertools import chain
from math import cos, radians, sin

from sld.font import FAMILY, drawable, font_size, from_start, printable, subset
from sld.primitives import Arc, Area, Circle, Furniture, Label, Pen, Placed, Point, Polyline, Primitive, Scene, Sheet, Symbol, Text, Wire

__all__ = ["svg", "sweep"]

LETTERING = f"Lettering,'{FAMILY}',sans-serif"  # the subset in the file is called otherwise than the font: its licence reserves the name
NAMESPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
Strokes = tuple[Primitive, ...]


def svg(sheet: Sheet, scene: Scene) -> str:
    """One sheet. Text stays text; what comes from the site is escaped; nothing in the file depends on when or where it was made."""
    name, shapes = namer(), {}
    width, height = number(sheet.width), number(sheet.height)
    for placed in sheet.symbols:
        if (key := shape_of(placed.symbol)) not in shapes:
            shapes[key] = name(f"shape-{placed.symbol.kind}")
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [f'<svg {NAMESPACES} {size} font-family="{LETTERING}" fill="none" stroke-linejoin="round">',
             f"<title>{plain(scene.title)}, sheet {sheet.number}</title>", f"<style>{style(sheet)}</style>", "<defs>",
             *(f'<g id="{given}">{drawn(key[1], in_shape)}</g>' for key, given in shapes.items()), "</defs>",
             f'<rect width="{width}" height="{height}" fill="#ffffff"/>', *map(furniture_group, sheet.furniture)]
    lines += (group(name, "area", area, area.object, rectangle(area)) for area in sheet.areas)
    lines += (group(name, "wire", wire, wire.object, polyline(Polyline(wire.points, wire.pen), on_sheet)) for wire in sheet.wires)
    lines += (group(name, "symbol", placed, placed.title or placed.object, use(placed, shapes)) for placed in sheet.symbols)
    lines += (group(name, "label", label, label.object, linked(scene, label, drawn((label.text,), on_sheet))) for label in sheet.labels)
    return "\n".join([*lines, "</svg>\n"])


def shape_of(symbol: Symbol) -> tuple[str, Strokes]:
    """Symbols that look the same share one definition."""
    return (symbol.kind, symbol.strokes)


def namer() -> Callable[[str], str]:
    """Makes ids that XML allows and that occur once."""
    taken: set[str] = set()

    def name(wanted: str) -> str:
        base = id_of(wanted)
        given, copy = base, 1
        while given in taken:
            copy += 1
            given = f"{base}-{copy}"
        taken.add(given)
        return given

    return name


def id_of(wanted: str) -> str:
    """An id that XML allows."""
    base = re.sub(r"[^A-Za-z0-9_.-]", "_", wanted)
    return base if base[:1].isalpha() else f"_{base}"


def style(sheet: Sheet) -> str:
    """The font as far as the sheet needs it, set as wide as it was measured: without kerning and ligatures."""
    letters = {False: set[str](), True: set[str]()}
    for text in texts(sheet):
        letters[text.bold].update(printable(text.text))
    faces = (f"@font-face{{font-family:Lettering;font-weight:{'bold' if bold else 'normal'};src:url(data:font/ttf;base64,"
             f"{b64encode(subset(''.join(used), bold)).decode()})}}\n" for bold, used in letters.items() if used)
    return "".join(faces) + "text{font-kerning:none;font-variant-ligatures:none;white-space:pre}"


def texts(sheet: Sheet) -> Iterator[Text]:
    """All text of a sheet."""
    marks = chain((label.text for label in sheet.labels), *(furniture.marks for furniture in sheet.furniture),
                  *(placed.symbol.strokes for placed in sheet.symbols))
    return (mark for mark in marks if isinstance(mark, Text))


def number(value: float) -> str:
    """At most two decimals, none that says nothing."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def plain(text: str) -> str:
    """Text from the site as XML: escaped, without control characters and what XML forbids."""
    return escape(printable(text), quote=True)


def group(name: Callable[[str], str], kind: str, drawn_object: Area | Wire | Placed | Label, title: str, inner: str) -> str:
    """An object of the site, to be found by its id; the title is what a viewer shows under the pointer."""
    head = f'<g id="{name(drawn_object.id)}" class="{kind}" data-id="{plain(drawn_object.object)}">'
    return f"{head}<title>{plain(title)}</title>{inner}</g>"


def linked(scene: Scene, label: Label, inner: str) -> str:
    """A reference as a link to its place on another sheet, in the file beside this one."""
    if label.link is None:
        return inner
    number, place = label.link
    return f'<a xlink:href="{plain(scene.diagram)}-{number}.svg#{plain(id_of(place))}">{inner}</a>'


def furniture_group(furniture: Furniture) -> str:
    name = plain("-".join(furniture.name.split()))
    return f'<g class="furniture {name}">{drawn(furniture.marks, on_sheet)}</g>'


def use(placed: Placed, shapes: dict[tuple[str, Strokes], str]) -> str:
    """A symbol at its place; width, colour and dash are handed down to its strokes."""
    x, y = placed.at
    place = f'x="{number(x)}" y="{number(y)}"{on_sheet(placed.pen, None)} color="{plain(placed.pen.colour)}"'
    return f'<use xlink:href="#{shapes[shape_of(placed.symbol)]}" {place}/>'


def dashes(pen: Pen) -> str:
    return f' stroke-dasharray="{" ".join(map(number, pen.dash))}"' if pen.dash else ""


def on_sheet(pen: Pen, fill: str | None) -> str:
    """Attributes of a stroke that has its own pen."""
    colour = pen.colour if fill == "pen" else fill
    filled = f' fill="{plain(colour)}"' if colour else ""
    return f'{filled} stroke="{plain(pen.colour)}" stroke-width="{number(pen.width)}"{dashes(pen)}'


def in_shape(pen: Pen, fill: str | None) -> str:
    """Attributes of a stroke in a definition: width and colour come from where it is used."""
    colour = "currentColor" if fill == "pen" else fill
    return (f' fill="{plain(colour)}"' if colour else "") + dashes(pen)


Look = Callable[[Pen, str | None], str]


def drawn(marks: Iterable[Primitive], look: Look) -> str:
    """Primitives one after the other."""
    return "".join(text(mark, look) if isinstance(mark, Text) else polyline(mark, look) if isinstance(mark, Polyline)
                   else circle(mark, look) if isinstance(mark, Circle) else arc(mark, look) for mark in marks)


def polyline(mark: Polyline, look: Look) -> str:
    tag = "polygon" if mark.closed else "polyline"
    return f'<{tag} points="{" ".join(map(pair, mark.points))}"{look(mark.pen, mark.fill)}/>'


def pair(point: Point) -> str:
    return f"{number(point[0])},{number(point[1])}"


def rectangle(area: Area) -> str:
    x0, y0, x1, y1 = area.bbox
    return polyline(Polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), area.pen, True), on_sheet)


def circle(mark: Circle, look: Look) -> str:
    x, y = mark.centre
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(mark.radius)}"{look(mark.pen, mark.fill)}/>'


def sweep(mark: Arc) -> float:
    """Angle that an arc covers, clockwise on paper [degrees, over 0 to 360]."""
    return (mark.end - mark.start) % 360.0 or 360.0


def arc(mark: Arc, look: Look) -> str:
    if sweep(mark) == 360.0:
        return circle(Circle(mark.centre, mark.radius, mark.pen), look)
    (x, y), radius = mark.centre, number(mark.radius)
    ends = [(x + mark.radius * cos(radians(angle)), y + mark.radius * sin(radians(angle))) for angle in (mark.start, mark.end)]
    return f'<path d="M{pair(ends[0])} A{radius} {radius} 0 {int(sweep(mark) > 180)} 1 {pair(ends[1])}"{look(mark.pen, None)}/>'


def text(mark: Text, look: Look) -> str:
    """Text on its base line; characters that the font lacks come back as empty boxes."""
    return "".join(letters(part, look) if isinstance(part, Text) else polyline(part, look) for part in drawable(mark))


def letters(mark: Text, look: Look) -> str:
    """Outer and double spaces count as measured, which renderers do only where text begins at its anchor."""
    spaced = mark.text != " ".join(mark.text.split())
    mark = from_start(mark) if spaced else mark
    x, y = number(mark.at[0]), number(mark.at[1])
    turn = f' transform="rotate(-90 {x} {y})"' if mark.turned else ""
    anchor = f' text-anchor="{mark.anchor}"' if mark.anchor != "start" else ""
    weight = ' font-weight="bold"' if mark.bold else ""
    space = ' xml:space="preserve"' if spaced else ""
    colour = "currentColor" if look is in_shape else plain(mark.colour)
    size = number(font_size(mark.height, mark.bold))
    attributes = f'x="{x}" y="{y}" font-size="{size}" fill="{colour}" stroke="none"{weight}{anchor}{turn}{space}'
    return f"<text {attributes}>{plain(mark.text)}</text>"
