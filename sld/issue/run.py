# SPDX-License-Identifier: MIT
"""From a site that was read to a folder with its set."""
from __future__ import annotations

from importlib import metadata
from pathlib import Path
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.report import Report

from sld.counts import many
from sld.issue.attachments import attachments
from sld.issue.contents import Contents, contents
from sld.issue.document import set_pdf
from sld.issue.fields import lacking
from sld.issue.folder import folder_name, mend, put
from sld.issue.manifest import MANIFEST, changes, identity, manifest
from sld.issue.page import page_bytes
from sld.issue.purposes import Purpose, purpose, purpose_of
from sld.issue.refused import Refused

__all__ = ["Issued", "issue"]


@dataclass(frozen=True)
class Issued:
    """folder: where the set stands; changed: what differs from the set that stood there, nothing for a new one or the same content;

    new: no set of this revision stood there; said: what else the user has to know, in sentences.
    """

    folder: Path
    new: bool
    changed: tuple[str, ...]
    said: tuple[str, ...]


def issue(report: Report, data: bytes, site_folder: Path, where: Path, purpose_name: str | None = None,
          replace: bool = False, strict: bool = False) -> Issued:
    """Issue the set of a site that was read from data, a file in site_folder, as where/NUMBER_REV.

    purpose_name : one of PURPOSES, or None for everything
    replace      : a set of the same revision with other content is replaced
    strict       : a site with findings of severity error is refused
    Raises Refused, with nothing changed but leftovers of killed runs, where number or revision are missing, a file of the user cannot be
    taken along, the purpose asks for something that the site does not say, or another content was issued under the same revision.
    """
    if strict and report.counts["error"]:
        raise Refused(f"the site has {many(report.counts['error'], 'error')}: sld check names what is wrong")
    flows, wanted = Flows(report.read), purpose(purpose_name)
    number, revision = identification(flows)
    name = folder_name(number, revision)
    if wanted.name == "application" and (lacks := lacking(flows)):
        raise Refused(f"an application cannot be issued; the site file lacks {len(lacks)} of what it needs:", *lacks)
    said = mend(where, number)
    made = complete(contents(flows, report, wanted, data, site_folder), number, revision)
    said += remarks(made)
    target = where / name
    if not target.exists():
        put(where, name, made.files, over=False)
        return Issued(target, True, (), tuple(said))
    changed, bytes_alone = changes(target, made.files)
    if changed:
        refuse_overwriting(target, (number, revision), wanted, changed, replace)
    elif bytes_alone and replace:
        changed = [f"{path}: other bytes, as another version of a library or of this program writes them" for path in bytes_alone]
    elif bytes_alone:
        said.append(f"{many(len(bytes_alone), 'file')} would get other bytes, as another version of a library or of this program writes them "
                    f"({', '.join(bytes_alone[:3])}{' …' if len(bytes_alone) > 3 else ''}): --replace writes them")
    if changed:
        put(where, name, made.files, over=True)
    return Issued(target, False, tuple(changed), tuple(said))


def identification(flows: Flows) -> tuple[str, str]:
    """Drawing number and last revision. Raises Refused, naming what is missing."""
    drawing = flows.site.drawing
    revisions = None if isinstance(drawing, Unknown) else drawing.revisions
    last = revisions[-1] if isinstance(revisions, tuple) and revisions else None
    number = None if isinstance(drawing, Unknown) else drawing.number
    missing = [what for what, value in (("drawing: {number: …}", number), ("drawing: {revisions: [{rev: …, date: …}]}", getattr(last, "rev", None)))
               if not isinstance(value, str) or not value.strip()]
    if missing:
        raise Refused("a set is issued under its drawing number and revision; the site file lacks", *(f"  {what}" for what in missing))
    return str(number), str(last.rev)  # type: ignore[union-attr]


def complete(made: Contents, number: str, revision: str) -> Contents:
    """Add the files that speak of the others, the manifest last."""
    bound = attachments(made.flows, made.files)
    made.files["set.pdf"] = set_pdf(made, bound)
    made.files["index.html"] = page_bytes(made, bound)
    made.files[MANIFEST] = manifest(head(made, number, revision), made.files)
    return made


def head(made: Contents, number: str, revision: str) -> dict[str, Any]:
    """What the manifest says before its list of files."""
    status = getattr(made.flows.site.drawing, "status", None)
    profiles = [{"id": p.id, "date": p.date} for p in made.report.profiles]
    return {"number": number, "revision": revision, "status": status if isinstance(status, str) else "", "version": version(), "profiles": profiles}


def version() -> str:
    """Of this program; 0 in a checkout that is not installed."""
    try:
        return metadata.version("lv-site-diagrams")
    except metadata.PackageNotFoundError:
        return "0"


def remarks(made: Contents) -> list[str]:
    """What the user has to know of a set that was made."""
    said = [f"left out: {what}" for what in made.left_out]
    status = getattr(made.flows.site.drawing, "status", None)
    status = status if isinstance(status, str) else "not stated"
    if made.purpose.statuses and status not in made.purpose.statuses:
        said.append(f"the status of the drawing is '{status}'; a set for this purpose usually says '{made.purpose.statuses[0]}'")
    return said


def refuse_overwriting(target: Path, ours: tuple[str, str], wanted: Purpose, changed: list[str], replace: bool) -> None:
    """Raise Refused unless the user asked for it and the folder holds this drawing and revision."""
    if not target.is_dir():
        raise Refused(f"{target} is in the way and is no folder")
    there = identity(target)
    if there is not None and there != ours:
        raise Refused(f"{target.name} holds drawing {there[0]} revision {there[1]}; ours is {ours[0]} revision {ours[1]}: use another folder")
    if there is None and any(target.iterdir()):
        raise Refused(f"{target.name} is not empty and holds no issued set: use another folder")
    if replace:
        return
    there_for = purpose_of(frozenset(path.stem for path in target.glob("schedules/*.csv")))
    if there_for is not None and there_for.listed != wanted.listed:
        raise Refused(f"{target.name} is issued already, {called(there_for)}; this set is {called(wanted)}: each purpose has a folder of its own",
                      f"next: -o {target.parent / (wanted.name or 'everything')}")
    raise Refused(f"{target.name} is issued already, with other content:", *(f"  {line}" for line in changed),
                  "next: raise the revision, use another folder for another purpose, or say --replace")


def called(one: Purpose) -> str:
    return f"for '{one.name}'" if one.name else "with everything in it"
