# SPDX-License-Identifier: MIT
"""What the crew and the estimator read: terminations, sensors, cables, equipment and circuits, compared with the site by hand."""
from __future__ import annotations

from pathlib import Path

from schedules import SCHEDULES
from topology.flow import Flows
from topology.read import read_bytes

GALLERY = Path(__file__).parents[1] / "gallery"


def flows_of(name: str, *swaps: tuple[str, str]) -> Flows:
    text = (GALLERY / name / "site.yaml").read_text(encoding="utf-8")
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new)
    return Flows(read_bytes(text.encode()))


def rows(name: str, flows: Flows, **wanted: str) -> list[dict[str, str]]:
    table = SCHEDULES[name](flows)
    found = [dict(zip((column.title for column in table.columns), texts, strict=True)) for texts in table.texts()]
    return [row for row in found if all(row[key.removesuffix("_")] == value for key, value in wanted.items())]


def test_a_phase_goes_past_the_link_between_neutral_and_earth_and_the_pen_ends_there() -> None:
    """Cottage: W1, link NE1, sensor CT1, main switch Q1 2P. A link joins neutral and earth; no phase touches it (IEC 60364-1, TN-C-S)."""
    found = rows("terminations", flows_of("cottage"), id="W1", end="to")
    assert [(r["conductor"], r["at"], r["terminal"]) for r in found] == [("L1", "Q1", "1"), ("PEN", "NE1", "PEN")]


def test_a_core_round_two_circuits_sees_the_sources_of_both() -> None:
    """part-sensors: CT2 goes round the circuits of INV1 and of INV2; a core sums the currents that pass through it (Ampère's law)."""
    found, = rows("sensors", flows_of("part-sensors"), id="CT2")
    assert (found["sources behind"], found["circuit"], found["also round"]) == ("INV1 INV2", "MSB.1", "CT2.2 in MSB.3")


def test_sensors_of_one_ratio_and_lead_are_one_article_whatever_they_measure() -> None:
    """Orchard: three of 100 A on the grid, three of 50 A at the inverters, one for each phase."""
    found = rows("equipment", flows_of("orchard"), item="current transformer")
    assert {r["id"]: (r["other facts"], r["total of this article"]) for r in found if r["total of this article"]} == {
        "CT1": ("100 A / 0.333 V, lead 3 m", "3"), "CT4": ("50 A / 0.333 V, lead 2 m", "3")}


def test_a_device_for_direct_current_is_another_article_than_its_like_for_alternating_current() -> None:
    """Cottage: QP1 stands between array and inverter, QS1 behind the inverter, both 32 A 2P. IEC 60947-3 rates switches for each kind of current
    (utilisation categories AC-2x and DC-2x, from memory)."""
    found = {r["id"]: r for r in rows("equipment", flows_of("cottage"), item="isolator")}
    assert {id_: (r["other facts"], r["total of this article"]) for id_, r in found.items()} == {
        "QS1": ("", "1"), "QP1": ("for direct current", "1"), "QB1": ("", "1")}  # QB1 is new, the others are there
    array, = rows("cables", flows_of("cottage", ("4 mm² 2C Cu 16 m on surface", "4 mm² 2C+2.5E Cu XLPE 16 m on surface")), id="WP1")
    assert array["total of this make [m]"] == "16"  # not with the 14 m of W2, 4 mm² 2C+2.5E Cu XLPE too


def test_the_equipment_list_says_what_an_order_needs() -> None:
    flows = flows_of("bakery", ("modules: 6,", "modules: 5,"))
    facts = {r["id"]: (r["other facts"], r["total of this article"]) for r in rows("equipment", flows)}
    assert (facts["BB"], facts["M1"]) == (("12 ways", "1"), ("import and export", "1"))
    assert (facts["PV1"], facts["PV2"]) == (("400 W a module", "9"), ("480 W a module", "5"))  # 3.6 kW / 9, 2.4 kW / 5
    bonds = {r["id"]: r["other facts"] for r in rows("equipment", flows_of("part-earthing"), item="bond")}
    assert bonds == {"MET.bond": "water pipe, 4 mm²", "MET.bond2": "steel frame, 4 mm²"}  # as its file says


def test_a_device_of_a_type_has_the_rating_and_poles_of_its_type() -> None:
    flows = flows_of("boathouse", ("disconnection_device: {id: KD1, type: disconnect-1ph-32, rating: 32 A 1P+N}",
                                   "disconnection_device: {id: KD1, type: disconnect-1ph-32}"))
    found, = rows("equipment", flows, id="KD1")
    assert (found["rating [A]"], found["poles"], found["total of this article"]) == ("32", "1P+N", "4")


def test_an_electrode_has_the_status_and_owner_of_its_link() -> None:
    found, = rows("equipment", flows_of("cottage"), id="NE1.electrode")
    assert (found["status"], found["owner"]) == ("existing", "customer")


def test_what_counts_as_existing_beside_new_things_is_named_since_no_order_holds_it() -> None:
    flows = flows_of("boathouse", ("    type: bus-shielded-pair-60\n    status: new\n", "    type: bus-shielded-pair-60\n"),
                     ("P1: to supply, status: new, primary: 100 A", "P1: to supply, primary: 100 A"))
    assert "though joined to what is new: control. Nothing" in SCHEDULES["buses"](flows).notes[0]
    assert "though joined to what is new: CT1. Nothing" in SCHEDULES["sensors"](flows).notes[0]
    said = flows_of("boathouse", ("    type: bus-shielded-pair-60\n    status: new\n", "    type: bus-shielded-pair-60\n    status: existing\n"))
    assert not SCHEDULES["buses"](said).notes and not SCHEDULES["sensors"](said).notes


def test_the_card_in_the_door_begins_with_what_comes_in_and_what_else_feeds_the_board() -> None:
    found = [r for r in rows("circuits", flows_of("boathouse")) if r["kind"].startswith("incoming")]
    assert [(r["id"], r["name"], r["device"], r["rating [A]"], r["poles"], r["cable"], r["kind"]) for r in found] == [
        ("MSB", "Main switchboard", "circuit-breaker", "63", "1P", "W1", "incoming from supply; fed by INV1 INV2 BAT1 BAT2 too"),
        ("SB", "Solar board", "switch", "63", "2P", "W2", "incoming from MSB.9; fed by INV1 INV2 BAT1 BAT2 too")]
    behind_changeover, = rows("circuits", flows_of("bakery"), id="BB", way="")
    assert (behind_changeover["kind"], behind_changeover["cable"], behind_changeover["rating [A]"]) == ("incoming from QA1.load", "W5", "63")


def test_a_board_that_two_feeds_reach_has_a_row_for_each_and_one_that_nothing_feeds_says_so() -> None:
    found = [(r["id"], r["kind"]) for r in rows("circuits", flows_of("part-coupler"), way="")]
    assert found == [("MSB", "incoming from supply"), ("DA", "incoming from MSB.1"), ("DB", "incoming from MSB.4"), ("DB", "incoming from QC1.b")]
    lost, = (r for r in rows("circuits", flows_of("boathouse", ("feeds: SB\n", "feeds: NOWHERE\n"))) if r["id"] == "SB" and not r["way"])
    assert (lost["kind"], lost["device"]) == ("incoming TBC", "switch")


def test_the_neutral_of_a_circuit_goes_through_its_rcbo_and_a_meter_has_no_terminal_for_pe() -> None:
    """Laws of the devices: a neutral beside its residual current device makes that trip; common practice, no source, for the meter."""
    found = rows("terminations", flows_of("terrace"), end="from")
    assert {(r["at"], r["terminal"]) for r in found if r["id"].startswith("CU.") and r["conductor"] == "N"} == {(f"CU.{n}.rcbo", "N") for n in (1, 2, 3, 4, 5)} | {
        ("CU.6.rcbo", "4")}
    assert [(r["at"], r["terminal"]) for r in found if r["id"] == "W1" and r["conductor"] == "PE"] == [("NE1", "earth")]
