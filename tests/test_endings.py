# SPDX-License-Identifier: MIT
"""How commands end that cannot do their work. Exit codes and streams: the contract of the program, format 1."""
from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from sld import cli
from sld.cli import main

SITE = Path(__file__).parents[1] / "gallery/boathouse/site.yaml"
RUN = [sys.executable, "-c", "import sys; from sld.cli import main; sys.exit(main())"]
KEYS = {"format", "complete", "profiles", "assumed", "counts", "findings"}  # the contract


@pytest.mark.parametrize("arguments", (["check", "--json", "nowhere.yaml"], ["compare", "--json", str(SITE), "nowhere.yaml"],
                                       ["check", "--json", str(SITE.parent)]))
def test_with_json_a_file_that_cannot_be_opened_is_told_in_one_document(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 2
    said = json.loads(capsys.readouterr().out)
    assert set(said) == KEYS and [f["rule"] for f in said["findings"]] == ["no-file"]
    assert said["counts"]["error"] == 1 and said["complete"] is False


def test_ctrl_c_ends_in_one_line_and_with_the_code_of_the_signal(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def pressed(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli, "_check", pressed)
    assert main(["check", str(SITE)]) == 130  # 128 + SIGINT, as POSIX shells tell it
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_disk_is_told_with_a_next_step() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run([*RUN, "check", str(SITE)], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 1
    assert os.strerror(errno.ENOSPC) in done.stderr and "next: " in done.stderr and "Traceback" not in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="pipes end otherwise there")
def test_a_reader_that_goes_away_hears_no_complaint() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run([*RUN, "check", str(SITE)], stdout=writing, stderr=subprocess.PIPE, text=True, check=False)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no device without an end")
def test_a_file_without_end_is_refused_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "/dev/zero"]) == 2
    assert "too-large" in capsys.readouterr().out


def test_a_folder_in_the_way_of_a_drawing_is_named_as_the_user_knows_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bus.scene.json").mkdir()
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    assert main(["draw", str(SITE), "-o", str(tmp_path), "--only", "bus", "--format", "scene"]) == 1
    assert f"{tmp_path / 'bus.scene.json'} cannot be written" in capsys.readouterr().err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bus.scene.json", "mine.txt"]


@pytest.mark.parametrize(("slip", "next_step"), (
    ("{way: 1, in_line: [breaker: 16 A C 1P], load: lighting 2,5 kW}", "write a decimal point: load: lighting 2.5 kW"),
    ("{way: 1, in_line: [breaker: C16 1P], load: lighting}", "did you mean '16 A C'?"),
    ("{way: 1, in_line: [breaker: 16 A C 1P, cable: 4 mm² buried], load: lighting}", "a cable in the ground is 'underground'"),
))
def test_a_slip_of_the_trade_gets_the_right_words_offered(tmp_path: Path, capsys: pytest.CaptureFixture[str], slip: str, next_step: str) -> None:
    site = tmp_path / "site.yaml"
    site.write_text(f"site: {{name: X}}\nsupply: {{system: 1/PEN AC 50 Hz 230 V, feeds: MSB}}\nboards:\n  MSB:\n    circuits:\n      - {slip}\n",
                    encoding="utf-8")
    assert main(["check", str(site)]) == 1
    assert f"next: {next_step}" in capsys.readouterr().out


def test_explain_asks_for_a_place_where_a_whole_circuit_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = tmp_path / "site.yaml"
    site.write_text("site: {name: X}\nsupply: {system: 1/PEN AC 50 Hz 230 V, feeds: MSB}\nboards:\n  MSB:\n    circuits:\n"
                    "      - {way: 1, in_line: [breaker: 16 A C 1P, cable: TBC], load: lighting}\n", encoding="utf-8")
    assert main(["explain", "--site", str(site), "MSB.1"]) == 2
    assert "name one place of it: MSB.1.breaker, MSB.1.cable" in capsys.readouterr().err


def test_an_inverter_without_type_is_offered_the_type_of_an_inverter(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = tmp_path / "site.yaml"
    site.write_text("site: {name: X}\nsupply: {system: 1/PEN AC 50 Hz 230 V, feeds: MSB}\nboards:\n  MSB:\n    circuits:\n"
                    "      - {way: 1, in_line: [breaker: 16 A C 1P], feeds: {inverter: {id: INV1}}}\n", encoding="utf-8")
    assert main(["check", str(site)]) == 1
    assert "add 'type: inverter-1ph-4'" in capsys.readouterr().out


def test_ctrl_c_while_python_makes_a_class_is_no_bug_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(_: object) -> int:
        raise RuntimeError("Error calling __set_name__") from KeyboardInterrupt()

    monkeypatch.setattr(cli, "_check", pressed)
    assert main(["check", str(SITE)]) == 130


@pytest.mark.parametrize(("settings", "arrow"), [({"PYTHONIOENCODING": "cp1252"}, b"?"),
                                                 ({"PYTHONUTF8": "0", "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}, "\u2192".encode())])
def test_letters_that_a_stream_lacks_are_no_bug(settings: dict[str, str], arrow: bytes) -> None:
    """As on Windows, where a pipe takes the letters of one country: our own text, with an arrow in it, comes out, in UTF-8 unless asked otherwise."""
    old, new = (SITE.parents[1] / f"{name}/site.yaml" for name in ("bakery", "cottage"))
    done = subprocess.run([*RUN, "compare", str(old), str(new)],
                          env={**os.environ, **settings, "PYTHONPATH": os.pathsep.join(sys.path)}, capture_output=True, check=False)
    assert done.returncode == 1 and arrow in done.stdout and done.stderr == b""
