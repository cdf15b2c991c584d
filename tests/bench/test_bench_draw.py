# SPDX-License-Identifier: MIT
"""How long drawing takes: layout on sheets and on one unlimited sheet, documents, whole commands (`pytest tests/bench --benchmark-only`).

`python tests/bench/test_bench_draw.py` prints a table with times on the processor and the growth between the two largest sizes.
"""
from __future__ import annotations

import math
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from sites import site
from sld.files import scenes
from sld.layout import Style, layout
from sld.pdf import pdf
from sld.power_tree import site_forest
from sld.primitives import Scene
from sld.single_line import drawn_sheets, single_line
from sld.sheet.info import SheetInfo
from sld.split import Forest
from topology.collector import no_collection
from topology.flow import Flows
from topology.read import read_bytes

SYMBOLS = [60, 200, 1000, 5000, 20_000]
GALLERY = Path(__file__).resolve().parents[2] / "gallery"
OBJECTS_PER_SYMBOL = 1.75  # cables and loads without a symbol of their own


@cache
def forest(symbols: int) -> Forest:
    """A site with about so many symbols."""
    objects = min(20_000, round(symbols * OBJECTS_PER_SYMBOL))
    made = site_forest(Flows(read_bytes(site(1, objects, 3).encode())))
    copies = max(1, round(symbols * OBJECTS_PER_SYMBOL / objects))  # the generator ends at 20,000 objects
    return made if copies == 1 else repeated(made, copies)


def repeated(made: Forest, copies: int) -> Forest:
    """The same trees several times under other names."""
    def renamed(strip: Any, mark: str) -> Any:
        wire = replace(strip.wire, id=f"{mark}{strip.wire.id}") if strip.wire else None
        home = f"{mark}{strip.enclosure}" if strip.enclosure else None
        return replace(strip, id=f"{mark}{strip.id}", wire=wire, enclosure=home, children=tuple(renamed(kid, mark) for kid in strip.children))

    marks = [f"c{n}-" for n in range(copies)]
    return Forest(tuple(renamed(root, mark) for mark in marks for root in made.roots), (),
                  tuple(replace(e, id=f"{mark}{e.id}") for mark in marks for e in made.enclosures))


def on_sheets(made: Forest) -> int:
    """Laid out on its sheets, with references and furniture."""
    with no_collection():
        return sum(len(sheet.symbols) for sheet in drawn_sheets(made, SheetInfo()))


def unlimited(made: Forest) -> int:
    """On one sheet without end."""
    with no_collection():
        return sum(len(layout(root, made.nets, made.enclosures, Style(21.0)).symbols) for root in made.roots)


@pytest.mark.parametrize("symbols", SYMBOLS)
@pytest.mark.parametrize("step", [on_sheets, unlimited])
def test_layout(benchmark: Any, step: Callable[[Forest], int], symbols: int) -> None:
    made = forest(symbols)
    assert benchmark.pedantic(step, (made,), rounds=3, iterations=1) >= 0.9 * symbols


def command(form: str, folder: Path) -> list[str]:
    """A whole process: check a site of sixty symbols, or draw its single-line diagram (all diagrams: "all")."""
    path = folder / "site.yaml"
    path.write_text(site(1, 105, 1), encoding="utf-8")
    program = [sys.executable, "-m", "sld.cli"]
    if form == "check":
        return [*program, "check", str(path)]
    only = [] if form == "all" else ["--only", "single-line"]
    return [*program, "draw", str(path), "-o", str(folder / "out"), "--format", "svg,pdf,scene" if form == "all" else form, *only]


COMMANDS = ["check", "svg", "pdf", "all"]


@pytest.mark.parametrize("form", COMMANDS)
def test_a_whole_command_for_sixty_symbols(benchmark: Any, form: str, tmp_path: Path) -> None:
    asked = command(form, tmp_path)
    benchmark.pedantic(lambda: subprocess.run(asked, check=True, capture_output=True), rounds=5, iterations=1, warmup_rounds=1)
    assert form == "check" or list((tmp_path / "out").glob(f"single-line*.{'pdf' if form == 'all' else form}"))


def fifty() -> Scene:
    """A diagram of fifty sheets."""
    scene = single_line(Flows(read_bytes(site(1, 420, 3).encode())))
    return Scene(scene.diagram, scene.title, tuple(replace(scene.sheets[n % len(scene.sheets)], number=n + 1) for n in range(50)))


def test_fifty_sheets_to_one_document(benchmark: Any) -> None:
    assert benchmark.pedantic(pdf, (fifty(),), rounds=3, iterations=1).startswith(b"%PDF")


@pytest.mark.parametrize("name", ["cottage", "tender"])
def test_all_diagrams_of_a_site(benchmark: Any, name: str) -> None:
    """Most of it is finding places for notes and legend on each size of sheet."""
    flows = Flows(read_bytes((GALLERY / name / "site.yaml").read_bytes(), "site.yaml", GALLERY / name))
    assert len(benchmark.pedantic(lambda: list(scenes(flows)), rounds=3, iterations=1)) == 5


def _spent(run: Callable[[], object]) -> float:
    """Time on the processor [s] of this process and of those that it starts, the best of five."""
    times = []
    for _ in range(5):
        before = sum(os.times()[:4])
        run()
        times.append(sum(os.times()[:4]) - before)
    return min(times)


def _commands() -> None:
    with TemporaryDirectory() as folder:
        for form in COMMANDS:
            asked = command(form, Path(folder))
            spent = _spent(lambda asked=asked: subprocess.run(asked, check=True, capture_output=True))
            print(f"{form:10} of sixty symbols {spent:7.3f} s")
    scene = fifty()
    print(f"{len(scene.sheets)} sheets to one document {_spent(lambda: pdf(scene)):7.3f} s")


def _table() -> None:
    for step in (on_sheets, unlimited):
        rows = []
        for symbols in SYMBOLS:
            made = forest(symbols)
            runs = []
            for _ in range(3):
                start = time.process_time()
                count = step(made)
                runs.append(time.process_time() - start)
            rows.append((count, min(runs)))
            print(f"{step.__name__:10} {count:6} symbols {min(runs):7.3f} s")
        (n1, t1), (n2, t2) = rows[-2:]
        print(f"{step.__name__:10} grows by n^{math.log(t2 / t1) / math.log(n2 / n1):.2f}")


if __name__ == "__main__":
    _commands()
    _table()
