# SPDX-License-Identifier: MIT
"""Are `topology` and `schedules` ours? Other distributions use these import names too."""
from __future__ import annotations

from collections.abc import Callable
from importlib.machinery import ModuleSpec
from pathlib import Path

__all__ = ["stranger"]


def stranger(find: Callable[[str], ModuleSpec | None]) -> str:
    """A line that says which of our packages another one hides; "" where all lie beside `sld`. find: importlib's find_spec."""
    here = Path(__file__).resolve().parent.parent
    for name in ("topology", "schedules"):
        spec = find(name)
        place = Path(spec.origin).resolve().parent.parent if spec is not None and spec.origin else None
        if place != here:
            return f"sld: another package named '{name}' is installed here; install lv-site-diagrams into an environment of its own (see README)"
    return ""
