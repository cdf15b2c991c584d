# SPDX-License-Identifier: MIT
"""How a command ends that cannot do its work: what it says and its exit code."""
from __future__ import annotations

import os
import signal
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from topology.errors import Unusable

__all__ = ["no_reader", "not_done", "stopped", "unusable"]


def unusable(error: Unusable, json: bool) -> int:
    """A file that cannot be opened: the place and the next step on stderr, or the one JSON document on stdout."""
    place = error.finding.mark.file
    if json:
        from topology.report import unopened

        print(unopened(error).to_json())
    else:
        from topology.quoted import cut, visible

        print(f"{visible(place)}:1:1  error  {error.finding.rule}: {cut(str(error))}", f"next: {error.finding.next}", sep="\n", file=sys.stderr)
    return 2


def not_done(error: OSError) -> int:
    """Something that could not be written or read; names the file that the user knows, not the one written aside."""
    place = error.filename2 or error.filename
    what = f"{place} cannot be written" if place else "the output cannot be written"
    print(f"sld: {what}: {error.strerror or error}", "next: see that the folder is there, may be written to and has room, or give another with -o",
          sep="\n", file=sys.stderr)
    return 1


def stopped() -> int:
    """Ctrl-C. The exit code is the usual one of a program that a signal ends: 128 and the number of the signal (POSIX shells)."""
    print("sld: stopped; every file is either as it was or whole", file=sys.stderr)
    return 128 + signal.SIGINT


def no_reader() -> int:
    """The program that read our output has closed it (`sld check … | head`): nothing to say, and nothing more to write at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 1
