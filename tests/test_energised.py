# SPDX-License-Identifier: MIT
"""What is live in each mode and with each source isolated, worked out by hand from the drawings of the gallery."""
from __future__ import annotations

from pathlib import Path

import pytest
from schedules.energised import situations, what_is_live
from sld.cli import main
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"


def flows_of(name: str, *changes: tuple[str, str]) -> Flows:
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode()))


def said(flows: Flows, words: str) -> list[str]:
    """The lines of one situation."""
    blocks = [block.splitlines() for block in what_is_live(flows).split("\n\n")]
    return next([line.strip() for line in block[1:]] for block in blocks if block[0].startswith(words))


def test_a_board_behind_an_automatic_changeover_lives_on_after_the_main_switch_was_opened() -> None:
    lines = said(flows_of("bakery"), "Main switch open")
    assert lines[0] == "MSB: no source reaches it" and lines[1] == "BB: live" and lines[2] == "L1 from G1 through QG1, QA1, BB.switch"


def test_a_manual_changeover_does_not_turn_by_itself_while_the_supply_is_there() -> None:
    assert said(flows_of("part-changeover"), "Main switch open")[-1] == "BB: no source reaches it"
    assert said(flows_of("part-changeover"), "Grid lost")[1:] == ["BB: live", "L1 from G1 through G1.out.breaker, QA1", "N–E links: NE1"]


def test_an_isolated_hybrid_inverter_leaves_its_direct_current_side_live() -> None:
    lines = said(flows_of("bakery"), "INV1 isolated, the supply there")
    assert lines[-4:] == ["INV1: no other source reaches it, and it reaches no board; it may be live by itself", "PV1: STAYS LIVE as far as QP1",
                          "PV2: STAYS LIVE as far as QP2", "BAT1: STAYS LIVE as far as QB1"]
    assert "BB: no source reaches it" in lines


def test_a_board_that_lost_its_link_together_with_the_isolated_inverter_is_told_so() -> None:
    """QU1 opens the neutral (2P), so that the link at the inverter and the one at the main board are both cut off from the generator's circuit."""
    words = "INV1 isolated, the supply lost"
    borrowed = flows_of("bakery", ("    ne_link: yes\n", "    ne_link: no\n"), ("    rating: 40 A\n    poles: 2P\n", "    rating: 40 A\n    poles: 1P solid-N\n"))
    assert "N–E links: NONE, a fault to earth trips nothing here" in said(borrowed, words)
    assert "N–E links: G1" in said(flows_of("bakery"), words)


def test_a_terminal_without_a_switch_is_called_not_isolated() -> None:
    bare = flows_of("bakery", ("          - breaker: {id: QU1, rating: 25 A C 2P 6 kA}\n", ""))
    assert "INV1: NOT ISOLATED, it can feed BB" in said(bare, "INV1 isolated, the supply there")


def test_what_is_not_known_is_named_before_the_caution() -> None:
    assert "NOT KNOWN" not in what_is_live(flows_of("bakery"))
    doubt = what_is_live(flows_of("bakery", ("operated: automatic", "operated: TBC"))).splitlines()[-2]
    assert doubt.startswith("NOT KNOWN, so that any of this may be otherwise: ") and "QA1" in doubt
    text = (GALLERY / "cottage/site.yaml").read_text(encoding="utf-8")
    bare = Flows(read_bytes((text[:text.index("\nsupply:")] + text[text.index("\nboards:"):]).encode()))
    assert "the supply" in what_is_live(bare).splitlines()[-2]


def test_each_source_is_asked_for_once_with_the_supply_and_without_it_where_something_backs_up() -> None:
    assert [(s.source, s.mode.live) for s in situations(flows_of("bakery")) if s.source] == [("INV1", True), ("INV1", False), ("G1", True), ("G1", False)]
    assert [s.source for s in situations(flows_of("cottage")) if s.source] == list(flows_of("cottage").sources)


@pytest.mark.parametrize("name", [path.parent.name for path in sorted(GALLERY.glob("*/site.yaml"))])
def test_the_command_answers_for_every_site(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--site", str(GALLERY / name / "site.yaml"), "modes"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Grid: the supply is there") and out.rstrip().endswith("prove dead at each point of work.")
