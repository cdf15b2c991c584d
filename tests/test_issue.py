# SPDX-License-Identifier: MIT
"""The issued set: whole or not at all, the same again, nothing overwritten unasked."""
from __future__ import annotations

import csv
import ctypes
import dataclasses
import hashlib
import html
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pypdf
import pytest
import sites
from PIL import Image
from reportlab.pdfgen.canvas import Canvas
from schedules import SCHEDULES
from schedules.columns import SIGN_HERE, Column, Row, Table
from sld.cli import main
from sld.font import text_box
from sld.issue import PURPOSES, folder
from sld.issue.alike import apart
from sld.issue.flow import Heading, Paragraph, pages
from sld.issue.folder import folder_name, mend, put
from sld.issue.grid import Grid, least_width, split
from sld.issue.leaves import in_frame
from sld.issue.listing import schedule_blocks
from sld.issue.manifest import manifest
from sld.issue.purposes import told
from sld.issue.refused import Refused
from sld.primitives import Sheet, Text
from sld.sheet import SheetInfo
from topology import site as classes
from topology.application import CONDITIONS, application_fields
from topology.flow import Flows
from topology.profiles import load_profile, profile_names
from topology.read import read_file
from topology.rule import RULES

ROOT = Path(__file__).parents[1]
SITE = ROOT / "gallery/boathouse/site.yaml"
COTTAGE = ROOT / "gallery/cottage/site.yaml"
NAME = "HPB-E-001_A"


def issued(site: Path, where: Path, *more: str) -> int:
    return main(["issue", str(site), "-o", str(where), *more])


def contents_of(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def changed(tmp_path: Path, old: str, new: str) -> Path:
    """The boathouse with one text replaced, in a folder of its own."""
    text = SITE.read_text(encoding="utf-8")
    assert old in text
    folder = tmp_path / f"site{len(list(tmp_path.iterdir()))}"
    folder.mkdir()
    (folder / "site.yaml").write_text(text.replace(old, new), encoding="utf-8")
    return folder / "site.yaml"


@pytest.fixture(scope="module")
def boathouse(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a set; no test writes to it."""
    where = tmp_path_factory.mktemp("issued")
    assert issued(SITE, where) == 0
    return where / NAME


# ---- what is in a set ----

def test_the_manifest_lists_every_other_file_with_its_hash(boathouse: Path) -> None:
    said = json.loads((boathouse / "manifest.json").read_bytes())
    assert list(said) == ["format", "number", "revision", "status", "version", "profiles", "files"]
    assert (said["format"], said["number"], said["revision"], said["status"]) == (1, "HPB-E-001", "A", "for application")
    assert said["profiles"][0]["id"] == "au"
    files = contents_of(boathouse)
    del files["manifest.json"]
    assert [f["path"] for f in said["files"]] == sorted(files)
    for line in said["files"]:  # hashed by the standard library, not by us
        assert line == {"path": line["path"], "sha256": hashlib.sha256(files[line["path"]]).hexdigest(), "bytes": len(files[line["path"]])}


def test_a_set_has_drawings_schedules_findings_and_the_site_as_it_was(boathouse: Path) -> None:
    files = contents_of(boathouse)
    assert {"drawings/single-line-1.svg", "drawings/single-line.pdf", "drawings/bus-1.svg", "schedules/cables.csv", "schedules/cables.html",
            "findings.json", "site.yaml", "manifest.json"} <= set(files)
    assert files["site.yaml"] == SITE.read_bytes()
    assert json.loads(files["findings.json"])["format"] == 1


def test_cautions_lie_beside_the_csv_files_which_hold_one_table_each(boathouse: Path) -> None:
    text = (boathouse / "schedules/cautions.txt").read_text(encoding="utf-8")
    for words in ("HPB-E-001", "several sources", "prove dead", "verified under local rules by a licensed person", "DRAFT, not confirmed", "only a licensed person"):
        assert words in text
    for path in boathouse.glob("schedules/*.csv"):
        rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
        assert len({len(row) for row in rows}) == 1 and not any("prove dead at each" in cell for cell in rows[0])
    told_of = set(re.findall(r"\((\w+)\.csv\)", text))
    assert {"labels", "tests", "terminations"} <= told_of <= {p.stem for p in boathouse.glob("schedules/*.csv")}


def test_no_path_clock_user_or_host_is_in_the_manifest(boathouse: Path) -> None:
    text = (boathouse / "manifest.json").read_text(encoding="utf-8")
    for word in (str(ROOT), str(Path.home()), os.uname().nodename, str(os.getpid()), time.strftime("%Y-%m-%dT")):
        assert word not in text


def test_a_set_can_be_issued_again_from_its_own_folder(boathouse: Path, tmp_path: Path) -> None:
    assert issued(boathouse / "site.yaml", tmp_path) == 0
    assert contents_of(tmp_path / NAME) == contents_of(boathouse)


def test_letters_that_are_none_for_files_become_dashes() -> None:
    assert folder_name("AB/12 é", "1:2") == "AB-12--_1-2"


# ---- once issued ----

def test_the_same_content_is_no_change(boathouse: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = {p: p.stat().st_mtime_ns for p in boathouse.rglob("*")}
    assert issued(SITE, boathouse.parent) == issued(SITE, boathouse.parent, "--replace") == 0
    assert {p: p.stat().st_mtime_ns for p in boathouse.rglob("*")} == before
    assert "nothing was written" in capsys.readouterr().err


def test_other_content_under_the_same_revision_is_refused_and_what_differs_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = tmp_path / "sets"
    issued(SITE, where)
    before = contents_of(where / NAME)
    site = changed(tmp_path, "Cu PVC 11 m in wall", "Cu PVC 12 m in wall")
    capsys.readouterr()
    assert issued(site, where) == 1
    said = capsys.readouterr()
    assert said.out == "" and "issued already, with other content" in said.err and "schedules/cables.csv: changed MSB.7.cable" in said.err
    assert contents_of(where / NAME) == before
    assert [p.name for p in where.iterdir()] == [NAME]


def test_replace_puts_the_new_content_in_place_and_says_what_changed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = tmp_path / "sets"
    issued(SITE, where)
    site = changed(tmp_path, "Cu PVC 11 m in wall", "Cu PVC 12 m in wall")
    capsys.readouterr()
    assert issued(site, where, "--replace") == 0
    said = capsys.readouterr()
    assert "changed MSB.7.cable" in said.err and said.out.strip() == str(where / NAME)
    assert (where / NAME / "site.yaml").read_bytes() == site.read_bytes()
    assert [p.name for p in where.iterdir()] == [NAME]


def test_a_file_that_was_damaged_or_lost_or_added_counts_as_other_content(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    issued(SITE, tmp_path)
    folder = tmp_path / NAME
    (folder / ".hidden").write_bytes(b"left by a file manager")
    assert issued(SITE, tmp_path) == 0
    for path, change, word in (("drawings/bus.pdf", lambda p: p.write_bytes(b"x"), "changed"), ("findings.json", lambda p: p.unlink(), "new"),
                               ("note.txt", lambda p: p.write_bytes(b"x"), "gone")):
        change(folder / path)
        capsys.readouterr()
        assert issued(SITE, tmp_path) == 1
        assert f"{path}: {word}" in capsys.readouterr().err
        assert issued(SITE, tmp_path, "--replace") == 0


def test_bytes_that_only_follow_a_library_are_no_other_content_and_written_on_request(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    issued(SITE, tmp_path)
    path, listed = tmp_path / NAME / "drawings/bus.pdf", tmp_path / NAME / "manifest.json"
    old = hashlib.sha256(path.read_bytes()).hexdigest()
    path.write_bytes(path.read_bytes() + b"% another library\n")
    listed.write_text(listed.read_text(encoding="utf-8").replace(old, hashlib.sha256(path.read_bytes()).hexdigest()), encoding="utf-8")
    capsys.readouterr()
    assert issued(SITE, tmp_path) == 0
    said = capsys.readouterr().err
    assert "nothing was written" in said and "drawings/bus.pdf" in said and "--replace" in said
    assert hashlib.sha256(path.read_bytes()).hexdigest() != old
    assert issued(SITE, tmp_path, "--replace") == 0
    assert "drawings/bus.pdf: other bytes" in capsys.readouterr().err
    assert hashlib.sha256(path.read_bytes()).hexdigest() == old


def test_another_title_block_field_reaches_every_file_that_shows_it(tmp_path: Path) -> None:
    where = tmp_path / "sets"
    issued(SITE, where)
    before = contents_of(where / NAME)
    assert issued(changed(tmp_path, "Issued for application", "Issued once more"), where, "--replace") == 0
    after = contents_of(where / NAME)
    assert {p for p in after if p.endswith((".svg", ".dxf")) and after[p] == before[p]} == set()
    assert "Issued once more" in pdf_text(where / NAME / "set.pdf") and after["manifest.json"] != before["manifest.json"]


def test_another_drawing_of_the_same_folder_name_is_never_replaced(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = tmp_path / "sets"
    issued(changed(tmp_path, "HPB-E-001", "HPB/E 001"), where)
    assert [p.name for p in where.iterdir()] == [NAME]
    assert issued(SITE, where, "--replace") == 1
    assert "holds drawing HPB/E 001" in capsys.readouterr().err


def test_a_folder_that_is_no_set_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / NAME).mkdir()
    (tmp_path / NAME / "mine.txt").write_text("x", encoding="utf-8")
    assert issued(SITE, tmp_path, "--replace") == 1
    assert [p.name for p in (tmp_path / NAME).iterdir()] == ["mine.txt"]


# ---- refused ----

@pytest.mark.parametrize(("old", "new", "named"), [("  number: HPB-E-001\n", "", "number"), ("  number: HPB-E-001\n", "  number: TBC\n", "number"),
                                                   ("    - {rev: A, date: 2026-03-16, note: Issued for application}", "    []", "rev")])
def test_a_set_without_number_or_revision_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, named: str) -> None:
    where = tmp_path / "sets"
    assert issued(changed(tmp_path, old, new), where) == 1
    assert named in capsys.readouterr().err.splitlines()[1]
    assert not where.exists()


def test_a_file_that_cannot_be_used_leaves_the_last_issue(tmp_path: Path) -> None:
    where = tmp_path / "sets"
    issued(SITE, where)
    before = contents_of(where / NAME)
    assert issued(changed(tmp_path, "supply:\n", "supply: ][\n"), where, "--replace") == 2
    assert issued(tmp_path / "none.yaml", where) == 2
    assert contents_of(where / NAME) == before


def test_a_site_with_errors_is_issued_unless_strict(tmp_path: Path) -> None:
    site = changed(tmp_path, "terminators: [BA1, BAT2]", "terminators: [BA1, BAT1]")
    assert issued(site, tmp_path / "sets", "--strict") == 1
    assert issued(site, tmp_path / "sets") == 0


# ---- cut off ----

def test_a_failure_while_writing_leaves_the_old_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path, "A_1", {"a": b"old"}, over=True)
    rename = os.rename

    def failing(old: Path, new: Path) -> None:
        if Path(new).name == "A_1" and Path(old).suffix != ".old":
            raise OSError("disk full")
        rename(old, new)

    monkeypatch.setattr(os, "rename", failing)
    with pytest.raises(OSError, match="disk full"):
        put(tmp_path, "A_1", {"a": b"new"}, over=True)
    assert contents_of(tmp_path) == {"A_1/a": b"old"}


PROGRAM = """
import os, sys
from pathlib import Path
from sld.issue.folder import put
count = int(sys.argv[2])
def stop(event, args):
    global count
    if event in ("os.rename", "os.mkdir") or event == "open" and "w" in str(args[1]):
        count -= 1
        if count < 0:
            os.kill(os.getpid(), 9)
sys.addaudithook(stop)
put(Path(sys.argv[1]), "A_1", {"a": b"new", "b/c": b"new"}, over=True)
"""


def test_a_run_killed_at_any_moment_is_mended_by_the_next_start(tmp_path: Path) -> None:
    """The process kills itself before the n-th file, folder or rename; afterwards the old set or the new one stands, whole."""
    seen = set()
    for n in range(12):
        where = tmp_path / str(n)
        put(where, "A_1", {"a": b"old"}, over=True)
        done = subprocess.run([sys.executable, "-c", PROGRAM, str(where), str(n)], env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
                              capture_output=True, check=False)
        mend(where, "A")
        files = contents_of(where)
        assert files in ({"A_1/a": b"old"}, {"A_1/a": b"new", "A_1/b/c": b"new"}), n
        assert [p.name for p in where.iterdir()] == ["A_1"]
        seen.add((done.returncode, files["A_1/a"]))
    assert {(-signal.SIGKILL, b"old"), (0, b"new")} <= seen


def test_what_a_run_at_work_has_aside_is_left_to_it(tmp_path: Path) -> None:
    other = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
    try:
        for name in (f".A_1.{other.pid}", f".A_2.{os.getpid()}", ".A_3.x", ".B_1.1", "A_1.1"):
            (tmp_path / name).mkdir()
        mend(tmp_path, "A")
        assert sorted(p.name for p in tmp_path.iterdir()) == sorted([f".A_1.{other.pid}", ".A_3.x", ".B_1.1", "A_1.1"])
    finally:
        other.kill()
        other.wait()


def test_a_command_killed_in_the_middle_leaves_no_half_set(tmp_path: Path) -> None:
    """The whole command, killed at some moments by its parent."""
    command = [sys.executable, "-c", "import sys; from sld.cli import main; sys.exit(main())", "issue", str(SITE), "-o", str(tmp_path)]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    for wait in (0.4, 0.8):
        run = subprocess.Popen(command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(wait)
        run.kill()
        run.wait()
        assert not (tmp_path / NAME).exists() or (tmp_path / NAME / "manifest.json").exists()
    assert issued(SITE, tmp_path) == 0
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_two_runs_at_the_same_time_lose_no_set(tmp_path: Path) -> None:
    """The other run puts its set into place after ours has looked; without --replace ours may not take its place."""
    put(tmp_path, "A_1", {"a": b"theirs"}, over=False)
    with pytest.raises(Refused, match="another run issued A_1"):
        put(tmp_path, "A_1", {"a": b"ours"}, over=False)
    assert contents_of(tmp_path) == {"A_1/a": b"theirs"} and [p.name for p in tmp_path.iterdir()] == ["A_1"]


def test_the_old_set_of_a_run_at_work_is_not_restored_under_its_hands(tmp_path: Path) -> None:
    code = f"""
import os, time
from pathlib import Path
where = Path({str(tmp_path)!r})
old, new = where / f".A_1.{{os.getpid()}}.old", where / f".A_1.{{os.getpid()}}"
old.mkdir(), new.mkdir(), (new / "a").write_bytes(b"new")
print("ready", flush=True)
time.sleep(0.3)
os.rename(new, where / "A_1")
time.sleep(60)
"""
    other = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE)
    try:
        assert other.stdout is not None and other.stdout.readline().strip() == b"ready"
        assert mend(tmp_path, "A") == []
        assert contents_of(tmp_path / "A_1") == {"a": b"new"}
    finally:
        other.kill()
        other.wait()


def test_a_set_whose_number_begins_with_a_dot_is_no_leftover(tmp_path: Path) -> None:
    """.A_1.999999 is what a run of A_1 would leave, and the folder of drawing `.A` in revision `1.999999`."""
    head = {"number": ".A", "revision": "1.999999", "status": "", "version": "0", "profiles": []}
    put(tmp_path, folder_name(".A", "1.999999"), {"manifest.json": manifest(head, {})}, over=False)
    put(tmp_path, ".A_1.999998", {"a": b"left"}, over=False)
    assert mend(tmp_path, "A") == [".A_1.999998: removed, left by a run that was cut off"]
    assert [p.name for p in tmp_path.iterdir()] == [".A_1.999999"]


def test_on_windows_a_set_that_is_open_in_a_program_is_left_and_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows renames no folder while a file of it is open (error 5 or 32, from memory); a scanner lets go after a moment."""
    rename, shut = os.rename, [3]

    def renamed(old: Path, new: Path) -> None:
        if Path(old).name == "A_1":
            shut[0] -= 1
            if shut[0] >= 0:
                raise PermissionError(13, "Access is denied")
        rename(old, new)

    put(tmp_path, "A_1", {"a": b"old"}, over=False)
    monkeypatch.setattr(folder, "ON_WINDOWS", True)
    monkeypatch.setattr(os, "rename", renamed)
    monkeypatch.setattr(time, "sleep", lambda seconds: None)
    put(tmp_path, "A_1", {"a": b"new"}, over=True)
    assert contents_of(tmp_path) == {"A_1/a": b"new"}
    shut[0] = 99
    with pytest.raises(Refused, match="a program has a file of it open"):
        put(tmp_path, "A_1", {"a": b"newer"}, over=True)
    assert contents_of(tmp_path) == {"A_1/a": b"new"} and [p.name for p in tmp_path.iterdir()] == ["A_1"]


@pytest.mark.parametrize(("handle", "code", "error", "runs"), [(7, 259, 0, True), (7, 0, 0, False), (0, 0, 87, False), (0, 0, 5, True)])
def test_on_windows_a_process_is_asked_by_its_exit_code(monkeypatch: pytest.MonkeyPatch, handle: int, code: int, error: int, runs: bool) -> None:
    """259 STILL_ACTIVE, 87 ERROR_INVALID_PARAMETER (no such process), 5 ERROR_ACCESS_DENIED: winbase.h and winerror.h, from memory."""
    class Kernel:
        closed = 0

        def OpenProcess(self, wanted: int, inherit: bool, process: int) -> int:  # noqa: N802
            return handle

        def GetExitCodeProcess(self, opened: int, place: Any) -> int:  # noqa: N802
            place._obj.value = code
            return 1

        def CloseHandle(self, opened: int) -> None:  # noqa: N802
            self.closed += 1

    kernel = Kernel()
    monkeypatch.setattr(ctypes, "WinDLL", lambda name, use_last_error: kernel, raising=False)
    monkeypatch.setattr(ctypes, "get_last_error", lambda: error, raising=False)
    monkeypatch.setattr(folder, "ON_WINDOWS", True)
    assert folder.alive(os.getpid() + 1) is runs and kernel.closed == bool(handle)


# ---- the document ----

def pdf_text(path: Path, first: int = 1, last: int = 9999) -> str:
    """What pdftotext, a program that is not ours, reads on some pages of a document."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    return subprocess.run(["pdftotext", "-layout", "-f", str(first), "-l", str(last), str(path), "-"], capture_output=True, check=True).stdout.decode()


def ids_of(folder: Path) -> set[str]:
    """Every id that a drawing or a schedule of a set shows, from the drawings' data-id and the schedules' first column."""
    ids = {html.unescape(i) for p in folder.glob("drawings/*.svg") for i in re.findall(r' data-id="([^"]+)"', p.read_text(encoding="utf-8"))}
    for path in folder.glob("schedules/*.csv"):
        ids |= {row[0] for row in list(csv.reader(path.read_text(encoding="utf-8").splitlines()))[1:] if row[0]}
    return ids


def test_every_id_is_legible_in_the_document(boathouse: Path) -> None:
    words = set(pdf_text(boathouse / "set.pdf").split())
    ids = ids_of(boathouse)
    assert len(ids) > 50 and ids - words == set()


def assert_each_schedule_prints_its_ids(folder: Path) -> None:
    """Each id of a CSV stands on the pages of its own schedule, parts of it included, by the document's bookmarks; its last sheet may hold the next one too."""
    reader = pypdf.PdfReader(folder / "set.pdf")
    marks = [(item.title, reader.get_destination_page_number(item)) for item in reader.outline if not isinstance(item, list)]
    after = [*(first for _, first in marks[1:]), len(reader.pages)]
    pages_of = {title: (first + 1, min(last + 1, len(reader.pages))) for (title, first), last in zip(marks, after, strict=True)}
    flows = Flows(read_file(folder / "site.yaml"))
    for path in sorted(folder.glob("schedules/*.html")):
        table = SCHEDULES[path.stem](flows)
        title = re.search(r"<h1>(.*?)</h1>", path.read_text(encoding="utf-8"))
        assert title is not None and html.unescape(title[1]) == table.title
        parts = [pages_of[part.title] for part in table.printed() if part.rows or part.title in pages_of]
        first, last = parts[0][0], parts[-1][1]
        words = {word.removesuffix(":") for word in pdf_text(folder / "set.pdf", first, last).split()}  # a group is headed by its id
        listed = {row[0] for row in list(csv.reader(path.with_suffix(".csv").read_text(encoding="utf-8").splitlines()))[1:]}
        assert listed - words == set(), path.stem


@pytest.mark.parametrize(("seed", "phases"), [(1, 1), (2, 3)])
def test_every_id_of_a_random_site_is_legible_in_the_document_and_on_the_page(tmp_path: Path, seed: int, phases: int) -> None:
    text = sites.site(seed, 60, phases)
    if "number:" not in text:
        text += "\ndrawing: {number: R-1, status: for tender, revisions: [{rev: A, date: 2026-01-01}]}\n"
    (tmp_path / "site.yaml").write_text(text, encoding="utf-8")
    assert issued(tmp_path / "site.yaml", tmp_path / "sets") == 0
    folder = next((tmp_path / "sets").iterdir())
    ids = ids_of(folder)
    assert ids - set(pdf_text(folder / "set.pdf").split()) == set()
    assert_each_schedule_prints_its_ids(folder)
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert ids - {i for group in re.findall(r' data-ids="([^"]*)"', page) for i in group.split()} == set()


def test_the_document_has_bookmarks_and_its_links_lead_to_its_pages(boathouse: Path) -> None:
    reader = pypdf.PdfReader(boathouse / "set.pdf")
    titles = [item.title for item in reader.outline if not isinstance(item, list)]
    assert titles[:3] == ["Cover", "Single-line diagram", "Bus diagram"] and "Findings and assumptions" in titles and "Index of ids" in titles
    assert len(titles) <= len(reader.pages)
    pages, links = [p.indirect_reference for p in reader.pages], [a.get_object() for p in reader.pages for a in p.get("/Annots", [])]
    assert len(links) > 50
    for link in links:
        assert link["/Subtype"] == "/Link" and "/A" not in link  # within the document only
        assert link["/Dest"][0] in pages
    firsts = [reader.get_destination_page_number(item) for item in reader.outline if not isinstance(item, list)]
    assert {a.get_object()["/Dest"][0].idnum for a in reader.pages[0]["/Annots"]} == {pages[n].idnum for n in firsts[1:]}  # the sheet list


def test_the_cover_lists_every_page_with_its_number(boathouse: Path) -> None:
    pages = pypdf.PdfReader(boathouse / "set.pdf").pages
    text = pages[0].extract_text()
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)} of the set" in page.extract_text()
    for words in ("Heron Point Boathouse", "HPB-E-001", "revision A of 2026-03-16", "for application", "Single-line diagram", "Cable schedule",
                  "CAUTION", "NOT FOR ENERGISING", "licensed person must verify", "Assumed:"):
        assert words in text
    assert "complies" not in pdf_text(boathouse / "set.pdf").lower()


def test_long_text_goes_on_over_the_pages_and_nothing_is_cut() -> None:
    words, long = [f"word{n}" for n in range(3000)], "x" * 400
    grid = Grid(("id", "text"), tuple((f"R{n}", " ".join(words) if n == 3 else f"text {n} {long}") for n in range(60)))
    made = pages([Heading("Title", 5.0), Paragraph(" ".join(words)), grid], 300.0, 150.0, 2)
    texts = [[mark for mark in page.marks if isinstance(mark, Text)] for page in made]
    read = [word for page in texts for mark in page for word in mark.text.split()]
    assert read.count("word7") == 2 and set(words) <= set(read) and {f"R{n}" for n in range(60)} <= set(read)
    assert sum(word.count("x") for word in read if set(word) == {"x"}) == 59 * 400
    for page in texts:
        boxes = [text_box(mark) for mark in page]
        assert all(x0 >= 0 and x1 <= 300.01 and y1 <= 150.5 for x0, _, x1, y1 in boxes)
        assert not any(overlap(a, b) for n, a in enumerate(boxes) for b in boxes[:n])


def test_a_table_that_is_too_wide_goes_on_below_with_its_ids() -> None:
    grid = Grid(("id", *(f"heading{n}" for n in range(30))), tuple((f"R{r}", *(f"c{r}x{n}" for n in range(30))) for r in range(4)), anchors=("a", "b", "c", "d"))
    parts = split(grid, 150.0)
    assert len(parts) > 2 and all(part.titles[0] == "id" and least_width(part) <= 150.0 for part in parts)
    assert [title for part in parts for title in part.titles[1:]] == list(grid.titles[1:])
    assert all(part.rows[2][0] == "R2" for part in parts) and [part.anchors for part in parts[1:]] == [()] * (len(parts) - 1)


def overlap(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] - 0.01 and b[0] < a[2] - 0.01 and a[1] < b[3] - 0.01 and b[1] < a[3] - 0.01


def test_the_set_is_the_same_under_another_seed_zone_and_folder(tmp_path: Path) -> None:
    results = []
    for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": os.pathsep.join(sys.path)}
        subprocess.run([sys.executable, "-c", "import sys; from sld.cli import main; sys.exit(main())", "issue", str(SITE), "-o", str(tmp_path / seed)],
                       env=env, check=True, capture_output=True)
        results.append(contents_of(tmp_path / seed / NAME))
    assert results[0] == results[1]


# ---- purposes ----

def test_an_application_names_each_field_that_is_missing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = changed(tmp_path, 'connection: "7300 0041 92"', "connection: TBC")
    text = site.read_text(encoding="utf-8").replace("licence: EL 00417, ", "").replace("licence: EL 00523, ", "").replace("  allocation: 63 A\n", "").replace("10 mm² 2C+4E Cu XLPE 23 m", "TBC 2C+4E Cu XLPE 23 m")
    site.write_text(text, encoding="utf-8")
    where = tmp_path / "sets"
    assert issued(site, where, "--for", "application") == 1
    said = capsys.readouterr().err
    for words in ("connection identifier (site.connection; site.yaml:6:15", "licence of the designer (people.designer.licence; site.yaml:11",
                  "allocation of the supply (supply.allocation;", "cable SB.3.cable: cross-section (runs.area;"):
        assert words in said
    assert "customer" not in said and "SB.1.cable" not in said
    assert not where.exists()
    assert issued(site, where) == 0  # without a purpose nothing is mandatory but number and revision


@pytest.mark.parametrize(("name", "profile"), [("cottage", "au"), ("boathouse", "au"), ("bakery", "au"), ("ferry", "au"), ("cottage", "nz"), ("cottage", "uk"), ("cottage", "iec")])
def test_a_whole_site_has_all_that_an_application_asks_for(tmp_path: Path, name: str, profile: str) -> None:
    """Its equipment types bear the references of certificates, as operators ask (Jemena, page on solar and renewables)."""
    folder = tmp_path / name
    shutil.copytree(COTTAGE.parents[1] / name, folder, ignore=shutil.ignore_patterns("out"))
    site = folder / "site.yaml"
    site.write_text(site.read_text(encoding="utf-8").replace("profile: [au]", f"profile: [{profile}]"), encoding="utf-8")
    assert issued(site, tmp_path / "sets", "--for", "application") == 0
    (table,) = (tmp_path / "sets").rglob("connection.csv")
    assert "EX 20" in table.read_text(encoding="utf-8-sig")


def test_new_zealand_asks_an_application_for_the_retailer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Part 1A of schedule 6.1 of the Code: a field of the form."""
    site = tmp_path / "site.yaml"
    text = COTTAGE.read_text(encoding="utf-8").replace("  retailer: Tarrow Energy\n", "")
    for profile, code in (("nz", 1), ("au", 0)):
        site.write_text(text.replace("profile: [au]", f"profile: [{profile}]"), encoding="utf-8")
        assert issued(site, tmp_path / "sets", "--for", "application") == code
    assert "retailer at the premises (application.retailer;" in capsys.readouterr().err


def test_every_field_has_a_source_and_exists_in_the_model() -> None:
    asked = {id_ for name in profile_names() for id_, entry in load_profile(name).entries.items() if entry.section == "field"}
    for field in application_fields():
        assert field.what and field.when in CONDITIONS
        assert field.source and field.found in ("text", "second-hand", "memory") or field.id in asked
        part: type = getattr(classes, field.each or "Site")
        for way in field.ways:
            first = {"type": "type_", "runs": "runs"}.get(way.split(".")[0], way.split(".")[0])
            assert hasattr(part, first) or first in {f.name for f in dataclasses.fields(part)}, way


def test_every_field_that_a_profile_asks_for_stands_in_the_one_list_or_has_a_check_of_its_own() -> None:
    asked = {id_ for name in profile_names() for id_, entry in load_profile(name).entries.items() if entry.section == "field"}
    listed = [field.id for field in application_fields() if field.id]
    assert len(listed) == len(set(listed)) and set(listed) == asked - {"field-export-limit-means"}
    assert "field-export-limit-means" in RULES["export-limit-not-enforced"].limits


@pytest.mark.parametrize(("purpose", "has", "lacks"), [("application", {"cables", "circuits"}, {"tests", "survey", "terminations"}),
                                                      ("tender", {"cables"}, {"tests", "connection"}), ("site", {"cables", "buses"}, {"connection"}),
                                                      ("record", {"cables", "sensors"}, set())])
def test_a_set_for_a_purpose_has_what_belongs_to_it(tmp_path: Path, purpose: str, has: set[str], lacks: set[str]) -> None:
    site = changed(tmp_path, "profile: [au]", "profile: [au]")
    assert issued(site, tmp_path / "sets", "--for", purpose) == 0
    folder = tmp_path / "sets" / NAME
    names = {p.stem for p in folder.glob("schedules/*.csv")}
    assert has <= names and not lacks & names
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert {f"list-{name}" for name in names} <= set(re.findall(r'id="([^"]*)"', page))
    assert f"Issued for: {told()[purpose]['title'].lower()}" in pdf_text(folder / "set.pdf")


def test_a_purpose_that_is_none_is_a_slip_of_usage(tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as stop:
        issued(SITE, tmp_path, "--for", "fun")
    assert stop.value.code == 2
    assert set(PURPOSES) == set(told())


def test_another_purpose_of_the_same_revision_is_sent_to_a_folder_of_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = tmp_path / "sets"
    assert issued(COTTAGE, where, "--for", "application") == 0
    before = contents_of(where)
    capsys.readouterr()
    for purpose in ("site", "tender", "record"):
        assert issued(COTTAGE, where, "--for", purpose) == 1
        said = capsys.readouterr().err
        assert f"issued already, for 'application'; this set is for '{purpose}'" in said and said.splitlines()[-1] == f"next: -o {where / purpose}"
        assert issued(COTTAGE, where / purpose, "--for", purpose) == 0  # as the message says
        capsys.readouterr()
    assert all(contents_of(where)[name] == data for name, data in before.items())
    assert issued(COTTAGE, where, "--for", "site", "--replace") == 0  # asked for in so many words


def test_a_changed_set_of_the_same_purpose_is_told_by_its_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    where = tmp_path / "sets"
    assert issued(SITE, where, "--for", "record") == 0
    capsys.readouterr()
    assert issued(changed(tmp_path, "Cu PVC 11 m in wall", "Cu PVC 12 m in wall"), where, "--for", "record") == 1
    said = capsys.readouterr().err
    assert "with other content" in said and "changed MSB.7.cable" in said and "folder of its own" not in said


def test_a_status_that_does_not_fit_the_purpose_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert issued(SITE, tmp_path, "--for", "record") == 0
    assert "the status of the drawing is 'for application'" in capsys.readouterr().err


# ---- attachments ----

def plan(*sizes: tuple[float, float]) -> bytes:
    """A PDF with a word on each page."""
    out = io.BytesIO()
    canvas = Canvas(out)
    for number, size in enumerate(sizes, 1):
        canvas.setPageSize(size)
        canvas.drawString(100, 100, f"planpage{number}")
        canvas.linkURL("https://example.invalid", (0, 0, 50, 50))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def photo(kind: str = "JPEG", turned: bool = False) -> bytes:
    """An image, red above and blue below; turned: as a camera that was held upright stores it."""
    image = Image.new("RGB", (60, 40), "red")
    image.paste("blue", (0, 20, 60, 40))
    out, exif = io.BytesIO(), Image.Exif()
    if turned:
        image, exif[0x0112] = image.rotate(90, expand=True), 6  # orientation 6: turn clockwise to show (Exif 2.3, from memory)
    image.save(out, kind, exif=exif)
    return out.getvalue()


def with_attachments(tmp_path: Path, files: dict[str, bytes], lines: str) -> Path:
    site = changed(tmp_path, "profile: [au]\n", f"profile: [au]\nattachments:\n{lines}")
    for name, data in files.items():
        (site.parent / name).write_bytes(data)
    return site


def test_attachments_are_bound_into_the_set_with_hash_and_page(tmp_path: Path) -> None:
    files = {"plan.pdf": plan((842, 595), (300, 400)), "board.jpg": photo(), "label.png": photo("PNG")}
    site = with_attachments(tmp_path, files, "  - {file: plan.pdf, title: Site plan, kind: site plan}\n  - {file: board.jpg, title: Board, kind: photo, shows: MSB}\n"
                                             "  - {file: label.png}\n")
    assert issued(site, tmp_path / "sets") == 0
    folder = tmp_path / "sets" / NAME
    listed = {f["path"]: f["sha256"] for f in json.loads((folder / "manifest.json").read_bytes())["files"]}
    reader = pypdf.PdfReader(folder / "set.pdf")
    texts = [page.extract_text() for page in reader.pages]
    for name, data in files.items():
        digest = hashlib.sha256(data).hexdigest()
        assert (folder / name).read_bytes() == data and listed[name] == digest
        assert digest in texts[0].replace("\n", "") and sum(digest in text for text in texts[1:]) == (2 if name == "plan.pdf" else 1)
    first = next(n for n, text in enumerate(texts) if "planpage1" in text)
    assert "planpage2" in texts[first + 1] and f"page {first + 1} of {len(texts)} of the set" in texts[first]
    # a plan keeps its scale: its page is as large as it was
    assert [float(v) for v in reader.pages[first].mediabox[2:]] == pytest.approx([842, 595], abs=0.1)
    assert not any("/A" in a.get_object() for page in reader.pages for a in page.get("/Annots", []))
    assert "Attachment 1: Site plan" in [item.title for item in reader.outline if not isinstance(item, list)]
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert all(hashlib.sha256(data).hexdigest() in page for data in files.values())


def test_a_photo_is_bound_as_the_camera_was_held(tmp_path: Path) -> None:
    site = with_attachments(tmp_path, {"a.jpg": photo(turned=True)}, "  - {file: a.jpg}\n")
    assert issued(site, tmp_path / "sets") == 0
    bound = pypdf.PdfReader(tmp_path / "sets" / NAME / "set.pdf").pages[-1].images[0].image
    assert bound.size == (60, 40)
    assert bound.getpixel((30, 5))[0] > 200 and bound.getpixel((30, 35))[2] > 200


def locked() -> bytes:
    """A PDF that asks for a password."""
    from reportlab.lib.pdfencrypt import StandardEncryption

    out = io.BytesIO()
    canvas = Canvas(out, encrypt=StandardEncryption("user", "owner"))
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def vast() -> bytes:
    """An image of a few thousand bytes that unpacks to 900 million pixels."""
    out = io.BytesIO()
    Image.new("1", (30_000, 30_000)).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(("name", "data", "named"), [("plan.pdf", None, "cannot be read from the folder"), ("plan.pdf", b"no pdf", "cannot be read as PDF"),
                                                     ("plan.pdf", b"", "cannot be read as PDF"), ("plan.pdf", plan((842, 595))[:600], "cannot be read as PDF"),
                                                     ("plan.pdf", locked(), "locked with a password"), ("plan.pdf", plan(*[(300, 300)] * 201), "at most 200"),
                                                     ("a.jpg", photo()[:300], "cannot be read as an image"), ("a.png", vast(), "cannot be read as an image"),
                                                     ("a.png", b"no image", "cannot be read as an image"), ("set.pdf", b"", "give yours another name")])
def test_an_attachment_that_cannot_be_bound_refuses_the_set(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, data: bytes | None, named: str) -> None:
    site = with_attachments(tmp_path, {} if data is None else {name: data}, f"  - {{file: {name}}}\n")
    assert issued(site, tmp_path / "sets") == 1
    said = capsys.readouterr().err.splitlines()
    assert named in said[0] and name in said[0] and re.match(r"sld: site\.yaml:\d+:\d+: ", said[0])
    assert len(said) <= 2 and (len(said) == 1 or said[1].startswith("next: "))  # no library speaks beside us
    assert not (tmp_path / "sets").exists()


def test_a_file_that_is_not_the_one_that_the_site_file_names_refuses_the_set(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    digest = hashlib.sha256(photo()).hexdigest()
    site = with_attachments(tmp_path, {"a.jpg": photo()}, f"  - {{file: a.jpg, sha256: {digest.upper()}}}\n")
    assert issued(site, tmp_path / "sets") == 0
    (site.parent / "a.jpg").write_bytes(photo(turned=True))
    assert issued(site, tmp_path / "other") == 1
    said = capsys.readouterr().err
    assert "another file than the site file names" in said and hashlib.sha256(photo(turned=True)).hexdigest() in said


def test_a_turned_page_is_bound_upright_and_whole(tmp_path: Path) -> None:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(plan((400, 300))))
    writer.pages[0].rotate(90)
    out = io.BytesIO()
    writer.write(out)
    site = with_attachments(tmp_path, {"p.pdf": out.getvalue()}, "  - {file: p.pdf}\n")
    assert issued(site, tmp_path / "sets") == 0
    page = pypdf.PdfReader(tmp_path / "sets" / NAME / "set.pdf").pages[-1]
    assert [float(v) for v in page.mediabox[2:]] == pytest.approx([300, 400], abs=0.1) and page.rotation == 0
    assert "planpage1" in page.extract_text()


# ---- schedules on sheets ----

def test_schedules_share_their_sheets_and_stand_above_the_title_block(boathouse: Path) -> None:
    reader = pypdf.PdfReader(boathouse / "set.pdf")
    firsts = [reader.get_destination_page_number(item) for item in reader.outline if not isinstance(item, list)]
    assert len(set(firsts)) < len(firsts)  # some begin on the same page
    for sheet in sheets_of_lists():
        block = next(f for f in sheet.furniture if f.name == "title block")
        assert block.box is not None and block.box[2] - block.box[0] == 180.0  # ISO 7200: the title block is 180 mm wide
        texts = [text_box(mark) for f in sheet.furniture if f.name == "content" for mark in f.marks if isinstance(mark, Text)]
        assert texts and all(sheet.frame[0] < x0 and x1 < sheet.frame[2] and y1 < block.box[1] for x0, _, x1, y1 in texts)
        assert all(mark.height >= 2.5 for f in sheet.furniture if f.name == "content" for mark in f.marks if isinstance(mark, Text))


def sheets_of_lists() -> list[Sheet]:
    flows = Flows(read_file(SITE))
    blocks = schedule_blocks([make(flows) for make in SCHEDULES.values()], flows, 378.0)
    return [leaf.sheet for leaf in in_frame("Schedules", SheetInfo(), blocks)]


def test_a_column_that_holds_nothing_is_left_out_and_named() -> None:
    table = Table("x", "Things", (Column("id"), Column("colour"), Column("result", room=9)), (Row(("A", None, None)), Row(("B", None, None))))
    made = list(schedule_blocks([table], Flows(read_file(SITE)), 378.0))
    assert [block.titles for block in made if isinstance(block, Grid)] == [("id", "result")]  # what is left blank for writing stays
    assert any(isinstance(block, Paragraph) and "left out: colour." in block.text for block in made)


def test_a_column_that_says_what_is_usual_in_every_row_is_left_out_and_said() -> None:
    columns = (Column("id"), Column("part", usual="1"))
    for numbers, kept in (((1, 1), False), ((1, 2), True)):
        table = Table("x", "Things", columns, tuple(Row((f"A{n}", number)) for n, number in enumerate(numbers)))
        made = list(schedule_blocks([table], Flows(read_file(SITE)), 378.0))
        assert [block.titles for block in made if isinstance(block, Grid)] == [("id", "part") if kept else ("id",)]
        assert any(isinstance(block, Paragraph) and "left out: part 1." in block.text for block in made) is not kept


@pytest.mark.parametrize("height", range(60, 110, 3))
def test_no_title_of_an_empty_schedule_stands_alone_at_the_foot_of_a_sheet(height: int) -> None:
    tables = [Table(f"t{n}", f"Title {n}", (Column("id"),), (), ("what its reader has to know",) if n % 2 else ()) for n in range(12)]
    for page in pages(schedule_blocks(tables, Flows(read_file(SITE)), 100.0), 100.0, float(height)):
        texts = [mark.text for mark in page.marks if isinstance(mark, Text)]
        assert texts and not any(text.endswith("continued") for text in texts) and texts[-1].startswith("Nothing of this kind")


def test_a_name_without_end_leaves_room_on_the_cover() -> None:
    page, *others = pages([Heading("W" * 9000, 7.0), Heading("Title " * 900, 5.0), Paragraph("what follows")], 180.0, 200.0)
    assert not others and all(text_box(mark)[3] < 200.0 and text_box(mark)[2] <= 185.0 for mark in page.marks if isinstance(mark, Text))
    assert [mark.text for mark in page.marks if isinstance(mark, Text)][-1] == "what follows"


NOTHING_KNOWN = """site: {name: TBC}
drawing: {number: E-1, title: TBC, revisions: [{rev: A, date: 2026-05-04}]}
supply: {system: TBC, in_line: [fuse: TBC, cable: TBC, ne_link: TBC, switch: TBC], feeds: MSB}
boards:
  MSB:
    name: TBC
    busbar: TBC
    ways: TBC
    status: TBC
    circuits:
      - {way: 1, name: TBC, in_line: [breaker: TBC, cable: TBC], load: TBC}
      - {way: 2, name: TBC, in_line: [rcbo: TBC, cable: {id: W1, parts: TBC}], feeds: {inverter: {id: INV1, type: TBC, status: TBC}}}
      - {way: TBC, name: TBC, in_line: TBC, load: TBC}
"""


@pytest.mark.parametrize("text", [NOTHING_KNOWN, NOTHING_KNOWN[:NOTHING_KNOWN.index("    circuits:")] + "    circuits: []\n"], ids=["all open", "no circuits"])
def test_a_site_of_which_nothing_is_known_is_issued_and_says_so(tmp_path: Path, text: str) -> None:
    (tmp_path / "site.yaml").write_text(text, encoding="utf-8")
    assert issued(tmp_path / "site.yaml", tmp_path / "sets") == 0
    folder = tmp_path / "sets" / "E-1_A"
    counts = json.loads((folder / "findings.json").read_bytes())["counts"]
    cover = pypdf.PdfReader(folder / "set.pdf").pages[0].extract_text()
    assert counts["error"] == 0 and counts["cannot_tell"] > 0
    assert "Site without a name" in cover and f"{counts['cannot_tell']} could not be told" in " ".join(cover.split())


def test_the_day_of_the_document_is_that_of_its_revision(boathouse: Path) -> None:
    said = pypdf.PdfReader(boathouse / "set.pdf").metadata
    revision = read_file(SITE).site.drawing.revisions[-1]  # type: ignore[union-attr]
    assert said is not None and said.creation_date is not None and said.creation_date.date() == revision.date
    assert said.author == "J. Draft" and f"revision {revision.rev}" in str(said.subject)


def test_rows_of_one_object_stand_under_it_and_words_that_recur_below_the_table() -> None:
    rows = tuple(Row((key, test, "the same long source")) for key in ("A", "B") for test in ("one", "two", "three"))
    table = Table("x", "Tests", (Column("id"), Column("test"), Column("basis", aside=True)), rows)
    main_grid, notes = [block for block in schedule_blocks([table], Flows(read_file(SITE)), 378.0) if isinstance(block, Grid)]
    assert main_grid.titles == ("test", "basis") and main_grid.groups == ("A",) * 3 + ("B",) * 3
    assert {row[1] for row in main_grid.rows} == {"(1)"} and notes.rows == (("(1)", "the same long source"),)


def record(objects: int, entered: str = "") -> Table:
    columns = (Column("id"), Column("test", across=True), Column("part is", heads=True), Column("expected"), Column("result", room=9, each=True), Column("by", room=9))
    rows = [Row((f"C{n}", test, part, words, entered if not n else "", "")) for n in range(objects)
            for test, part, words in (("loop", "live", f"≤ 0.{n + 1} ohm at most"), ("polarity", "dead", "as drawn"))]
    return Table("tests", "Record", columns, (*rows, Row(("X1", "ratio", "dead", "0.5", "", ""))))


def test_what_is_asked_of_many_stands_across_with_one_object_a_row_and_no_figure_is_lost() -> None:
    asked, across, rest, *_ = [block for block in schedule_blocks([record(7)], Flows(read_file(SITE)), 378.0) if isinstance(block, Grid)]
    assert asked.rows == (("loop", "live", "≤ … ohm at most"), ("polarity", "dead", "as drawn"))
    assert across.titles == ("id", "loop, expected ≤ … ohm at most", "loop (live), result", "polarity (dead), result", "by")
    assert across.rows == tuple((f"C{n}", f"0.{n + 1}", "", "", "") for n in range(7)) and across.anchors[3] == "listed tests C3"
    assert [row[:2] for row in rest.rows] == [("X1", "ratio")] and set(across.room) == {2, 3, 4}


@pytest.mark.parametrize(("objects", "entered", "left"), [(7, "0.05 ohm", {"C0", "X1"}), (3, "", {"C0", "C1", "C2", "X1"})])
def test_an_object_with_results_or_few_objects_keep_their_rows_in_full(objects: int, entered: str, left: set[str]) -> None:
    many, rest = apart(record(objects, entered))
    assert {row.id for row in rest.rows} == left and sum(len(one.rows) for one in many) == (objects + 1 - len(left))
    assert all(row.cells[3] == "≤ 0.1 ohm at most" for row in rest.rows if row.cells[:2] == ("C0", "loop"))


@pytest.mark.parametrize("count", range(20, 60))
def test_no_row_or_two_stand_alone_on_the_next_sheet(count: int) -> None:
    grid = Grid(("id", "text"), tuple((f"R{n}", "words " * 30) for n in range(count)))
    notes = Grid(("note", "words"), tuple((f"({n})", "words " * 30) for n in range(4)), strong=False, below=True)
    made = pages([Heading("Title", 5.0), grid, notes], 300.0, 150.0)
    rows = [sum(isinstance(mark, Text) and mark.text.startswith("R") for mark in page.marks) for page in made]
    assert sum(rows) == count and len(rows) > 1 and min(rows) >= 4
    assert any(isinstance(mark, Text) and mark.text == "(3)" for mark in made[-1].marks)


def test_a_row_to_sign_is_at_least_12_mm_high() -> None:
    table = Table("x", "Summary", (Column("id"), Column("answer")), (Row(("A", "said")), Row(("B", SIGN_HERE)), Row(("C", "said"))))
    page, *_ = pages(schedule_blocks([table], Flows(read_file(SITE)), 378.0), 378.0, 200.0)
    at = {mark.text: mark.at[1] for mark in page.marks if isinstance(mark, Text)}
    assert at["C"] - at["B"] >= 12.0 > at["B"] - at["A"]


@pytest.mark.parametrize("grouped", [True, False])
def test_a_narrow_table_stands_beside_itself_and_no_row_is_lost(grouped: bool) -> None:
    names = [f"R{n}" for n in range(200)]
    grid = Grid(("id", "text"), tuple((name, "some words that are set wide") for name in names), groups=tuple(f"G{n // 20}" for n in range(200)) if grouped else ())
    made = pages([grid], 300.0, 150.0)
    read = [mark.text for page in made for mark in page.marks if isinstance(mark, Text)]
    assert sorted(text for text in read if text.startswith("R")) == sorted(names)
    for page in made:
        boxes = [text_box(mark) for mark in page.marks if isinstance(mark, Text)]
        assert all(x1 <= 300.01 and y1 <= 150.01 for _, _, x1, y1 in boxes)
        assert not any(overlap(a, b) for n, a in enumerate(boxes) for b in boxes[:n])
    if grouped:  # each column begins with the group that it goes on with
        assert any(text.endswith(", continued") for text in read) and {f"G{n}" for n in range(10)} <= {text.removesuffix(", continued") for text in read}


def test_the_cover_of_a_set_with_errors_says_so_in_large_letters(tmp_path: Path) -> None:
    """Contract: a set is issued whatever the findings; requirement of the issue: what whoever takes it up has to know stands on its cover."""
    for name, said in (("faulty-earthing", True), ("part-tt", False)):
        assert issued(COTTAGE.parents[1] / name / "site.yaml", tmp_path / name) == 0
        (document,) = (tmp_path / name).rglob("set.pdf")
        (found,) = (tmp_path / name).rglob("findings.json")
        errors = json.loads(found.read_text(encoding="utf-8"))["counts"]["error"]
        assert (f"{errors} ERRORS FOUND" in pypdf.PdfReader(document).pages[0].extract_text()) is said is (errors > 0)
