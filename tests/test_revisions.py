# SPDX-License-Identifier: MIT
"""Views of a site by status, and what a revision changed."""
from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from sld.cli import main
from sld.files import DIAGRAMS, scenes
from sld.layout.move import box_of
from sld.primitives import Arc, Box, Furniture, Polyline, Scene, Text
from sld.revisions import changes, revision_notes
from sld.sheet_info import sheet_info
from sld.views import VIEWS, view
from test_diagrams import GALLERY, OURS, RANDOM, SITES, check_scene, gallery, made_up, small
from test_layout import overlap
from topology.flow import Flows
from topology.read import read_bytes, read_file
from topology.site import Board, Load

STATUS = """site: {name: x}
supply:
  system: 1/N/PE AC 50 Hz 230 V
  in_line:
    - fuse: {id: F1, rating: 63 A}
    - ct: {id: CT1, measures: grid, phase: L1, P1: to supply, status: new}
    - switch: {id: Q1, rating: 63 A 2P, status: altered}
  feeds: MSB
boards:
  MSB:
    name: Main switchboard
    ways: 8
    circuits:
      - {way: 1, in_line: [breaker: {id: QK, rating: 16 A C 1P 6 kA}], load: {id: LK, kind: sockets, power: 2 kW}}
      - {way: 2, status: removed, in_line: [breaker: {id: QR, rating: 16 A C 1P 6 kA}], load: {id: LR, kind: heater, power: 2 kW}}
      - {way: 3-4, status: new, in_line: [breaker: {id: QN, rating: 20 A C 2P 6 kA}], feeds: {storage: {id: BAT1, type: storage-ac-b}}}
controllers: {GW1: {kind: gateway, place: MSB, status: new, inputs: {1: CT1 on L1}}, BA1: {kind: bus adapter, place: MSB}}
buses: {B: {type: bus-shielded-pair-60, segments: [{from: BA1, to: BAT1, length: 3 m}], terminators: [BA1, BAT1]}}
"""


def shown(scene: Scene | None) -> set[str]:
    """Ids of the objects that stand on a diagram."""
    return {thing.object for sheet in scene.sheets for thing in (*sheet.symbols, *sheet.wires)} if scene else set()


def words(scene: Scene) -> str:
    return " ".join(m.text for sheet in scene.sheets for f in sheet.furniture for m in f.marks if isinstance(m, Text))


# ---- views -----------------------------------------------------------------------------------------------------------

def test_as_found_leaves_out_what_is_new_and_proposed_what_is_removed() -> None:
    flows = small(STATUS)
    drawn = {name: shown(DIAGRAMS["single-line"](view(flows, name))) for name in VIEWS}
    assert {"CT1", "QN", "BAT1", "QR", "LR", "QK", "LK"} <= drawn["difference"]
    assert drawn["as-found"] & {"CT1", "QN", "BAT1", "GW1"} == set() and {"QR", "LR", "QK", "LK", "F1", "Q1"} <= drawn["as-found"]
    assert drawn["proposed"] & {"QR", "LR"} == set() and {"CT1", "QN", "BAT1", "QK", "LK"} <= drawn["proposed"]


def test_a_device_that_a_view_leaves_out_is_bridged() -> None:
    found = view(small(STATUS), "as-found")
    assert [u for u, _ in found.feeders("Q1")] == ["F1"]
    assert found.fed("LK", 1) and isinstance(found.obj("LK"), Load)


def test_a_view_draws_everything_with_the_strokes_of_what_exists() -> None:
    for name in ("as-found", "proposed"):
        scene = DIAGRAMS["boards"](view(small(STATUS), name))
        assert scene is not None
        assert {p.pen.width for sheet in scene.sheets for p in sheet.symbols} <= {0.18, 0.25}
    whole = DIAGRAMS["boards"](small(STATUS))
    assert whole is not None and {0.25, 0.5} <= {p.pen.width for sheet in whole.sheets for p in sheet.symbols}


def test_the_ways_of_what_is_removed_are_spare_in_the_proposed_view() -> None:
    def spare(name: str) -> int:
        scene = DIAGRAMS["boards"](view(small(STATUS), name))
        assert scene is not None
        return sum(p.symbol.kind == "board-spare" for sheet in scene.sheets for p in sheet.symbols)

    assert (spare("difference"), spare("as-found"), spare("proposed")) == (4, 6, 5)


def test_a_view_says_what_it_is_and_that_the_former_state_of_altered_things_is_not_known() -> None:
    scene = DIAGRAMS["boards"](view(small(STATUS), "as-found"))
    assert scene is not None
    assert "Board layout, as found" in words(scene) and "What Q1 was before the work is not in the file" in " ".join(words(scene).split())


@pytest.mark.parametrize("diagram", OURS)
@pytest.mark.parametrize("name", SITES)
def test_nothing_overlaps_in_any_view_of_a_gallery_site(name: str, diagram: str) -> None:
    for which in ("as-found", "proposed"):
        seen = view(gallery(name), which)
        scene = DIAGRAMS[diagram](seen)
        if scene is not None:
            check_scene(scene, seen)


def test_a_site_without_work_is_the_same_in_every_view() -> None:
    flows = made_up(*RANDOM[1])
    assert len({frozenset(shown(DIAGRAMS["single-line"](view(flows, name)))) for name in VIEWS}) == 1


def test_the_command_draws_a_view(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(STATUS, encoding="utf-8")
    assert main(["draw", str(tmp_path / "site.yaml"), "-o", str(tmp_path / "out"), "--view", "as-found", "--only", "boards", "--format", "svg"]) == 0
    assert "as found" in (tmp_path / "out/boards-1.svg").read_text(encoding="utf-8")


# ---- revisions -------------------------------------------------------------------------------------------------------

HEAD = "drawing: {number: X-1, revisions: [{rev: A, date: 2026-05-18, note: First}, {rev: B, date: 2026-06-30, was: site-A.yaml}]}\n"


@pytest.fixture
def revised(tmp_path: Path) -> Flows:
    (tmp_path / "site-A.yaml").write_text(STATUS, encoding="utf-8")
    text = STATUS.replace("rating: 20 A C 2P", "rating: 25 A C 2P").replace("    - fuse: {id: F1, rating: 63 A}\n", "    - fuse: {id: F2, rating: 80 A}\n")
    (tmp_path / "site.yaml").write_text(text + HEAD, encoding="utf-8")
    read = read_file(tmp_path / "site.yaml")
    assert read.findings == ()
    return Flows(read)


def test_a_revision_is_compared_with_the_file_that_it_names(revised: Flows) -> None:
    found = changes(revised)
    assert found is not None
    assert (found.letter, found.added, found.changed, found.removed) == ("B", ("F2",), ("QN",), ("F1",))


def ring(furniture: Furniture) -> Box:
    """What a ring of arcs goes round."""
    boxes = [(x - m.radius, y - m.radius, x + m.radius, y + m.radius) for m in furniture.marks if isinstance(m, Arc) for x, y in [m.centre]]
    return (min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))


def test_a_cloud_stands_round_what_changed_and_round_nothing_else(revised: Flows) -> None:
    for scene in scenes(revised, ["single-line", "boards"]):
        for sheet in scene.sheets:
            rings = [ring(f) for f in sheet.furniture if f.name == "revision cloud"]
            within = {p.object for p in sheet.symbols for r in rings
                      if r[0] <= p.bbox[0] and r[1] <= p.bbox[1] and p.bbox[2] <= r[2] and p.bbox[3] <= r[3]}
            assert {"QN", "F2"} <= within and not within & {"QK", "LK", "Q1", "QR"}


def test_the_triangles_of_clouds_lie_on_nothing_and_the_legend_says_what_a_cloud_is(revised: Flows) -> None:
    for flows in (revised, gallery("ferry")):
        for scene in scenes(flows):
            for sheet in scene.sheets:
                marks = [mark for part in sheet.furniture if part.name == "revision cloud" for mark in part.marks]
                flags = [box_of(mark) for mark in marks if isinstance(mark, Polyline)]
                assert not any(overlap(a, b) for a, b in combinations(flags, 2))
                assert not any(overlap(a, b) for a in flags for b in [*(s.bbox for s in sheet.symbols), *(t.bbox for t in sheet.labels)])
                assert bool(marks) == any("Changed at the" in mark.text for part in sheet.furniture if part.name == "legend"
                                          for mark in part.marks if isinstance(mark, Text))


def test_the_revision_table_says_what_changed_and_a_note_what_clouds_are(revised: Flows) -> None:
    text = " ".join(words(next(scenes(revised, ["boards"]))).split())
    assert "Clouds mark what revision B changed against site-A.yaml." in text
    assert "First" in text and text.count("added F2; changed QN; taken away F1") == 1


def test_the_note_says_what_changed_where_the_table_has_other_words(tmp_path: Path) -> None:
    (tmp_path / "site-A.yaml").write_text(STATUS.replace("rating: 20 A C 2P", "rating: 25 A C 2P"), encoding="utf-8")
    (tmp_path / "site.yaml").write_text(STATUS + HEAD.replace("was: site-A.yaml", "was: site-A.yaml, note: As asked"), encoding="utf-8")
    notes = " ".join(revision_notes(Flows(read_file(tmp_path / "site.yaml"))))
    assert notes.startswith("Clouds mark what revision B changed against site-A.yaml: changed ")


def test_what_changed_is_said_as_a_reader_knows_it_not_by_ids_of_the_program() -> None:
    """Ferry changes a cable that nobody named, on ways 3-4 of SB, and the bus cable between two devices."""
    notes = " ".join(row.note for row in sheet_info(gallery("ferry"), "").revisions)
    assert notes == "Issued for application changed INV1, cable of SB way 3-4, QB1, Control bus BA1–BAT1"


def test_nobody_revises_what_was_found(revised: Flows) -> None:
    for scene in scenes(revised, view="as-found"):
        assert not any(f.name == "revision cloud" for sheet in scene.sheets for f in sheet.furniture)


def test_a_previous_file_that_is_not_there_is_a_fault_at_its_name(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(STATUS + HEAD, encoding="utf-8")
    read = read_file(tmp_path / "site.yaml")
    assert [(f.rule, f.message) for f in read.findings] == [("revision-missing", "previous site file 'site-A.yaml' is not there")]
    mark = read.findings[0].mark
    assert (STATUS + HEAD).splitlines()[mark.line - 1][mark.column - 1:].startswith("site-A.yaml")
    assert changes(Flows(read)) is None


def test_a_revision_without_a_previous_file_gives_no_cloud() -> None:
    assert changes(Flows(read_bytes((STATUS + HEAD.replace(", was: site-A.yaml", "")).encode()))) is None
    assert not any(f.name == "revision cloud" for scene in scenes(gallery("orchard"), ["bus"]) for sheet in scene.sheets for f in sheet.furniture)


def test_every_board_keeps_its_place_when_nothing_of_it_changed() -> None:
    """The layout of a board depends on the board alone."""
    flows = gallery("boathouse")
    one, other = (DIAGRAMS["boards"](Flows(read_file(GALLERY / "boathouse/site.yaml"))) for _ in range(2))
    assert one == other and one is not None
    assert {a.object for sheet in one.sheets for a in sheet.areas} == {o.id for o in flows.objects.values() if isinstance(o, Board)}


def test_the_gallery_shows_a_revision_with_its_clouds() -> None:
    sheet = next(scenes(gallery("ferry"), ["bus"])).sheets[0]
    assert [f.name for f in sheet.furniture].count("revision cloud") >= 1
