# SPDX-License-Identifier: MIT
"""A Scene as DXF of release 2010: symbols as blocks with attributes, lines on layers, every sheet a layout. 1 unit is 1 mm, y up."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from typing import TYPE_CHECKING, Any

from sld.dxf_marks import BLACK, BY_BLOCK, STYLES, Attributes, Marks, colour, line_type, moved, pattern, place_text, readable, weight
from sld.font import FAMILY, font_file, missing_glyphs, printable
from sld.primitives import Area, Label, Pen, Placed, Point, Polyline, Primitive, Scene, Sheet, Symbol, Text, Wire
from topology.errors import SiteError

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["dxf"]

NO_EZDXF = "DXF needs the extra 'dxf': pip install 'lv-site-diagrams[dxf]'. SVG, PDF and the schedules work without it."
APART = 50.0  # between sheets in model space [mm]
OURS = "SLD"  # under this name an entity carries the id of its object
VIEWS = "VIEWS"
FURNITURE, MARKS, AREAS, SYMBOLS, TEXT = "SHEET", "MARKS", "BOARDS", "SYMBOLS", "TEXT"
ON_LINES = "conductor strokes"  # furniture that belongs to the drawing: strokes across wires, crosses, triangles
WIRES = {"power": "POWER", "bus": "BUS", "lead": "LEADS", "earth": "EARTH"}
Shape = tuple[str, tuple[Primitive, ...]]


def dxf(scene: Scene, sheets: Sequence[Sheet] | None = None) -> bytes:
    """The drawing in model space, sheet beside sheet, and a layout for each sheet that shows it at full size.

    sheets : those to write; None writes all
    Raises SiteError where the library for DXF is not installed. The same Scene gives the same bytes.
    """
    wanted = scene.sheets if sheets is None else tuple(sheets)
    with _fixed():
        document = _new()
        _line_types(document, wanted)
        _layers(document, wanted)
        draft, x = _Draft(document), 0.0
        for sheet in wanted:
            draft.sheet(sheet, (x, sheet.height))
            _layout(document, sheet, (x, sheet.height))
            x += sheet.width + APART
        if wanted:
            document.layouts.delete("Layout1")
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)  # else the library adds them in the order of a set, which no two runs share
        written = StringIO()
        document.write(written)
    return written.getvalue().encode("utf-8")


@contextmanager
def _fixed() -> Iterator[None]:
    """No clock and no random ids in the file."""
    try:
        import ezdxf
    except ImportError as fault:
        raise SiteError(NO_EZDXF) from fault
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _new() -> Drawing:
    """An empty drawing in mm with our two styles of lettering."""
    import ezdxf
    from ezdxf import units

    document = ezdxf.new("R2010", units=units.MM)
    document.header["$LTSCALE"] = 1.0
    document.header["$PSLTSCALE"] = 0  # a layout shows the same dashes as model space
    document.header["$LWDISPLAY"] = 1
    document.appids.add(OURS)
    for bold, name in STYLES.items():
        style = document.styles.add(name, font=font_file(bold).name)
        style.set_extended_font_data(FAMILY, bold=bold)
    return document


def _pens(sheets: Iterable[Sheet]) -> Iterator[Pen]:
    """All pens that are used."""
    for sheet in sheets:
        yield from (drawn.pen for group in (sheet.areas, sheet.wires, sheet.symbols) for drawn in group)
        marks = [mark for part in sheet.furniture for mark in part.marks]
        marks += [mark for placed in sheet.symbols for mark in placed.symbol.strokes]
        yield from (mark.pen for mark in marks if not isinstance(mark, Text))


def _line_types(document: Drawing, sheets: Sequence[Sheet]) -> None:
    """A line type for each rhythm of dashes, in mm."""
    for dash in dict.fromkeys(pen.dash for pen in _pens(sheets) if pen.dash):
        words = f"strokes and gaps of {' '.join(f'{part:g}' for part in dash)} mm"
        document.linetypes.add(line_type(dash), pattern(dash), description=words)


def _layers(document: Drawing, sheets: Sequence[Sheet]) -> None:
    """Layers with the pen that most of their lines have."""
    used: dict[str, Counter[Pen]] = {layer: Counter() for layer in (FURNITURE, MARKS, AREAS, *WIRES.values(), SYMBOLS, TEXT)}
    for sheet in sheets:
        used[AREAS].update(area.pen for area in sheet.areas)
        used[SYMBOLS].update(placed.pen for placed in sheet.symbols)
        for wire in sheet.wires:
            used[WIRES[wire.kind]][wire.pen] += 1
    for layer, pens in used.items():
        pen = pens.most_common(1)[0][0] if pens else Pen()
        document.layers.add(layer, linetype=line_type(pen.dash), lineweight=weight(pen.width), **colour(pen.colour))
    document.layers.add(VIEWS, color=BLACK, plot=False)


def _layout(document: Drawing, sheet: Sheet, origin: Point) -> None:
    """Paper of the sheet's size with a view of the whole sheet in model space, one to one."""
    paper = document.layouts.new(f"Sheet {sheet.number}")
    size = (sheet.width, sheet.height)
    paper.page_setup(size=size, margins=(0, 0, 0, 0), units="mm", scale=(1, 1), name="", device="")
    middle = moved((sheet.width / 2, sheet.height / 2), origin)
    view = paper.add_viewport((sheet.width / 2, sheet.height / 2), size, middle, sheet.height, dxfattribs={"layer": VIEWS})
    view.dxf.flags |= 0x4000  # the view is locked at its scale


class _Draft:
    """Fills model space, sheet by sheet."""

    def __init__(self, document: Drawing) -> None:
        self.document = document
        self.space = document.modelspace()
        self.blocks: dict[Shape, str] = {}

    def sheet(self, sheet: Sheet, origin: Point) -> None:
        """What covers comes after what is covered, as in the other writers."""
        for part in sheet.furniture:
            self.marks(part.marks, origin, MARKS if part.name == ON_LINES else FURNITURE)
        for area in sheet.areas:
            self.known(self.marks([_rectangle(area)], origin, AREAS), area)
        for wire in sheet.wires:
            self.known(self.marks([Polyline(wire.points, wire.pen)], origin, WIRES[wire.kind]), wire)
        texts = _texts(sheet)
        for placed in sheet.symbols:
            self.symbol(placed, texts.pop(placed.id, []), origin)
        for label in (label for labels in texts.values() for label in labels):
            self.known(self.marks([label.text], origin, TEXT), label)

    def marks(self, marks: Iterable[Primitive], origin: Point, layer: str) -> list[Any]:
        """Marks with their own pens; what the layer says already is left to it."""
        pencil = Marks(self.space, origin, layer, lambda pen: self.look(pen, layer))
        return [entity for mark in marks for entity in pencil.add(mark)]

    def look(self, pen: Pen, layer: str) -> Attributes:
        """A pen as attributes, as far as it differs from that of the layer."""
        wanted = {**colour(pen.colour), "lineweight": weight(pen.width), "linetype": line_type(pen.dash)}
        given = self.document.layers.get(layer).dxf
        if "true_color" not in wanted and given.hasattr("true_color"):
            return wanted
        return {name: value for name, value in wanted.items() if given.get(name) != value}

    def known(self, entities: Iterable[Any], drawn: Area | Wire | Label | Placed) -> None:
        """Entities carry the id of what they stand for."""
        for entity in entities:
            entity.set_xdata(OURS, [(1000, printable(drawn.object))])

    def symbol(self, placed: Placed, labels: Sequence[Label], origin: Point) -> None:
        """A block at its place; its texts are attributes, the id is one that is not seen."""
        attributes = {"layer": SYMBOLS, **self.look(placed.pen, SYMBOLS)}
        insert = self.space.add_blockref(self.block(placed.symbol), moved(placed.at, origin), dxfattribs=attributes)
        self.known([insert], placed)
        unseen = {"layer": TEXT, "height": 2.5, "style": STYLES[False]}
        name = insert.add_attrib("ID", readable(printable(placed.object)), insert.dxf.insert, unseen)
        name.is_invisible = True
        for place, label in enumerate(labels, 1):
            text = label.text
            attributes = {"layer": TEXT, "height": text.height, "style": STYLES[text.bold], **colour(text.colour)}
            attribute = insert.add_attrib(f"TEXT{place}", readable(printable(text.text)), dxfattribs=attributes)
            place_text(attribute, text, origin)
            if missing_glyphs(printable(text.text)):  # the attribute says it, the picture shows empty boxes as elsewhere
                attribute.is_invisible = True
                self.known(self.marks([text], origin, TEXT), label)

    def block(self, symbol: Symbol) -> str:
        """The block of a shape, drawn once: width, colour and dashes come from where it stands."""
        shape = (symbol.kind, symbol.strokes)
        if shape in self.blocks:
            return self.blocks[shape]
        same = sum(kind == symbol.kind for kind, _ in self.blocks)
        name = self.blocks[shape] = symbol.kind.upper() + (f"-{same + 1}" if same else "")
        block = self.document.blocks.new(name)
        pencil = Marks(block, (0.0, 0.0), "0", lambda pen: {**BY_BLOCK, "linetype": line_type(pen.dash) if pen.dash else "BYBLOCK"})
        for mark in symbol.strokes:
            pencil.add(mark)
        for tag, prompt in (("ID", "id of the object"), ("TEXT1", "designation")):
            asked = block.add_attdef(tag, dxfattribs={"prompt": prompt, "height": 2.5, "style": STYLES[False], "layer": TEXT})
            place_text(asked, Text(symbol.label_at, ""), (0.0, 0.0))
            asked.is_invisible = tag == "ID"
        return name


def _texts(sheet: Sheet) -> dict[str, list[Label]]:
    """Labels by what they belong to."""
    found: dict[str, list[Label]] = {}
    for label in sheet.labels:
        found.setdefault(label.of, []).append(label)
    return found


def _rectangle(area: Area) -> Polyline:
    x0, y0, x1, y1 = area.bbox
    return Polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), area.pen, True)
