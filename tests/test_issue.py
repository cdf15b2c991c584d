# SPDX-License-Identifier: MIT
"""The issued set: whole or not at all, the same again, nothing overwritten unasked."""
from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from sld.cli import main
from sld.issue.folder import folder_name, mend, put

ROOT = Path(__file__).parents[1]
SITE = ROOT / "gallery/boathouse/site.yaml"
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


def test_bytes_that_only_follow_a_library_are_no_other_content(tmp_path: Path) -> None:
    issued(SITE, tmp_path)
    path, listed = tmp_path / NAME / "drawings/bus.pdf", tmp_path / NAME / "manifest.json"
    old = hashlib.sha256(path.read_bytes()).hexdigest()
    path.write_bytes(path.read_bytes() + b"% another library\n")
    listed.write_text(listed.read_text(encoding="utf-8").replace(old, hashlib.sha256(path.read_bytes()).hexdigest()), encoding="utf-8")
    assert issued(SITE, tmp_path) == 0


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
    put(tmp_path, "A_1", {"a": b"old"})
    rename = os.rename

    def failing(old: Path, new: Path) -> None:
        if Path(new).name == "A_1" and Path(old).suffix != ".old":
            raise OSError("disk full")
        rename(old, new)

    monkeypatch.setattr(os, "rename", failing)
    with pytest.raises(OSError, match="disk full"):
        put(tmp_path, "A_1", {"a": b"new"})
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
put(Path(sys.argv[1]), "A_1", {"a": b"new", "b/c": b"new"})
"""


def test_a_run_killed_at_any_moment_is_mended_by_the_next_start(tmp_path: Path) -> None:
    """The process kills itself before the n-th file, folder or rename; afterwards the old set or the new one stands, whole."""
    seen = set()
    for n in range(12):
        where = tmp_path / str(n)
        put(where, "A_1", {"a": b"old"})
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
