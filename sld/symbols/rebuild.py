# SPDX-License-Identifier: MIT
"""Draw every symbol with schemdraw and keep the strokes: `python -m sld.symbols.rebuild` writes compiled.json anew.

The functions of the families are the only definition of how a symbol looks; a test compares the file with what they draw.
"""
from __future__ import annotations

import json
import sys
from typing import Any

from sld.primitives import Arc, Circle, Polyline, Primitive, Symbol
from sld.symbols import communication, earthing, loads, marks, measuring, protection, sources, supply, switching
from sld.symbols.base import compile_symbol, declared
from sld.symbols.compiled import FILE

__all__ = ["compiled_text", "drawn_families", "main"]

_FAMILIES = {"Supply": supply, "Measuring": measuring, "Switching": switching, "Protection": protection, "Sources": sources, "Loads": loads,
             "Earthing": earthing, "Communication": communication, "Joints and signs": marks}


def drawn_families() -> dict[str, tuple[str, ...]]:
    """Kinds by the name of their family, as the families draw them."""
    return {name: declared(module.__name__) for name, module in _FAMILIES.items()}


def _data(stroke: Primitive) -> list[Any]:
    """A stroke as it stands in the file; a symbol's strokes have the pen of their place but for dashes of their own."""
    if isinstance(stroke, Polyline):
        return ["line", stroke.points, stroke.pen.dash, stroke.closed, stroke.fill]
    if isinstance(stroke, Circle):
        return ["circle", stroke.centre, stroke.radius, stroke.pen.dash, stroke.fill]
    if isinstance(stroke, Arc):
        return ["arc", stroke.centre, stroke.radius, stroke.start, stroke.end, stroke.pen.dash]
    return ["text", stroke.at, stroke.text, stroke.height]


def compiled_text() -> str:
    """What the file ought to say: everything drawn anew with schemdraw, a line for each symbol."""
    parts = []
    for name, kinds in drawn_families().items():
        lines = ",\n".join(f"{json.dumps(kind)}: {json.dumps(_fields(compile_symbol(kind)), ensure_ascii=False)}" for kind in kinds)
        parts.append(f"{json.dumps(name)}: {{\n{lines}}}")
    return "{" + ",\n".join(parts) + "}\n"


def _fields(made: Symbol) -> dict[str, Any]:
    return {"legend": made.legend, "source": made.source, "bbox": made.bbox, "label_at": made.label_at,
            "ports": {name: (*port.at, port.direction) for name, port in made.ports.items()}, "strokes": list(map(_data, made.strokes))}


def main() -> int:
    """Write the file anew."""
    FILE.write_text(compiled_text(), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
