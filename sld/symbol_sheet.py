# SPDX-License-Identifier: MIT
"""All symbols on one sheet, each with its words, its name and the source of its shape: `python -m sld.symbol_sheet -o DIR`."""
from __future__ import annotations

import argparse
import sys
from pathlib import Path

from topology.dataclass import dataclass

from sld.font import text_box
from sld.layout.model import Drawn
from sld.layout.text import LETTERS, LINE, wrap
from sld.primitives import Label, Placed, Scene, Symbol, Text
from sld.sheet import SheetInfo, compose
from sld.symbols import families, symbol

__all__ = ["main", "symbol_sheet"]

COLUMN = 84.0  # width of a symbol with its text [mm]
AXIS = 9.0  # from the left edge of a column to the middle of its symbols [mm]
WORDS = 19.25  # from the left edge of a column to the text [mm]
HEAD = 8.0  # height of a heading [mm]
AIR = 8.0  # kept free below each symbol and its text [mm]: each line is nearer to its own symbol than to the next
DEEP = (180.0, 250.0, 300.0, 360.0, 550.0)  # heights at which the columns are broken, to choose from [mm]
BASE = 3.05  # from the top of a line of text to its base line [mm]


def symbol_sheet() -> Scene:
    """The sheet of all symbols, family by family, read down each column, on the least paper."""
    info = SheetInfo(title="Symbols of the diagrams", document_type="Symbol sheet", number="SYMBOLS", final=True, status="for information",
                     notes=("Shapes noted as from memory: compare them with the licensed edition before you rely on a detail.",))
    return Scene("symbols", "Symbols of the diagrams", (compose([_drawn(deep) for deep in DEEP], info, ()),))


@dataclass
class _Columns:
    """Where the next symbol comes."""

    deep: float
    x: float = 0.0
    y: float = 0.0

    def room(self, height: float) -> None:
        """Go on in the next column where this one is full."""
        if self.y + height > self.deep:
            self.x, self.y = self.x + COLUMN, 0.0


def _drawn(deep: float) -> Drawn:
    """All symbols in columns of at most this height [mm]."""
    symbols: list[Placed] = []
    labels: list[Label] = []
    at, bottom = _Columns(deep), 0.0
    for name, kinds in families().items():
        at.room(HEAD + sum(AIR + _height(symbol(kind)) for kind in kinds[:2]))
        at.y += AIR if at.y else 0.0
        labels.append(_label(f"{kinds[0]}.family", kinds[0], Text((at.x, at.y + 5.0), name, 3.5, bold=True)))
        at.y += HEAD
        for made in map(symbol, kinds):
            at.room(_height(made))
            symbols.append(_placed(made, at.x, at.y))
            labels += _texts(made, at.x, at.y)
            at.y += _height(made) + AIR
            bottom = max(bottom, at.y)
    return Drawn(tuple(symbols), (), tuple(labels), (), (), at.x + COLUMN, bottom)


def _height(made: Symbol) -> float:
    """Of a symbol or its text, whichever is higher [mm]."""
    return max(made.bbox[3] - made.bbox[1], LINE * len(_lines(made)))


def _placed(made: Symbol, x: float, y: float) -> Placed:
    """A symbol in the middle of the room for it."""
    x0, y0, x1, y1 = made.bbox
    return Placed(made.kind, made.kind, made, (x + AXIS - (x0 + x1) / 2, y + (_height(made) - y1 - y0) / 2), made.legend)


def _lines(made: Symbol) -> list[tuple[str, bool]]:
    """Words of the legend (bold), the kind, the source."""
    room = COLUMN - WORDS - 4.0
    lines = [(line, True) for line in wrap(made.legend, room, LETTERS, True)]
    return lines + [(line, False) for text in (made.kind, made.source) for line in wrap(text, room)]


def _texts(made: Symbol, x: float, y: float) -> list[Label]:
    lines = _lines(made)
    top = y + (_height(made) - LINE * len(lines)) / 2
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
