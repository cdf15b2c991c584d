# SPDX-License-Identifier: MIT
"""Measures every drawing of the gallery and writes the table: `python tests/drawing_metrics.py > gallery/metrics.md`, from the root of the checkout.

Everything is taken from the files that a user has: `*.scene.json` and the SVG of each sheet.
"""
from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator, Sequence
from itertools import product
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

from scene_faults import faults, pairs, pieces

__all__ = ["crossings", "measured", "metrics_page"]

GALLERY = Path(__file__).parents[1] / "gallery"
SVG = "{http://www.w3.org/2000/svg}"
CAP = 0.66  # height of the capitals of the drawings' typeface, in its em
SQUARE = 10.0  # side of the squares in which the filling of a sheet is counted [mm]
HEAD = """# What is measured on every drawing of the gallery

Counted from the files in `gallery/*/out` by `tests/drawing_metrics.py` (`tests/scene_faults.py` says what is a fault); a test compares this page with the files.

- **faults**: symbols, texts, wires, enclosures, frame and blocks of text that overlap, touch or cut each other, wires that do not reach their
  symbols, run through one or on top of another, oblique wires, bars that look joined, text more than 10 mm from what it names.
- **unclear**: texts nearer to something else of the kind that they name than to what they name.
- **crossings** of wires that do not belong together, and those of them at which power and bus cross; **bends** of power wires (on one sheet a
  line that would else be a pair of references may bend).
- **filled**: squares of 10 mm within the frame on which anything is drawn or written, in per cent; of several sheets the mean.
- **least text** in the drawing itself, height of capitals [mm]. Captions of the title block have 1.8 mm (ISO 3098 series).

| drawing | sheets | symbols | faults | unclear | crossings | power × bus | bends | filled | least text |
|---|---|---:|---:|---:|---:|---:|---:|---:|---:|
"""


def metrics_page() -> str:
    """The page as Markdown, a row a drawing."""
    files = sorted(GALLERY.glob("*/out/*.scene.json"))
    return HEAD + "".join(f"| {path.parts[-3]} {path.name.partition('.')[0]} | {' | '.join(row(path))} |\n" for path in files)


def row(path: Path) -> Iterator[str]:
    """The cells of a drawing after its name."""
    sheets = json.loads(path.read_text(encoding="utf-8"))["sheets"]
    sizes = list(dict.fromkeys(sheet["size"] for sheet in sheets))
    yield f"{len(sheets)} × {', '.join(sizes)}"
    found = [measured(sheet) for sheet in sheets]
    yield from (str(sum(one[name] for one in found)) for name in ("symbols", "faults", "unclear", "crossings", "power_bus", "bends"))
    yield f"{sum(map(filled, sheets)) / len(sheets):.0f} %"
    yield f"{least_text(path):.1f}"


def measured(sheet: dict[str, Any]) -> dict[str, int]:
    """The counts of a sheet of a Scene as JSON."""
    shown = as_drawn(sheet)
    wrong = faults(shown)  # type: ignore[arg-type]
    unclear = sum(" is nearer to " in fault for fault in wrong)
    crossed = list(crossings(shown.wires))
    bends = sum(len(straightened(wire.points)) - 2 for wire in shown.wires if wire.kind == "power")
    return {"symbols": len(shown.symbols), "faults": sum(" crosses " not in fault for fault in wrong) - unclear, "unclear": unclear,
            "crossings": len(crossed), "power_bus": sum({a.kind, b.kind} == {"power", "bus"} for a, b in crossed), "bends": bends}


def as_drawn(sheet: dict[str, Any]) -> Any:
    """A sheet with the names that the faults are found by."""
    def things(name: str) -> list[SimpleNamespace]:
        return [SimpleNamespace(**item) for item in sheet[name]]

    symbols = things("symbols")
    for placed in symbols:
        placed.symbol = SimpleNamespace(kind=placed.kind)
    blocks = [SimpleNamespace(box=box) for box in sheet["keepouts"]]
    return SimpleNamespace(symbols=symbols, wires=things("wires"), labels=things("labels"), areas=things("areas"), frame=sheet["frame"],
                           furniture=blocks)


def crossings(wires: Sequence[Any]) -> Iterator[tuple[Any, Any]]:
    """Pairs of wires at each point in which a horizontal stroke of one runs through a vertical one of the other; wires of one net never cross."""
    strokes = [(box, (place, wire)) for place, wire in enumerate(wires) for box in pieces(wire)]
    level = [(box, str(n)) for n, (box, _) in enumerate(strokes) if box[3] - box[1] < 0.01]
    upright = [(box, str(n)) for n, (box, _) in enumerate(strokes) if box[2] - box[0] < 0.01]
    for (a, m), (b, n) in pairs(level, upright):
        (i, one), (j, other) = strokes[int(m)][1], strokes[int(n)][1]
        if i != j and (one.net is None or one.net != other.net) and a[0] + 0.1 < b[0] < a[2] - 0.1 and b[1] + 0.1 < a[1] < b[3] - 0.1:
            yield one, other


def straightened(points: Sequence[Sequence[float]]) -> list[Sequence[float]]:
    """Only the points at which a wire turns, with its ends."""
    inner = [b for a, b, c in zip(points, points[1:], points[2:]) if abs((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])) > 1e-6]
    return [points[0], *inner, points[-1]]


def filled(sheet: dict[str, Any]) -> float:
    """Share of the squares within the frame on which something stands [%]."""
    x0, y0, x1, y1 = sheet["frame"]
    boxes = [thing["bbox"] for name in ("symbols", "labels", "areas") for thing in sheet[name]] + sheet["keepouts"]
    boxes += [box for wire in sheet["wires"] for box in pieces(SimpleNamespace(**wire))]  # type: ignore[arg-type]
    squares = {square for box in boxes for square in product(span(box[0] - x0, box[2] - x0), span(box[1] - y0, box[3] - y0))}
    return 100 * len(squares) / (len(span(0.0, x1 - x0)) * len(span(0.0, y1 - y0)))


def span(low: float, high: float) -> range:
    """Numbers of the squares from low to high [mm]."""
    return range(int(low // SQUARE), int(high // SQUARE) + 1)


def least_text(scene: Path) -> float:
    """Height of the capitals of the smallest label on all sheets of a drawing [mm]."""
    name = scene.name.partition(".")[0]
    roots = [ElementTree.parse(path).getroot() for path in sorted(scene.parent.glob(f"{name}-*.svg")) if re.fullmatch(rf"{name}-\d+\.svg", path.name)]
    sizes = [float(text.get("font-size", "nan")) for root in roots for group in root.iter(f"{SVG}g") if group.get("class") == "label"
             for text in group.iter(f"{SVG}text")]
    return CAP * min(sizes)


if __name__ == "__main__":
    sys.stdout.write(metrics_page())
