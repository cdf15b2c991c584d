# SPDX-License-Identifier: MIT
"""Primitives as entities of a DXF drawing: y is up there, and a look is a layer, a colour, a weight and a line type."""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from topology.dataclass import dataclass

from sld.font import drawable
from sld.primitives import Arc, Circle, Pen, Point, Polyline, Primitive, Text

if TYPE_CHECKING:
    from ezdxf.layouts import BaseLayout

__all__ = ["Attributes", "BLACK", "BY_BLOCK", "Marks", "STYLES", "align", "colour", "line_type", "moved", "pattern", "place_text", "readable",
           "weight"]

STYLES = {False: "LETTERING", True: "LETTERING-BOLD"}
BLACK = 7  # the colour that is black on white and white on black
BY_BLOCK = {"color": 0, "lineweight": -2, "linetype": "BYBLOCK"}
ALONG = 128  # a line type runs on over the corners of a polyline
WEIGHTS = (5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211)  # DXF reference, group 370
Attributes = dict[str, Any]


def weight(width: float) -> int:
    """The nearest weight of line that DXF knows [mm/100]."""
    return min(WEIGHTS, key=lambda known: abs(known - 100 * width))


def line_type(dash: tuple[float, ...]) -> str:
    """Name of the line type with these strokes and gaps [mm]."""
    return "DASH_" + "_".join(f"{length:g}" for length in dash) if dash else "CONTINUOUS"


def pattern(dash: tuple[float, ...]) -> list[float]:
    """Length of a whole period, then strokes and, negative, gaps [mm]."""
    return [sum(dash), *(-length if place % 2 else length for place, length in enumerate(dash))]


def colour(code: str) -> Attributes:
    """#rrggbb as attributes: black follows the background of the screen."""
    return {"color": BLACK} if code == "#000000" else {"color": BLACK, "true_color": int(code[1:], 16)}


def readable(text: str) -> str:
    """Text as one line of DXF, where ^ and %% begin signs of control."""
    return text.replace("^", "^ ").replace("%%", "%%%%%%")


def moved(at: Point, origin: Point) -> Point:
    """A point of a sheet in a drawing with y up, in which the sheet's upper left corner lies at the origin given."""
    return (at[0] + origin[0], origin[1] - at[1])


def align(text: Text) -> Any:
    """Where the base line of a text hangs."""
    from ezdxf.enums import TextEntityAlignment

    return {"start": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER, "end": TextEntityAlignment.RIGHT}[text.anchor]


def place_text(entity: Any, text: Text, origin: Point) -> None:
    """Put a text or an attribute where it belongs, upright or turned."""
    entity.dxf.rotation = 90.0 if text.turned else 0.0
    entity.set_placement(moved(text.at, origin), align=align(text))


@dataclass(frozen=True, slots=True)
class Marks:
    """Draws marks into a block or into model space.

    space  : what receives the entities
    origin : where the upper left corner of the sheet, or the origin of the symbol, lies in it [mm]
    layer  : of all entities
    look   : the attributes of a pen
    """

    space: BaseLayout
    origin: Point
    layer: str
    look: Callable[[Pen], Attributes]

    def add(self, mark: Primitive) -> list[Any]:
        """One primitive; what fills it comes before its outline."""
        if isinstance(mark, Text):
            return self.text(mark)
        filled = [self.hatch(mark)] if isinstance(mark, Polyline | Circle) and mark.fill else []
        return [*filled, self.stroke(mark)]

    def stroke(self, mark: Polyline | Circle | Arc) -> Any:
        """The line of a primitive."""
        attributes = {"layer": self.layer, **self.look(mark.pen)}
        if isinstance(mark, Polyline):
            points = [moved(point, self.origin) for point in mark.points]
            line = self.space.add_lwpolyline(points, close=mark.closed, dxfattribs=attributes)
            line.dxf.flags |= ALONG
            return line
        centre = moved(mark.centre, self.origin)
        if isinstance(mark, Circle):
            return self.space.add_circle(centre, mark.radius, dxfattribs=attributes)
        # clockwise on paper is clockwise with y up too, and DXF draws the other way round
        return self.space.add_arc(centre, mark.radius, -mark.end, -mark.start, dxfattribs=attributes)

    def hatch(self, mark: Polyline | Circle) -> Any:
        """The filling of a shape, in the colour of its pen or one of its own."""
        pen = mark.pen if mark.fill == "pen" else replace(mark.pen, colour=mark.fill or "")
        attributes = self.look(pen) if mark.fill == "pen" else colour(pen.colour)
        kept = {name: value for name, value in attributes.items() if name in ("color", "true_color")}
        hatch = self.space.add_hatch(dxfattribs={"layer": self.layer, **kept})
        if isinstance(mark, Polyline):
            hatch.paths.add_polyline_path([moved(point, self.origin) for point in mark.points], is_closed=True)
        else:
            hatch.paths.add_edge_path().add_arc(moved(mark.centre, self.origin), mark.radius, 0.0, 360.0)
        return hatch

    def text(self, mark: Text) -> list[Any]:
        """Text in its style; a character that the font lacks is an empty box."""
        found: list[Any] = []
        for part in drawable(mark):
            if isinstance(part, Polyline):
                found.append(self.stroke(part))
                continue
            look = self.look(Pen(colour=part.colour))
            kept = {name: value for name, value in look.items() if name in ("color", "true_color")}
            attributes = {"layer": self.layer, "style": STYLES[part.bold], **kept}
            entity = self.space.add_text(readable(part.text), height=part.height, dxfattribs=attributes)
            place_text(entity, part, self.origin)
            found.append(entity)
        return found
