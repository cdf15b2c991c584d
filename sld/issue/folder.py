# SPDX-License-Identifier: MIT
"""An issued set as a folder: built aside, moved into place whole, and mended at the next start where a run was killed."""
from __future__ import annotations

import os
import re
import shutil
from collections.abc import Mapping
from pathlib import Path

from sld.issue.refused import Refused

__all__ = ["folder_name", "mend", "put"]

LONGEST = 150
"""Characters of a folder's name; with the process number and an ending it stays under the 255 bytes that file systems allow."""


def folder_name(number: str, revision: str) -> str:
    """NUMBER_REV, letters outside [A-Za-z0-9._-] replaced by -. Raises Refused where the name would be too long for a folder."""
    name = "_".join(re.sub(r"[^A-Za-z0-9._-]", "-", part) for part in (number, revision))
    if len(name) > LONGEST:
        raise Refused(f"drawing number and revision have {len(name)} characters together; a folder takes {LONGEST}")
    return name


def put(where: Path, name: str, files: Mapping[str, bytes]) -> None:
    """Write all files of a set aside and move the folder into place in one step; one that stood there is moved aside first, then removed.

    files: contents by path relative to the folder, with / between its parts
    Whatever goes wrong, the old set stands where it stood.
    """
    new, old, target = where / f".{name}.{os.getpid()}", where / f".{name}.{os.getpid()}.old", where / name
    try:
        for path, data in files.items():
            (new / path).parent.mkdir(parents=True, exist_ok=True)
            (new / path).write_bytes(data)
        if target.exists():
            os.rename(target, old)
        os.rename(new, target)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        if old.exists() and not target.exists():
            os.rename(old, target)
        raise
    shutil.rmtree(old, ignore_errors=True)


def mend(where: Path, number: str) -> list[str]:
    """Remove or restore what killed runs left of this drawing number, in any revision; says what was done, in sentences."""
    said = []
    stem = re.escape(folder_name(number, ""))
    left = sorted(p for p in where.glob(".*") if p.is_dir() and not p.is_symlink()) if where.is_dir() else []
    # the old set first: where it has to be restored, its new one must not be taken for it
    for path in sorted(left, key=lambda p: not p.name.endswith(".old")):
        match = re.fullmatch(rf"\.({stem}[A-Za-z0-9._-]*)\.(\d+)(\.old)?", path.name)
        if match is None:
            continue
        target = where / match[1]
        if match[3] and not target.exists():
            os.rename(path, target)
            said.append(f"{match[1]}: restored after a run that was cut off")
        elif not alive(int(match[2])):
            shutil.rmtree(path)
            said.append(f"{path.name}: removed, left by a run that was cut off")
    return said


def alive(process: int) -> bool:
    """Whether another process of this number is running. Our own number left by an earlier run (containers count from 1) is not."""
    if process == os.getpid():
        return False
    if os.name == "nt":
        return alive_on_windows(process)
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def alive_on_windows(process: int) -> bool:
    """The same where signal 0 would stop the process: a process that runs has the exit code 259 (STILL_ACTIVE, winbase.h, from memory)."""
    import ctypes

    kernel = ctypes.windll.kernel32  # type: ignore[attr-defined]
    handle = kernel.OpenProcess(0x1000, False, process)  # PROCESS_QUERY_LIMITED_INFORMATION
    if not handle:
        return False
    code = ctypes.c_ulong()
    kernel.GetExitCodeProcess(handle, ctypes.byref(code))
    kernel.CloseHandle(handle)
    return code.value == 259
