# SPDX-License-Identifier: MIT
"""The sheet of symbols: everything on it, nothing on top of anything else."""
from __future__ import annotations

from itertools import combinations
from pathlib import Path

from sld.primitives import Box
from sld.symbol_sheet import main, symbol_sheet
from sld.symbols import kinds, symbol


def meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_every_kind_stands_on_the_sheet_with_its_words_its_name_and_its_source() -> None:
    sheet, = symbol_sheet().sheets
    assert [placed.symbol.kind for placed in sheet.symbols] == list(kinds())
    for kind in kinds():
        words = " ".join(label.text.text for label in sheet.labels if label.id.startswith(f"{kind}.text"))
        assert words == f"{symbol(kind).legend} {kind} {symbol(kind).source}"


def test_nothing_lies_on_anything_else_and_all_lies_within_the_frame() -> None:
    sheet, = symbol_sheet().sheets
    boxes = [*(placed.bbox for placed in sheet.symbols), *(label.bbox for label in sheet.labels)]
    assert not [pair for pair in combinations(boxes, 2) if meet(*pair)]
    kept = [part.box for part in sheet.furniture if part.box]
    assert not [box for box in boxes for other in kept if meet(box, other)]
    x0, y0, x1, y1 = sheet.frame
    assert all(x0 < box[0] and y0 < box[1] and box[2] < x1 and box[3] < y1 for box in boxes)


def test_it_is_written_as_the_files_of_a_diagram(tmp_path: Path) -> None:
    assert main(["-o", str(tmp_path)]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["symbols-1.svg", "symbols.pdf", "symbols.scene.json"]
