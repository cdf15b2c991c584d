# SPDX-License-Identifier: MIT
"""An issued set as a folder: built aside, moved into place whole, and mended at the next start where a run was killed."""
from __future__ import annotations

import errno
import os
import re
import shutil
import time
from collections.abc import Mapping
from pathlib import Path

from sld.issue.manifest import identity
from sld.issue.refused import Refused

__all__ = ["folder_name", "mend", "put"]

LONGEST = 150
"""Characters of a folder's name; with the process number and an ending it stays under the 255 bytes that file systems allow."""


ON_WINDOWS = os.name == "nt"
PATIENCE = (0.05, 0.1, 0.2, 0.4, 0.5, 0.75)
"""Seconds between attempts, two in all."""


def folder_name(number: str, revision: str) -> str:
    """NUMBER_REV, letters outside [A-Za-z0-9._-] replaced by -. Raises Refused where the name would be too long for a folder."""
    name = "_".join(re.sub(r"[^A-Za-z0-9._-]", "-", part) for part in (number, revision))
    if len(name) > LONGEST:
        raise Refused(f"drawing number and revision have {len(name)} characters together; a folder takes {LONGEST}")
    return name


def put(where: Path, name: str, files: Mapping[str, bytes], over: bool) -> None:
    """Write all files of a set aside and move the folder into place in one step; one that stood there is moved aside first, then removed.

    files: contents by path relative to the folder, with / between its parts
    over: whether a set of this name may stand there already
    Raises Refused where one stands there against that, from a run at the same time. Whatever goes wrong, the old set stands where it stood.
    """
    new, old, target = where / f".{name}.{os.getpid()}", where / f".{name}.{os.getpid()}.old", where / name
    try:
        write_all(new, files)
        if over and target.exists():
            moved(target, old)
        place(new, target)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        if old.exists() and not target.exists():
            moved(old, target)
        raise
    shutil.rmtree(old, ignore_errors=True)


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    for path, data in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)


def place(new: Path, target: Path) -> None:
    """Give a folder its name, which no other may bear: POSIX would take the place of an empty one alone, Windows of none."""
    try:
        moved(new, target)
    except OSError as error:
        if isinstance(error, FileExistsError) or error.errno in (errno.ENOTEMPTY, errno.EEXIST):
            raise Refused(f"another run issued {target.name} at this moment, and it stands; next: run the command again") from error
        raise


def moved(path: Path, to: Path) -> None:
    """Rename a folder. Windows refuses while a program has a file of it open, a virus scanner for a moment: it is tried for two seconds."""
    for wait in PATIENCE:
        try:
            return os.rename(path, to)
        except PermissionError:
            if not ON_WINDOWS or not path.exists():
                raise
            time.sleep(wait)
    try:
        os.rename(path, to)
    except PermissionError as error:
        raise Refused(f"{path.name} cannot be moved: a program has a file of it open; next: close what shows it, then run the command again") from error


def mend(where: Path, number: str) -> list[str]:
    """Remove or restore what killed runs left of this drawing number, in any revision; says what was done, in sentences."""
    said = []
    stem = re.escape(folder_name(number, ""))
    left = sorted(p for p in where.glob(".*") if p.is_dir() and not p.is_symlink()) if where.is_dir() else []
    # the old set first: where it has to be restored, its new one must not be taken for it
    for path in sorted(left, key=lambda p: not p.name.endswith(".old")):
        match = re.fullmatch(rf"\.({stem}[A-Za-z0-9._-]*)\.(\d+)(\.old)?", path.name)
        if match is None or issued_as(path) == path.name:
            continue
        target = where / match[1]
        if match[3] and not comes(target, int(match[2])):
            moved(path, target)
            said.append(f"{match[1]}: restored after a run that was cut off")
        elif not alive(int(match[2])):
            shutil.rmtree(path, ignore_errors=True)
            said.append(f"{path.name}: {'cannot be removed' if path.exists() else 'removed'}, left by a run that was cut off")
    return said


def issued_as(folder: Path) -> str | None:
    """The name under which the set in a folder was issued: a number that begins with a dot makes one that looks like a leftover."""
    said = identity(folder)
    return None if said is None else folder_name(*said)


def comes(target: Path, process: int) -> bool:
    """Whether a set stands there; where a run of that number is about to put one there it gets a moment, since its old one is aside."""
    for wait in PATIENCE:
        if target.exists() or not alive(process):
            break
        time.sleep(wait)
    return target.exists()


def alive(process: int) -> bool:
    """Whether another process of this number is running. Our own number left by an earlier run (containers count from 1) is not."""
    if process == os.getpid():
        return False
    if ON_WINDOWS:
        return alive_on_windows(process)
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def alive_on_windows(process: int) -> bool:
    """The same where signal 0 would stop the process: a process that runs has the exit code 259 (STILL_ACTIVE, winbase.h, from memory).

    One of another user may not be looked at: ERROR_ACCESS_DENIED, 5 (winerror.h, from memory).
    """
    import ctypes

    kernel = ctypes.WinDLL("kernel32", use_last_error=True)  # type: ignore[attr-defined]
    handle = kernel.OpenProcess(0x1000, False, process)  # PROCESS_QUERY_LIMITED_INFORMATION
    if not handle:
        return bool(ctypes.get_last_error() == 5)  # type: ignore[attr-defined]
    code = ctypes.c_ulong()
    kernel.GetExitCodeProcess(handle, ctypes.byref(code))
    kernel.CloseHandle(handle)
    return code.value == 259
