# SPDX-License-Identifier: MIT
"""Text in PDF files, read by pdftotext, which is not ours: every word that a drawing places, and every cell of each schedule."""
from __future__ import annotations

import shutil
import subprocess
from collections import Counter
from pathlib import Path
from typing import Any

import pypdf
import pytest
from schedules import SCHEDULES
from sites import site
from sld.files import DIAGRAMS
from sld.pdf import pdf
from sld.primitives import Scene
from test_agreement import GALLERY, varied
from test_issue import issued
from topology.flow import Flows
from topology.read import read_bytes, read_file

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")


def flows_of(which: Any) -> Flows:
    return Flows(read_file(GALLERY / which / "site.yaml") if isinstance(which, str) else read_bytes(varied(site(*which)).encode()))


def words_in(data: bytes, *more: str) -> Counter[str]:
    """What pdftotext reads, word by word, white space apart; in the order of the file, else it joins a hyphen at the end of a line."""
    return Counter(subprocess.run(["pdftotext", "-raw", *more, "-", "-"], input=data, capture_output=True, check=True).stdout.decode().split())


def placed(scene: Scene) -> Counter[str]:
    """Words of two letters or more: a single one may be read as part of its neighbour."""
    return Counter(word for sheet in scene.sheets for label in sheet.labels for word in label.text.text.split() if len(word) > 1)


@pytest.mark.parametrize("which", ["orchard", "part-coupler", (17, 120, 3)], ids=str)
def test_a_drawing_as_pdf_holds_every_word_that_its_layout_places_as_often_as_it_does(which: Any) -> None:
    flows = flows_of(which)
    scenes = [scene for scene in (make(flows) for make in DIAGRAMS.values()) if scene is not None]
    for scene in scenes:
        assert placed(scene) - words_in(pdf(scene)) == Counter(), scene.diagram
    assert sum(map(placed, scenes), Counter()) - words_in(pdf(*scenes)) == Counter()


def bare(word: str) -> str:
    return word.strip("(),;:•'")


@pytest.mark.parametrize("name", ["orchard", "bakery"])
def test_the_set_holds_every_word_of_every_schedule_on_the_pages_of_that_schedule(tmp_path: Path, name: str) -> None:
    """Pages by the bookmarks of the document, which pypdf reads; a schedule may share its last page with the next one."""
    flows = flows_of(name)
    assert issued(GALLERY / name / "site.yaml", tmp_path) == 0
    document = next(tmp_path.glob("*/set.pdf"))
    reader = pypdf.PdfReader(document)
    marks = [(str(item.title), reader.get_destination_page_number(item)) for item in reader.outline if not isinstance(item, list)]
    after = [*(first for _, first in marks[1:]), len(reader.pages)]
    pages = {title: (first + 1, min(last + 1, len(reader.pages))) for (title, first), last in zip(marks, after, strict=True)}
    for make in SCHEDULES.values():
        table = make(flows)
        printed = {part.title for part in table.printed()}  # a wide schedule is printed in two parts
        runs = [run for title, run in pages.items() if title in printed]
        read = {bare(word) for first, last in runs for word in words_in(document.read_bytes(), "-f", str(first), "-l", str(last))}
        told = {bare(word) for row in table.texts() for column, text in zip(table.columns, row, strict=True)
                if not column.usual and not row[0].startswith(f"{text}.") for word in text.split()}  # U1.cable alone names its circuit U1
        assert told - read == set(), table.name
