# SPDX-License-Identifier: MIT
"""What the README promises is what happens."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from sld.cli import main
from topology.read import read_bytes
from topology.report import check

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST_SITE = re.search(r"```yaml\n(.*?)```", README, re.S)


def test_the_first_site_reads_and_is_drawn_and_listed_as_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert FIRST_SITE is not None
    (tmp_path / "site.yaml").write_text(FIRST_SITE[1], encoding="utf-8")
    assert not [f for f in check(read_bytes(FIRST_SITE[1].encode())).findings if f.severity == "error" and f.outcome == "finding"]
    monkeypatch.chdir(tmp_path)
    commands = re.findall(r"^    sld (.+)$", README, re.M)
    assert len(commands) == 3
    for command in commands:
        assert main(command.split()) == 0, command


def test_the_drawing_command_of_the_first_line_works_on_the_gallery(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    command = re.search(r"&& \.venv/bin/sld (draw .+) -o", README)
    assert command is not None
    monkeypatch.chdir(ROOT)
    assert main([*command[1].split(), "-o", str(tmp_path)]) == 0


def test_ci_runs_the_test_command_that_the_readme_prints() -> None:
    script = ROOT / ".ci/run"
    command = re.search(r"^    (python3 -m venv .*pytest -n auto)$", README, re.M)
    assert command is not None
    assert not script.exists() or command[1] in script.read_text(encoding="utf-8")


def test_the_picture_is_there() -> None:
    shown = re.search(r"!\[.*?\]\((.*?)\)", README)
    assert shown is not None and (ROOT / shown[1]).is_file()
