# SPDX-License-Identifier: MIT
"""All symbols on one sheet, each with its words, its name and the source of its shape: `python -m sld.symbol_sheet -o DIR`."""
from __future__ import annotations

import argparse
import sys
from pathlib import Path

from sld.font import text_box
from sld.layout.model import Drawn
from sld.layout.text import LETTERS, LINE, wrap
from sld.primitives import Label, Placed, Scene, Symbol, Text
from sld.sheet import SheetInfo, compose
from sld.symbols import families, symbol

__all__ = ["main", "symbol_sheet"]

CELL = (62.0, 25.0)  # width and height of a symbol with its text [mm]
AXIS = 9.0  # from the left edge of a cell to the axis of its symbol [mm]
WORDS = 20.0  # from the left edge of a cell to its text [mm]
HEAD = 9.0  # height of a heading [mm]
DOWN = 15  # rows in a column of the sheet
BASE = 3.05  # from the top of a line of text to its base line [mm]


def symbol_sheet() -> Scene:
    """The sheet of all symbols, family by family, read down each column."""
    symbols: list[Placed] = []
    labels: list[Label] = []
    column, y = 0, 0.0
    bottom = DOWN * CELL[1]
    for name, kinds in families().items():
        if y + HEAD + CELL[1] > bottom:
            column, y = column + 1, 0.0
        labels.append(_label(f"family.{name}", kinds[0], Text((column * CELL[0], y + 5.0), name, 3.5, bold=True)))
        y += HEAD
        for kind in kinds:
            if y + CELL[1] > bottom:
                column, y = column + 1, 0.0
            symbols.append(_placed(symbol(kind), column * CELL[0], y))
            labels += _texts(symbol(kind), column * CELL[0], y)
            y += CELL[1]
    drawn = Drawn(tuple(symbols), (), tuple(labels), (), (), (column + 1) * CELL[0], bottom)
    info = SheetInfo(title="Symbols of the diagrams", document_type="Symbol sheet", number="SYMBOLS", final=True, status="for information",
                     notes=("Shapes noted as from memory: compare them with the licensed edition before you rely on a detail.",))
    return Scene("symbols", "Symbols of the diagrams", (compose(drawn, info, ()),))


def _placed(made: Symbol, x: float, y: float) -> Placed:
    """A symbol on the axis of its cell, halfway down."""
    x0, y0, x1, y1 = made.bbox
    return Placed(made.kind, made.kind, made, (x + AXIS - (x0 + x1) / 2, y + (CELL[1] - y1 - y0) / 2), made.legend)


def _texts(made: Symbol, x: float, y: float) -> list[Label]:
    """Words of the legend, the kind, the source."""
    room = CELL[0] - WORDS - 3.0
    lines = [(line, True) for line in wrap(made.legend, room, LETTERS, True)]
    lines += [(line, False) for text in (made.kind, made.source) for line in wrap(text, room)]
    top = y + (CELL[1] - LINE * len(lines)) / 2
    return [_label(f"{made.kind}.text{place}", made.kind, Text((x + WORDS, top + LINE * place + BASE), line, LETTERS, bold=bold))
            for place, (line, bold) in enumerate(lines)]


def _label(name: str, kind: str, text: Text) -> Label:
    return Label(name, kind, kind, text, text_box(text))


def main(argv: list[str] | None = None) -> int:
    """Write the sheet as symbols-1.svg, symbols.pdf and symbols.scene.json; PNG and DXF where they are asked for."""
    from sld.files import scene_files, write_whole

    parser = argparse.ArgumentParser(prog="python -m sld.symbol_sheet", description="All symbols on one sheet.")
    parser.add_argument("-o", dest="folder", type=Path, required=True, help="folder to write to")
    parser.add_argument("--format", default="svg,pdf,scene", help="svg, pdf, png, dxf, scene; separated by commas")
    args = parser.parse_args(argv)
    for name, data in scene_files(symbol_sheet(), args.format.split(",")).items():
        write_whole(args.folder / name, data)
    return 0


if __name__ == "__main__":
    sys.exit(main())
