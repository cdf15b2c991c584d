# SPDX-License-Identifier: MIT
"""Symbols as compiled.json keeps them, so that a drawing need not load schemdraw; rebuild.py writes that file."""
from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from sld.primitives import Arc, Circle, Pen, Polyline, Port, Primitive, Symbol, Text

__all__ = ["FILE", "families", "kept_symbol"]

FILE = Path(__file__).with_name("compiled.json")


@cache
def _kept() -> dict[str, dict[str, Any]]:
    """The file: families, then kinds, then what a symbol consists of."""
    kept: dict[str, dict[str, Any]] = json.loads(FILE.read_text(encoding="utf-8"))
    return kept


@cache
def _by_kind() -> dict[str, Any]:
    return {kind: made for kinds in _kept().values() for kind, made in kinds.items()}


def families() -> dict[str, tuple[str, ...]]:
    """Kinds by the name of their family."""
    return {name: tuple(kinds) for name, kinds in _kept().items()}


@cache
def kept_symbol(kind: str) -> Symbol:
    """A symbol of the file. Raises KeyError for a kind that it has not."""
    made = _by_kind()[kind]
    ports = {name: Port((x, y), direction) for name, (x, y, direction) in made["ports"].items()}
    x0, y0, x1, y1 = made["bbox"]
    strokes, (x, y) = tuple(map(_stroke, made["strokes"])), made["label_at"]
    return Symbol(kind, strokes, ports, (x0, y0, x1, y1), (x, y), made["legend"], made["source"])


def _stroke(data: list[Any]) -> Primitive:
    name, *parts = data
    if name == "line":
        points, dash, closed, fill = parts
        return Polyline(tuple(map(tuple, points)), Pen(dash=tuple(dash)), closed, fill)
    if name == "circle":
        centre, radius, dash, fill = parts
        return Circle(tuple(centre), radius, Pen(dash=tuple(dash)), fill)
    if name == "arc":
        centre, radius, start, end, dash = parts
        return Arc(tuple(centre), radius, start, end, Pen(dash=tuple(dash)))
    at, text, height = parts
    return Text(tuple(at), text, height, "middle")
