# SPDX-License-Identifier: MIT
"""A Scene as JSON, for independent checks of what lies where: mm, two decimals, y down."""
from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from sld.font import printable
from sld.primitives import Area, Label, Placed, Scene, Sheet, Wire

__all__ = ["scene_json"]


def scene_json(scene: Scene) -> str:
    """The document that the contract calls Scene, format 1: one line for each thing drawn, so that two of them compare well.

    Raises ValueError where a coordinate is not finite.
    """
    sheets = ",".join(sheet_text(sheet) for sheet in scene.sheets)
    return f'{{"format":1,"diagram":{written(scene.diagram)},"sheets":[{sheets}]}}\n'


def written(value: Any) -> str:
    """JSON in its shortest form."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def sheet_text(sheet: Sheet) -> str:
    """One sheet; every box of furniture is a place that the drawing keeps free."""
    head = {"sheet": sheet.number, "size": sheet.size, "frame": rounded(sheet.frame),
            "keepouts": [rounded(furniture.box) for furniture in sheet.furniture if furniture.box is not None]}
    lists = {"symbols": map(symbol_data, sheet.symbols), "wires": map(wire_data, sheet.wires),
             "labels": map(label_data, sheet.labels), "areas": map(area_data, sheet.areas)}
    parts = [written(head)[1:-1]]
    parts += [f'"{name}":[' + ",".join(f"\n{written(item)}" for item in items) + "]" for name, items in lists.items()]
    return "\n{" + ",\n".join(parts) + "}"


def rounded(values: Iterable[float]) -> list[float]:
    """Two decimals, and no minus before a zero."""
    return [round(float(value), 2) + 0.0 for value in values]


def symbol_data(placed: Placed) -> dict[str, Any]:
    return {"id": placed.id, "object": placed.object, "kind": placed.symbol.kind, "bbox": rounded(placed.bbox)}


def wire_data(wire: Wire) -> dict[str, Any]:
    return {"id": wire.id, "object": wire.object, "kind": wire.kind, "net": wire.net, "ends": list(wire.ends),
            "points": [rounded(point) for point in wire.points]}


def label_data(label: Label) -> dict[str, Any]:
    return {"id": label.id, "of": label.of, "bbox": rounded(label.bbox), "text": printable(label.text.text), "inside": label.inside}


def area_data(area: Area) -> dict[str, Any]:
    return {"id": area.id, "object": area.object, "bbox": rounded(area.bbox)}
