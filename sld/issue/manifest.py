# SPDX-License-Identifier: MIT
"""The manifest of a set, and what differs between two sets of one revision."""
from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

__all__ = ["MANIFEST", "changes", "identity", "manifest", "sha256"]

MANIFEST = "manifest.json"
MADE_BY_LIBRARIES = (".pdf", ".xlsx", ".dxf", ".png")
"""Their bytes follow the versions of libraries; what they show also stands in files of text, whose bytes do not."""
MOST_SAID = 12
"""Rows of a schedule that are named before the rest is only counted."""


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def manifest(head: Mapping[str, Any], files: Mapping[str, bytes]) -> bytes:
    """manifest.json by format 1 of the contract: no clock, user, host or absolute path. head: number, revision, status, version, profiles."""
    listed = [{"path": path, "sha256": sha256(files[path]), "bytes": len(files[path])} for path in sorted(files)]
    return (json.dumps({"format": 1, **head, "files": listed}, ensure_ascii=False, indent=1) + "\n").encode()


def identity(folder: Path) -> tuple[str, str] | None:
    """Number and revision of the set in a folder; None where it has no manifest that can be read."""
    said = read_manifest(folder)
    return (str(said.get("number")), str(said.get("revision"))) if said else None


def read_manifest(folder: Path) -> dict[str, Any]:
    try:
        said = json.loads((folder / MANIFEST).read_bytes())
    except (OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}


def head_of(said: dict[str, Any]) -> dict[str, Any]:
    """A manifest without its list of files."""
    return {key: value for key, value in said.items() if key != "files"}


def changes(folder: Path, files: Mapping[str, bytes]) -> tuple[list[str], list[str]]:
    """What a set on disk and a new one, with its manifest, differ in, a line each, nothing where they have the same content; and, where

    nothing else differs, the files that libraries write otherwise.

    A file that libraries write (PDF, XLSX, DXF, PNG) may differ in its bytes from one version of them to the next: it counts as the same
    while it is as its own manifest says and no file of text differs. Hidden files, which file managers leave, do not count.
    """
    old = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file() and not p.name.startswith(".")}
    listed = read_manifest(folder).get("files", [])
    issued = {f.get("path"): f.get("sha256") for f in listed if isinstance(f, dict)} if isinstance(listed, list) else {}
    texts, made, bytes_alone = [], [], []
    if head_of(read_manifest(folder)) != head_of(json.loads(files[MANIFEST])):
        texts.append(f"{MANIFEST}: changed")
    for path in sorted({*old, *files} - {MANIFEST}):
        lines = list(difference(path, old.get(path), files.get(path)))
        sound = path in old and path in files and issued.get(path) == sha256(old[path].read_bytes())
        by_library = lines and sound and path.endswith(MADE_BY_LIBRARIES)
        (made if by_library else texts).extend(lines)
        bytes_alone += [path] if by_library else []
    return (texts + made, []) if texts else ([], bytes_alone)


def difference(path: str, old: Path | None, new: bytes | None) -> Iterator[str]:
    """How one file differs."""
    if old is None:
        yield f"{path}: new"
    elif new is None:
        yield f"{path}: gone"
    elif (was := old.read_bytes()) != new:
        yield f"{path}: {rows_changed(was, new) if path.endswith('.csv') else 'changed'}"


def rows_changed(was: bytes, new: bytes) -> str:
    """Which objects a schedule lists otherwise, by id."""
    before, after = by_id(was), by_id(new)
    parts = []
    for word, ids in (("new", [i for i in after if i not in before]), ("gone", [i for i in before if i not in after]),
                      ("changed", [i for i in after if i in before and before[i] != after[i]])):
        if ids:
            more = f" and {len(ids) - MOST_SAID} more" if len(ids) > MOST_SAID else ""
            parts.append(f"{word} {', '.join(ids[:MOST_SAID])}{more}")
    return "; ".join(parts) or "changed"


def by_id(data: bytes) -> dict[str, list[list[str]]]:
    """The rows of a schedule by their first column."""
    rows: dict[str, list[list[str]]] = {}
    for row in csv.reader(io.StringIO(data.decode("utf-8", "replace"), newline="")):
        rows.setdefault(row[0] if row else "", []).append(row[1:])
    return rows
