# SPDX-License-Identifier: MIT
"""What a command loads before it answers: libraries that it does not need stay on the disk."""
from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

GALLERY = Path(__file__).resolve().parent.parent / "gallery"
HEAVY = {"pint", "jsonschema", "cairosvg", "cairocffi", "reportlab", "schemdraw", "fontTools", "ezdxf", "numpy", "matplotlib", "PIL"}
SCRIPT = ("import sys; from sld.cli import main; code = main(sys.argv[1:]); "
          "print(*sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr); sys.exit(code)")


@pytest.mark.parametrize(("format_", "needed"), [("", set()), ("svg,scene", set()), ("pdf", {"reportlab", "PIL"})])
def test_a_command_loads_only_the_libraries_that_it_needs(format_: str, needed: set[str], tmp_path: Path) -> None:
    site = str(GALLERY / "boathouse/site.yaml")
    arguments = ["draw", site, "-o", str(tmp_path), "--format", format_] if format_ else ["check", site]
    run = subprocess.run([sys.executable, "-c", SCRIPT, *arguments], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert set(run.stderr.splitlines()[-1].split()) & HEAVY <= needed
