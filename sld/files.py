# SPDX-License-Identifier: MIT
"""Diagrams as the bytes of their files, written aside and moved into place whole."""
from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from topology.flow import Flows

from sld.bus_diagram import bus_diagram
from sld.primitives import Scene
from sld.scene_json import scene_json
from sld.single_line import single_line
from sld.svg import svg

__all__ = ["DIAGRAMS", "FORMATS", "diagrams", "write_whole"]

DIAGRAMS = ("single-line", "bus")
"""Every diagram that is drawn, by name."""
FORMATS = ("svg", "pdf", "png", "scene")


def diagrams(flows: Flows, formats: Sequence[str]) -> dict[str, bytes]:
    """The files of all diagrams by name; a site without a bus has no bus diagram."""
    scenes = [single_line(flows), bus_diagram(flows)]
    return {name: data for scene in scenes if scene is not None for name, data in _files(scene, formats).items()}


def _files(scene: Scene, formats: Sequence[str]) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for sheet in scene.sheets:
        if "svg" in formats:
            files[f"{scene.diagram}-{sheet.number}.svg"] = svg(sheet, scene).encode()
        if "png" in formats:
            from sld.png import png

            files[f"{scene.diagram}-{sheet.number}.png"] = png(sheet, scene)
    if "pdf" in formats:
        from sld.pdf import pdf

        files[f"{scene.diagram}.pdf"] = pdf(scene)
    if "scene" in formats:
        files[f"{scene.diagram}.scene.json"] = scene_json(scene).encode()
    return files


def write_whole(path: Path, data: bytes) -> None:
    """Write a file aside and replace the old one in one step."""
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        aside.write_bytes(data)
        os.replace(aside, path)
    finally:
        aside.unlink(missing_ok=True)
