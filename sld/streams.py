# SPDX-License-Identifier: MIT
"""What the streams of a command can say: any character of a site, wherever it runs."""
from __future__ import annotations

import os
import sys

__all__ = ["speak"]


def speak() -> None:
    """Make both streams take every character. Files and pipes get UTF-8 (Windows would give them the letters of one country, a C locale

    those of ASCII); a console, or an encoding that the user asked for by PYTHONIOENCODING, keeps it, and what it lacks prints as `?`.
    """
    for stream in (sys.stdout, sys.stderr):
        change = getattr(stream, "reconfigure", None)
        if change is None or stream.encoding.lower().replace("-", "") == "utf8":
            continue
        if stream.isatty() or os.environ.get("PYTHONIOENCODING"):
            change(errors="replace")
        else:
            change(encoding="utf-8")
