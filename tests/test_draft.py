# SPDX-License-Identifier: MIT
"""`sld new`: for every answer a site that is read without fault, has no error, and lists what it cannot tell."""
from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from sld.cli import main
from sld.single_line import single_line
from topology.draft import SOLAR, WHERE, Answers, draft_site
from topology.flow import Flows
from topology.read import read_bytes
from topology.report import check

ALL = list(itertools.product((1, 2, 3), SOLAR, (0, 1, 3, 12), WHERE))


@pytest.mark.parametrize(("phases", "solar", "storage", "where"), ALL)
def test_a_draft_is_valid_and_has_no_error_but_much_that_cannot_be_told(phases: int, solar: str, storage: int, where: str) -> None:
    report = check(read_bytes(draft_site(Answers(phases, solar, storage, where)).encode()))
    assert report.read.findings == ()
    assert [f.message for f in report.findings if f.outcome == "finding"] == []
    assert report.exit_code == 0
    if solar != "none" or storage:
        assert report.counts["cannot_tell"] > 0


@pytest.mark.parametrize(("phases", "solar", "storage", "where"), ALL[::7])
def test_a_draft_holds_what_was_answered_and_can_be_drawn(phases: int, solar: str, storage: int, where: str) -> None:
    flows = Flows(read_bytes(draft_site(Answers(phases, solar, storage, where)).encode()))
    assert sum(n.startswith("BAT") for n in flows.sources) == storage
    assert sum(n.startswith("INV") for n in flows.sources) == (solar != "none")
    assert ("SB" in flows.graph) == (where == "new" and storage > 0)
    assert single_line(flows).sheets


@pytest.mark.parametrize(("phases", "solar", "storage", "where"), ALL)
def test_the_gateway_of_a_draft_is_fed_by_a_circuit_of_its_board(phases: int, solar: str, storage: int, where: str) -> None:
    flows = Flows(read_bytes(draft_site(Answers(phases, solar, storage, where)).encode()))
    feeding = [o for o in flows.objects.values() if getattr(getattr(o, "feeds", None), "id", None) == "GW1"]
    assert len(feeding) == int(solar != "none" or storage > 0)


def test_the_command_writes_the_file_and_keeps_one_that_is_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "site.yaml"
    assert main(["new", str(path), "--phases", "3", "--solar", "string", "--storage", "2"]) == 0
    assert path.read_text(encoding="utf-8") == draft_site(Answers(3, "string", 2))
    assert main(["check", str(path)]) == 0
    capsys.readouterr()
    assert main(["new", str(path)]) == 2
    assert "exists already" in capsys.readouterr().err
    assert path.read_text(encoding="utf-8") == draft_site(Answers(3, "string", 2))


@pytest.mark.parametrize("answers", [{"phases": 4}, {"storage": 13}, {"solar": "other"}, {"where": "roof"}])
def test_other_answers_are_refused(answers: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="no site with"):
        Answers(**answers)  # type: ignore[arg-type]
