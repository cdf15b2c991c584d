# SPDX-License-Identifier: MIT
"""What a command loads before it answers: libraries that it does not need stay on the disk."""
from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

GALLERY = Path(__file__).resolve().parent.parent / "gallery"
HEAVY = {"pint", "jsonschema", "cairosvg", "cairocffi", "reportlab", "schemdraw", "fontTools", "ezdxf", "numpy", "matplotlib", "PIL",
         "networkx.algorithms"}
SCRIPT = ("import sys; from sld.cli import main; code = main(sys.argv[1:]); "
          "print(*sorted({name.split('.')[0] for name in sys.modules} | {'networkx.algorithms'} & set(sys.modules)), file=sys.stderr); sys.exit(code)")


@pytest.mark.parametrize(("format_", "needed"), [("", set()), ("svg,scene", set()), ("pdf", {"reportlab", "PIL"})])
def test_a_command_loads_only_the_libraries_that_it_needs(format_: str, needed: set[str], tmp_path: Path) -> None:
    site = str(GALLERY / "boathouse/site.yaml")
    arguments = ["draw", site, "-o", str(tmp_path), "--format", format_] if format_ else ["check", site]
    run = subprocess.run([sys.executable, "-c", SCRIPT, *arguments], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert set(run.stderr.splitlines()[-1].split()) & HEAVY <= needed


WHOLE = """
import sys
from sld.networkx_later import algorithms_later
algorithms_later()
import networkx as nx
assert "networkx.algorithms" not in sys.modules and not hasattr(nx, "__wrapped__")
graph = nx.MultiDiGraph()
graph.add_edge(1, 2)
assert nx.freeze(graph).has_edge(1, 2) and "networkx.algorithms" not in sys.modules
assert nx.has_path(nx.DiGraph([(1, 2), (2, 3)]), 1, 3) and nx.algorithms.dag.ancestors(nx.DiGraph([(1, 2)]), 2) == {1}
try:
    nx.no_such_name
except AttributeError:
    print(*sorted(vars(nx)))
"""


def test_networkx_is_whole_as_soon_as_something_asks_for_more_than_the_graph() -> None:
    later, plain = (subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
                    for script in (WHOLE, "import networkx as nx; print(*sorted(vars(nx)))"))
    assert later == plain
