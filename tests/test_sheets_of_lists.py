# SPDX-License-Identifier: MIT
"""How lists are set on paper: both ends of a core in one row, words that only repeat others left out, ratings and values to set apart."""
from __future__ import annotations

from pathlib import Path

import pytest
import sites
from schedules import SCHEDULES
from schedules.columns import Column, Row, Table
from topology.flow import Flows
from topology.read import read_bytes, read_file

from sld.issue.ends import both_ends
from sld.issue.flow import pages
from sld.issue.grid import Grid
from sld.issue.listing import schedule_blocks
from sld.primitives import Text

SITE = Path("gallery/boathouse/site.yaml")
CORES = (Column("id"), Column("end", end=True), Column("at", each=True), Column("conductor"), Column("ferrule", usual="{id}:{conductor}"), Column("done", room=8, each=True))


def cores(*rows: tuple[str, ...]) -> Table:
    return Table("x", "Cores", CORES, tuple(Row((*row, "")) for row in rows))


def test_both_ends_of_a_core_stand_in_one_row_and_an_end_of_another_kind_keeps_its_name() -> None:
    made = both_ends(cores(("W1", "from", "A", "L1", "W1:L1"), ("W1", "from", "A", "N", "W1:N"), ("W1", "to", "B", "L1", "W1:L1"),
                           ("W1", "to", "B", "N", "W1:N"), ("W1", "taps", "C", "N", ""), ("W2", "to", "D", "L1", "W2:L1")))
    assert [column.heading for column in made.columns] == ["id", "conductor", "ferrule", "from: at", "from: done", "to: at", "to: done"]
    assert [[row[c] for c in (0, 1, 3, 5)] for row in made.texts()] == [["W1", "L1", "A", "B"], ["W1", "N", "A", "B"], ["W1", "N", "taps: C", ""], ["W2", "L1", "", "D"]]


def test_what_only_repeats_its_row_is_left_out_and_what_does_not_is_said_there() -> None:
    table, said = cores(*(("W1", "from", "A", f"L{n}", f"W1:L{n}") for n in (1, 2, 3)), ("W1", "from", "A", "all", "W1:lead"), ("W1", "taps", "A", "N", "")).lean()
    assert [row[3] for row in table.texts()] == ["L1", "L2", "L3", "all, ferrule W1:lead", "N, no ferrule"]
    assert "ferrule" not in [column.heading for column in table.columns]
    assert said == ("Where nothing else is said the ferrule is id:conductor.",)


def test_a_column_that_mostly_says_something_of_its_own_stays_as_it_is() -> None:
    table, said = cores(("W1", "from", "A", "L1", "W1:L1"), ("W1", "from", "A", "L2", "b"), ("W1", "from", "A", "L3", "c")).lean()
    assert [row[4] for row in table.texts()] == ["W1:L1", "b", "c"] and said == ()


@pytest.mark.parametrize(("seed", "phases"), [(3, 1), (4, 3)])
def test_every_end_of_every_core_of_a_random_site_is_still_there(seed: int, phases: int) -> None:
    table = SCHEDULES["terminations"](Flows(read_bytes(sites.site(seed, 40, phases).encode())))
    names = [column.heading for column in table.columns]
    single = sorted((row[0], row[names.index("conductor")], row[names.index("ferrule")], row[names.index("at")], row[names.index("terminal")]) for row in table.texts())
    made = both_ends(table)
    titles = [column.heading for column in made.columns]
    pairs = []
    for row in made.texts():
        cell = dict(zip(titles, row, strict=True))
        pairs += [(row[0], cell["conductor"], cell["ferrule"], cell[f"{end}: at"].removeprefix("taps: "), cell[f"{end}: terminal"]) for end in ("from", "to")]
    assert sorted(pair for pair in pairs if pair[3] or pair[4]) == single
    assert len(made.rows) < 0.6 * len(table.rows)


def test_ratings_and_values_to_set_are_printed_apart_and_no_row_is_lost() -> None:
    table = SCHEDULES["protection"](Flows(read_file(SITE)))
    ratings, values = table.printed()
    assert {row.cells[0] for row in ratings.rows} & {row.cells[0] for row in values.rows} == set()
    assert len(ratings.rows) + len(values.rows) == len(table.rows)
    assert any("IEC 60898-1" in note for note in ratings.notes) and any("Proposed settings" in note for note in values.notes)
    assert {*ratings.notes, *values.notes} == set(table.notes)


def test_a_group_does_not_go_on_over_the_page_for_one_row() -> None:
    for count in range(20, 45):
        names = [f"R{n}" for n in range(count)] + [f"S{n}" for n in range(12)]
        grid = Grid(("id", "text"), tuple((name, "words " * 40) for name in names), groups=tuple("one" if name[0] == "R" else "two" for name in names))
        for page in pages([grid], 300.0, 150.0):
            read = [mark.text for mark in page.marks if isinstance(mark, Text)]
            if "one, continued" in read:
                assert sum(text[0] == "R" for text in read) >= 3


def test_notes_of_a_table_stand_with_its_last_rows() -> None:
    blocks = list(schedule_blocks([SCHEDULES["protection"](Flows(read_file(SITE)))], Flows(read_file(SITE)), 378.0))
    for height in range(120, 240, 10):
        texts = [[mark.text for mark in page.marks if isinstance(mark, Text)] for page in pages(blocks, 378.0, float(height))]
        last = next(page for page in texts if "words" in page and "note" in page)
        assert sum(text in ("memory", "second-hand", "text") for text in last) >= 4


@pytest.mark.parametrize("name", ["cottage", "terrace", "longrun", "part-changeover"])
def test_the_shutdown_procedure_stands_on_one_sheet_with_all_its_steps_and_room_to_sign(name: str) -> None:
    flows = Flows(read_file(Path(f"gallery/{name}/site.yaml")))
    table = SCHEDULES["labels"](flows)
    signs, steps = table.printed()
    assert len(signs.rows) + len(steps.rows) == len(table.rows) and signs.title == "Labels" and steps.title == "Shutdown procedure"
    at, step_at = ([column.heading for column in each.columns].index("words") for each in (table, steps))
    assert [row[at] for row in table.texts() if "shutdown" in row] == [row[step_at] for row in steps.texts()]
    made = pages(schedule_blocks([table], flows, 378.0), 378.0, 220.0)
    assert ["Shutdown procedure" in page.parts for page in made].count(True) == 1
    marks = [mark for page in made if "Shutdown procedure" in page.parts for mark in page.marks if isinstance(mark, Text)]
    texts = [mark.text for mark in marks]
    assert len({mark.at[0] for mark in marks if mark.text.startswith(("Turn off", "STAYS LIVE", "Shutdown sequence confirmed"))}) == 1  # one column
    assert all(f"Shutdown sequence confirmed by: {what}" in texts for what in ("name and role", "licence number", "signature and date"))
    assert not any("DRAFT" in cell for row in signs.texts() for cell in row)


def test_the_equipment_list_is_printed_in_two_and_nothing_is_lost() -> None:
    for name in ("cottage", "ferry", "farmhouse"):
        table = SCHEDULES["equipment"](Flows(read_file(Path(f"gallery/{name}/site.yaml"))))
        things, plates = table.printed()
        assert [row.id for row in things.rows] == [row.id for row in table.rows]
        assert {*things.columns, *plates.columns} == {*table.columns}
        for row, texts in zip(table.rows, table.texts(), strict=True):
            cells = dict(zip((c.heading for c in table.columns), texts, strict=True))
            on_plates = [dict(zip((c.heading for c in plates.columns), other, strict=True)) for other in plates.texts() if other[0] == row.id]
            told = {c.heading for c in plates.columns} - {c.heading for c in things.columns}
            assert all(cells[heading] == plate[heading] for plate in on_plates for heading in told)
            assert on_plates or not any(cells[heading] for heading in told)


def test_an_empty_cell_stands_for_the_usual_id_and_a_dash_for_none() -> None:
    columns = (Column("id"), Column("cable", usual="{id}.cable", bare=True))
    table, said = Table("x", "Circuits", columns, tuple(map(Row, (("A", "A.cable"), ("B", "B.cable"), ("C", "C.cable"), ("D", "W1"), ("E", ""))))).lean()
    assert [row[1] for row in table.texts()] == ["", "", "", "W1", "–"]
    assert said == ("An empty cell stands under cable for id.cable; – stands for none.",)


@pytest.mark.parametrize("height", range(100, 240, 20))
def test_the_notes_of_a_table_never_stand_on_a_sheet_without_a_row_of_it(height: int) -> None:
    long = tuple(f"note {n} " + "with words " * 70 for n in range(3))
    tables = [Table(f"t{n}", f"Title {n}", (Column("id"),), tuple(Row((f"R{n}.{m}",)) for m in range(9 + 5 * n)), (f"of {n}", *long) if n % 2 else (), {}) for n in range(5)]
    for page in pages(schedule_blocks(tables, Flows(read_file(SITE)), 378.0), 378.0, float(height)):
        texts = [mark.text for mark in page.marks if isinstance(mark, Text)]
        assert all(any(text.startswith(f"R{title[-1]}.") for text in texts) for title in page.parts)
