"""Notes that were keys until revision 0002 become subjects, where they can be read safely."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alembic import command

from crib.stock.engine.migrate import alembic_config
from tests.schema.cribs import filled, insert_raw, raw
from tests.schema.rows import AT, ON, ROWS

BEFORE = "2026-03-01T14:00:00.000Z"
AFTER = "2026-03-02T15:00:00.000Z"
LATER = "2026-03-04T15:00:00.000Z"
NEXT_DAY = "2026-03-04"
PLAIN = next(row for table, row in ROWS["0001"] if table == "entry")
STROKES: dict[str, Any] = {"action": "strokes", "piece_id": 1, "quantity": 48, "job": "J-11"}
MOVE: dict[str, Any] = {"action": "move", "piece_id": 1, "place_id": 2}


def subject_after(tmp_path: Path, entry: dict[str, Any], *more: tuple[str, dict[str, Any]]) -> str:
    """What an entry of a crib at 0002 is about once the crib is at 0003."""
    path = filled(tmp_path / "old.crib", "0002")
    plain = {**PLAIN, "id": 90, "act": "a9", "made_at": AFTER, "shift_on": ON}
    with raw(path) as connection:
        for table, row in more:
            insert_raw(connection, table, row)
        insert_raw(connection, "entry", {**plain, **entry})
    command.upgrade(alembic_config(path), "0003")
    with raw(path) as connection:
        return str(connection.execute("SELECT subject FROM entry WHERE id = 90").fetchone()[0])


def test_the_rows_at_hand_are_what_these_tests_take_them_for(tmp_path: Path) -> None:
    path = filled(tmp_path / "old.crib", "0002")
    with raw(path) as connection:
        hold = dict(connection.execute("SELECT * FROM hold").fetchone())
        line = dict(connection.execute("SELECT * FROM paper_line").fetchone())
    assert (hold["id"], hold["piece_id"], hold["holder"]) == (1, 1, "bench 2")
    assert (line["paper_id"], line["line"], line["piece_id"]) == (1, 1, 1)


@pytest.mark.parametrize(
    ("note", "subject"),
    [
        ("sheet line 1-1", "line 1-1"),
        ("sheet line 1-1; the second lot", "line 1-1"),
        ("Sheet line 1-1; typed by hand", ""),
        ("sheet line 1-12", ""),
        ("sheet line 1-1 or so", ""),
        ("sheet line 2-1", ""),
        ("see sheet line 1-1", ""),
        ("assumed at closing", ""),
    ],
)
def test_strokes_typed_from_a_printed_line(tmp_path: Path, note: str, subject: str) -> None:
    assert subject_after(tmp_path, {**STROKES, "job": "", "note": note}) == subject


def test_a_line_of_another_piece_is_none(tmp_path: Path) -> None:
    other = {**STROKES, "piece_id": 2, "note": "sheet line 1-1"}
    assert subject_after(tmp_path, other) == ""


def test_a_sheet_made_after_the_entry_is_not_what_it_was_typed_from(tmp_path: Path) -> None:
    early = {**STROKES, "made_at": BEFORE, "note": "sheet line 1-1"}
    assert subject_after(tmp_path, early) == ""


def test_strokes_assumed_when_their_job_was_closed(tmp_path: Path) -> None:
    assumed = {**STROKES, "estimate": 1, "note": "assumed at closing"}
    assert subject_after(tmp_path, assumed) == "closing"


@pytest.mark.parametrize(
    ("entry", "subject"),
    [
        ({"note": "handed out to bench 2 for job J-11"}, "hold 1 out"),
        ({"note": "handed out to bench 2 for job J-11", "piece_id": 2}, ""),
        ({"note": "handed out to bench 2 for job J-12"}, ""),
        ({"note": "handed out to bench 2 for job J-11", "shift_on": NEXT_DAY}, ""),
        ({"note": "handed out to bench 2 for job J-11", "made_at": BEFORE}, ""),
        ({"note": "lent to bench 2"}, ""),
        ({"note": "back from bench 2 for job J-11"}, ""),
        ({"note": "back to the drawer"}, ""),
    ],
)
def test_a_move_by_which_a_piece_was_handed_out(
    tmp_path: Path, entry: dict[str, Any], subject: str
) -> None:
    assert subject_after(tmp_path, {**MOVE, **entry}) == subject


LOAN: dict[str, Any] = {
    **{"id": 2, "job_id": None, "piece_id": 2, "spare": 0, "state": "back", "holder": "the mill"},
    **{"out_on": ON, "due_back": ON, "back_on": NEXT_DAY, "person_id": 2, "made_at": AT},
}


@pytest.mark.parametrize(
    ("note", "shift_on", "subject"),
    [
        ("lent to the mill", ON, "hold 2 out"),
        ("back from the mill", NEXT_DAY, "hold 2 back"),
        ("back from the mill", ON, ""),
    ],
)
def test_a_loan_and_its_return(tmp_path: Path, note: str, shift_on: str, subject: str) -> None:
    entry = {**MOVE, "piece_id": 2, "note": note, "shift_on": shift_on}
    assert subject_after(tmp_path, entry, ("hold", LOAN)) == subject


def test_of_two_holds_alike_a_step_is_of_the_newest_that_there_was(tmp_path: Path) -> None:
    again = {**LOAN, "id": 3, "made_at": LATER}
    first = {**MOVE, "piece_id": 2, "note": "lent to the mill"}
    holds = (("hold", LOAN), ("hold", again))
    (tmp_path / "second").mkdir()
    assert subject_after(tmp_path, first, *holds) == "hold 2 out"
    assert subject_after(tmp_path / "second", {**first, "made_at": LATER}, *holds) == "hold 3 out"
