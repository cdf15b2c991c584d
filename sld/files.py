# SPDX-License-Identifier: MIT
"""Diagrams as the bytes of their files, written aside and moved into place whole."""
from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from topology.errors import SiteError, Unknown
from topology.flow import Flows

from sld.board_layout import board_layout
from sld.bus_diagram import bus_diagram
from sld.earthing_diagram import earthing_diagram
from sld.primitives import Scene
from sld.revisions import clouded
from sld.scene_json import scene_json
from sld.sensor_diagram import sensor_diagram
from sld.sheet import DoesNotFit
from sld.single_line import single_line
from sld.svg import svg
from sld.views import view as viewed

__all__ = ["DIAGRAMS", "FORMATS", "diagrams", "left_out", "scene_files", "scenes", "write_whole"]

FORMATS = ("svg", "pdf", "png", "dxf", "scene")

DIAGRAMS: Mapping[str, Callable[[Flows], Scene | None]] = {
    "single-line": single_line, "bus": bus_diagram, "sensors": sensor_diagram, "boards": board_layout, "earthing": earthing_diagram}
"""The diagrams by the names of their files. One that has nothing to show is None."""
NOTHING = {"bus": "no bus", "sensors": "no current transformer", "boards": "no board", "earthing": "no earthing"}


def diagrams(flows: Flows, formats: Sequence[str], only: Sequence[str] = (), view: str = "difference",
             faults: list[SiteError] | None = None) -> dict[str, bytes]:
    """The files of the diagrams by name. only: names of diagrams, all where there are none; view: as-found, proposed or difference.

    Raises KeyError for a diagram that nobody draws and for a view that there is not. A diagram that has nothing to show on this site
    has no files: a site without a bus has no bus diagram.

    faults : takes what could not be made, each once, and all else is made; without it the first one is raised
    """
    files: dict[str, bytes] = {}
    for scene in scenes(flows, only, view, faults):
        for format_ in formats:
            with noted(faults):
                files |= scene_files(scene, [format_])
    return files


@contextmanager
def noted(faults: list[SiteError] | None) -> Iterator[None]:
    """Keep a fault in a list, if there is one, and go on."""
    try:
        yield
    except SiteError as fault:
        if faults is None:
            raise
        if str(fault) not in map(str, faults):
            faults.append(fault)


def scenes(flows: Flows, only: Sequence[str] = (), view: str = "difference", faults: list[SiteError] | None = None) -> Iterator[Scene]:
    """The diagrams as scenes, with a cloud round what the last revision changed. faults: as in `diagrams`."""
    seen = viewed(flows, view)
    for name in only or DIAGRAMS:
        scene = None
        with noted(faults):
            scene = drawn(name, seen)
        if scene is not None:
            yield clouded(scene, seen)


def drawn(name: str, flows: Flows) -> Scene | None:
    """A diagram; where it does not fit on the size of sheet that was asked for, the message names the place that asks for it."""
    try:
        return DIAGRAMS[name](flows)
    except DoesNotFit as fault:
        drawing = flows.site.drawing
        mark = None if isinstance(drawing, Unknown) else drawing.marks.get("paper")
        raise DoesNotFit(f"{mark.file}:{mark.line}:{mark.column}: {name}: {fault}" if mark else f"{name}: {fault}") from fault


def left_out(files: Mapping[str, bytes], only: Sequence[str] = ()) -> tuple[str, ...]:
    """A line for each diagram that was asked for and has no files, and why."""
    return tuple(f"{name}: left out, there is {NOTHING[name]} on this site" for name in only or DIAGRAMS
                 if not any(file.startswith((f"{name}-", f"{name}.")) for file in files))


def scene_files(scene: Scene, formats: Sequence[str]) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for sheet in scene.sheets:
        if "svg" in formats:
            files[f"{scene.diagram}-{sheet.number}.svg"] = svg(sheet, scene).encode()
        if "png" in formats:
            from sld.png import png

            files[f"{scene.diagram}-{sheet.number}.png"] = png(sheet, scene)
        if "dxf" in formats:
            from sld.dxf import dxf

            files[f"{scene.diagram}-{sheet.number}.dxf"] = dxf(scene, (sheet,))
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
