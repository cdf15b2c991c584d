# SPDX-License-Identifier: MIT
"""Commands as a user types them: files, exit codes, streams, and the same bytes everywhere."""
from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from importlib.machinery import ModuleSpec
from pathlib import Path

import pytest
from sld.beside import stranger
from sld.cli import main
from sld.files import DIAGRAMS
from topology.errors import SiteError
from topology.rule import RULES

GALLERY = Path(__file__).parents[1] / "gallery"
SITE = GALLERY / "boathouse/site.yaml"


def test_draw_and_schedule_make_what_the_gallery_holds(tmp_path: Path) -> None:
    assert main(["draw", str(SITE), "-o", str(tmp_path)]) == main(["schedule", str(SITE), "-o", str(tmp_path)]) == 0
    held = GALLERY / "boathouse/out"
    assert {p.name for p in tmp_path.iterdir()} == {p.name for p in held.iterdir()}
    for path in tmp_path.iterdir():
        if path.suffix in (".csv", ".html", ".json"):
            assert path.read_bytes() == (held / path.name).read_bytes(), path.name


def test_a_format_that_cannot_be_made_keeps_no_other_from_being_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                                        capsys: pytest.CaptureFixture[str]) -> None:
    def missing() -> None:
        raise SiteError("PNG needs the system library libcairo")

    monkeypatch.setattr("sld.png.check_cairo", missing)
    assert main(["draw", str(SITE), "-o", str(tmp_path), "--format", "png,svg,pdf"]) == 1
    said = capsys.readouterr().err
    assert said.count("libcairo") == 1 and "left out" not in said
    assert {path.name for path in tmp_path.iterdir()} == {f"{name}{end}" for name in DIAGRAMS for end in ("-1.svg", ".pdf")}


def test_a_diagram_that_is_too_large_for_the_paper_keeps_no_other_from_being_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (GALLERY / "faulty-bus/site.yaml").read_text(encoding="utf-8")
    site = tmp_path / "site.yaml"
    site.write_text(f"{text}\ndrawing: {{paper: A4}}\n" if "\ndrawing:" not in text else text.replace("\ndrawing: {", "\ndrawing: {paper: A4, "), encoding="utf-8")
    assert main(["draw", str(site), "-o", str(tmp_path / "out"), "--format", "scene"]) == 1
    said = capsys.readouterr().err
    assert "bus: a part of the drawing is" in said and "choose a larger size" in said
    assert {path.name for path in (tmp_path / "out").iterdir()} == {f"{name}.scene.json" for name in ("single-line", "boards", "earthing")}


def test_the_same_site_gives_the_same_bytes_under_another_seed_zone_locale_and_folder(tmp_path: Path) -> None:
    results = []
    for seed, zone, folder in (("1", "UTC", "a"), ("2", "Pacific/Auckland", "b c")):
        place = tmp_path / folder
        shutil.copytree(GALLERY / "boathouse", place, ignore=shutil.ignore_patterns("out"))
        out = place / "out"
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C" if seed == "1" else "C.UTF-8", "PYTHONPATH": os.pathsep.join(sys.path)}
        for command in ("draw", "schedule"):
            subprocess.run([sys.executable, "-c", "import sys; from sld.cli import main; sys.exit(main())", command, "site.yaml", "-o", str(out)],
                           cwd=place, env=env, check=True, capture_output=True)
        results.append({p.name: p.read_bytes() for p in out.iterdir()})
    assert results[0] == results[1]


def errors() -> int:
    """The errors that the comments of the faulty site announce."""
    comments = [line.partition("# ")[2] for line in (GALLERY / "faulty/site.yaml").read_text(encoding="utf-8").splitlines()]
    return sum(f"{name}:" in comment for comment in comments for name, rule in RULES.items() if rule.severity == "error")


def test_a_site_with_errors_is_drawn_all_the_same_and_strict_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = str(GALLERY / "faulty/site.yaml")
    assert main(["draw", site, "-o", str(tmp_path), "--format", "scene"]) == 0
    assert f"{errors()} errors" in capsys.readouterr().err
    assert main(["draw", site, "-o", str(tmp_path), "--format", "scene", "--strict"]) == 1


def test_an_unknown_format_is_a_slip_of_usage(tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["schedule", str(SITE), "-o", str(tmp_path), "--format", "ods"])
    assert stop.value.code == 2


def test_an_unusable_file_leaves_what_was_written_before(tmp_path: Path) -> None:
    out = tmp_path / "out"
    main(["draw", str(SITE), "-o", str(out), "--format", "scene"])
    before = (out / "single-line.scene.json").read_bytes()
    broken = tmp_path / "site.yaml"
    broken.write_bytes(SITE.read_bytes() + b"\n  ][")
    assert main(["draw", str(broken), "-o", str(out), "--format", "scene"]) == 2
    assert sorted(p.name for p in out.iterdir()) == sorted(f"{name}.scene.json" for name in DIAGRAMS)
    assert (out / "single-line.scene.json").read_bytes() == before


def test_check_prints_one_json_document(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(GALLERY / "faulty/site.yaml"), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["counts"]["error"] == errors()


def test_the_schema_in_the_gallery_is_the_one_that_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    assert capsys.readouterr().out == (GALLERY / "site.schema.json").read_text(encoding="utf-8")


def test_another_package_of_our_name_is_refused_in_one_line() -> None:
    foreign = ModuleSpec("topology", None, origin="/elsewhere/topology/__init__.py")
    assert "another package named 'topology'" in stranger(lambda name: foreign)
    assert "another package named 'topology'" in stranger(lambda name: None)


def test_the_bus_diagram_shows_the_chain_with_running_length(tmp_path: Path) -> None:
    main(["draw", str(SITE), "-o", str(tmp_path), "--format", "scene"])
    sheet = json.loads((tmp_path / "bus.scene.json").read_text(encoding="utf-8"))["sheets"][0]
    texts = [label["text"] for label in sheet["labels"]]
    assert "10 m (Σ 10 m)" in texts and "3 m (Σ 13 m)" in texts  # the file says 10 m and 3 m
    kinds = [s["kind"] for s in sheet["symbols"]]
    assert kinds.count("terminator") == 2 and kinds.count("shield-bond") == 2


def test_hostile_names_are_inert_on_the_whole_path(tmp_path: Path) -> None:
    text = SITE.read_text(encoding="utf-8").replace("name: Hot water", "name: \"=1+1 <b>&$x$ ]]>\"").replace("name: Heron Point Boathouse",
                                                                                                     "name: \"<script>alert(1)</script> 小屋\"")
    site = tmp_path / "site.yaml"
    site.write_text(text, encoding="utf-8")
    assert main(["draw", str(site), "-o", str(tmp_path / "o")]) == main(["schedule", str(site), "-o", str(tmp_path / "o")]) == 0
    for path in (tmp_path / "o").iterdir():
        if path.suffix in (".svg", ".html"):
            assert "<script" not in path.read_text(encoding="utf-8") and "<b>" not in path.read_text(encoding="utf-8")


def test_explain_prints_the_computation_at_a_place_of_a_site(capsys: pytest.CaptureFixture[str]) -> None:
    site = str(GALLERY / "longrun/site.yaml")
    assert main(["explain", "BAT1", "--site", site]) == 0
    assert capsys.readouterr().out.startswith("Way to BAT1: supply → ")
    assert main(["explain", "NOPE", "--site", site]) == 2
    assert "there is nothing with the id 'NOPE' on this site" in capsys.readouterr().err


def test_a_place_that_is_not_there_is_drawn_as_no_place(tmp_path: Path) -> None:
    text = (GALLERY / "boathouse/site.yaml").read_text(encoding="utf-8").replace("place: MP}", "place: NOWHERE}")
    site = tmp_path / "site.yaml"
    site.write_text(text, encoding="utf-8")
    assert main(["draw", str(site), "-o", str(tmp_path / "out")]) == 0
    scene = json.loads((tmp_path / "out/single-line.scene.json").read_text(encoding="utf-8"))
    assert "NOWHERE" not in {area["id"] for sheet in scene["sheets"] for area in sheet["areas"]}
