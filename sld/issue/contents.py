# SPDX-License-Identifier: MIT
"""Every file of a set by its path: drawings, schedules, workbook, findings, the site as it was read."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import field
from pathlib import Path

from schedules import SCHEDULES
from schedules.columns import Table
from schedules.render import render
from schedules.write_cautions import CAUTIONS, cautions_text
from topology.dataclass import dataclass
from topology.errors import SiteError
from topology.flow import Flows
from topology.kinds import Said
from topology.report import Report

from sld.files import DIAGRAMS, scene_files, scenes
from sld.issue.purposes import Purpose
from sld.issue.refused import Refused
from sld.primitives import Scene

__all__ = ["Contents", "OURS", "contents", "given_files"]

OURS = ("set.pdf", "workbook.xlsx", "findings.json", "site.yaml", "index.html", "manifest.json", "drawings", "schedules")
"""Names in a set that no file of the user may bear."""


@dataclass
class Contents:
    """What a set consists of. files: by path; left_out: what could not be written here and why."""

    flows: Flows
    report: Report
    purpose: Purpose
    scenes: tuple[Scene, ...]
    tables: tuple[Table, ...]
    files: dict[str, bytes] = field(default_factory=dict)
    left_out: list[str] = field(default_factory=list)


def contents(flows: Flows, report: Report, purpose: Purpose, site: bytes, folder: Path) -> Contents:
    """The files that other files of the set are made from or speak of. Raises Refused where a file of the user cannot be taken along."""
    drawn = tuple(scenes(flows, [name for name in DIAGRAMS if purpose.wants_diagram(name)]))
    tables = tuple(make(flows) for name, make in SCHEDULES.items() if purpose.wants_schedule(name))
    made = Contents(flows, report, purpose, drawn, tables)
    made.files |= given_files(flows, site, folder)
    made.files["findings.json"] = (report.to_json() + "\n").encode()
    for ending in ("svg", "pdf", "dxf"):
        take(made, f"drawings as {ending.upper()}", lambda: in_folder("drawings", drawings(made.scenes, ending)))
    take(made, "schedules", lambda: in_folder("schedules", lists(made)))
    take(made, "workbook", lambda: workbook(made))
    return made


def take(made: Contents, what: str, make: Callable[[], dict[str, bytes]]) -> None:
    """Add files; where the library that writes them is not installed they are left out, and that is said."""
    try:
        made.files |= make()
    except SiteError as error:
        if not isinstance(error.__cause__, ImportError):
            raise
        made.left_out.append(f"{what}: {error}")


def in_folder(name: str, files: dict[str, bytes]) -> dict[str, bytes]:
    return {f"{name}/{path}": data for path, data in files.items()}


def drawings(drawn: tuple[Scene, ...], ending: str) -> dict[str, bytes]:
    return {name: data for scene in drawn for name, data in scene_files(scene, [ending]).items()}


def lists(made: Contents) -> dict[str, bytes]:
    """The schedules that belong to the purpose, as CSV and as pages, and the cautions, which a CSV has no room for."""
    files = render(made.flows, ["csv", "html"])
    wanted = {name: data for name, data in files.items() if made.purpose.wants_schedule(name.partition(".")[0])}
    return {**wanted, CAUTIONS: cautions_text(made.tables, made.flows)}


def workbook(made: Contents) -> dict[str, bytes]:
    from schedules.write_xlsx import xlsx_bytes

    return {"workbook.xlsx": xlsx_bytes(made.tables, made.flows)}


def given_files(flows: Flows, site: bytes, folder: Path) -> dict[str, bytes]:
    """The site file as issued and all files that it names, so that the set can be checked and issued again from its own folder."""
    files = {"site.yaml": site}
    for said in named(flows):
        if said.id.casefold() in OURS or said.id.startswith("."):
            raise Refused(f"{place(said)}: a file of the set is called '{said.id}' already; give yours another name")
        try:
            files[said.id] = (folder / said.id).read_bytes()
        except OSError as error:
            raise Refused(f"{place(said)}: '{said.id}' cannot be read from the folder of the site file: {error.strerror}") from error
    return files


def named(flows: Flows) -> Iterator[Said]:
    """Files that the site names: included types, then attachments."""
    site = flows.site
    for said in site.include if isinstance(site.include, tuple) else ():
        if isinstance(said, Said):
            yield said
    for attachment in site.attachments if isinstance(site.attachments, tuple) else ():
        if isinstance(getattr(attachment, "file", None), Said):
            yield attachment.file


def place(said: Said) -> str:
    return f"{said.mark.file}:{said.mark.line}:{said.mark.column}"
