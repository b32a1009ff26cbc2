"""Who has which piece until when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called
from crib.stock.queries.pieces import piece_by_tag
from crib.stock.tables.row_check import RowRefused
from crib.stock.writers import holds
from crib.stock.writers.keep_jobs import close_job
from tests.desk.planned import plan_job, run
from tests.shop import small_shop

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    """A small shop with two jobs that want the same punch."""
    session = small_shop(tmp_path / "shop.crib")
    for name in ("24-117", "24-118"):
        plan_job(session, name, run(session, "P-0137", 40), due_on="2026-03-09")
    yield session
    session.close()


def promised(session: Session, job: str, *tags: str, spare: bool = False) -> int:
    """Pieces promised to a job; returns the job's number."""
    job_id = job_called(session, job).id
    ids = [piece_by_tag(session, tag).id for tag in tags]
    with session.writing():
        holds.promise(session, ledger.new_stamp(1, now=NOW), job_id, ids, spare=spare)
    return job_id


def test_a_promised_piece_is_known_by_its_job_and_kept_from_others(shop: Session) -> None:
    promised(shop, "24-117", "P-0137", "D-0201")
    (die, punch) = holds.active_holds(shop)
    assert (die.tag, punch.tag, punch.job, punch.state) == ("D-0201", "P-0137", "24-117", "held")
    assert punch.words == "promised to job 24-117, due 2026-03-09"
    assert set(holds.tags_held_for_others(holds.active_holds(shop), "")) == {"P-0137", "D-0201"}
    assert set(holds.tags_held_for_others(holds.active_holds(shop), "24-118")) == {
        "P-0137",
        "D-0201",
    }
    assert holds.tags_held_for_others(holds.active_holds(shop), "24-117") == {}


def test_a_piece_is_promised_once_at_a_time(shop: Session) -> None:
    promised(shop, "24-117", "P-0137")
    with pytest.raises(RowRefused, match="hold: there is one of the same piece already"):
        promised(shop, "24-118", "P-0140", "P-0137")
    assert [one.tag for one in holds.active_holds(shop)] == ["P-0137"]


def test_what_is_out_is_late_from_the_day_after(shop: Session) -> None:
    job_id = promised(shop, "24-117", "P-0137")
    (card,) = holds.holds_of_job(shop, job_id)
    with shop.writing():
        holds.mark_out(shop, [card.id], "bench 2", "2026-03-02", "2026-03-03")
    assert holds.late_holds(shop, "2026-03-03") == []
    (late,) = holds.late_holds(shop, "2026-03-04")
    assert late.words == "out with bench 2 for job 24-117 until 2026-03-03"
    with shop.writing():
        holds.mark_back(shop, [card.id], "2026-03-04")
    assert holds.late_holds(shop, "2026-03-09") == []
    assert holds.hold_of_pieces(shop, [card.piece_id]) == {}


def test_what_a_hold_was_out_for_goes_with_its_state(shop: Session) -> None:
    job_id = promised(shop, "24-117", "P-0137")
    (card,) = holds.holds_of_job(shop, job_id)
    with shop.writing():
        holds.mark_out(shop, [card.id], "bench 2", "2026-03-02", "2026-03-03")
        holds.mark_back(shop, [card.id], "2026-03-04")
    seen = []
    for state in ("out", "held"):
        (latest,) = holds.holds_of_pieces(shop, [card.piece_id])
        seen.append((latest.state, latest.holder, latest.back_on))
        with shop.writing():
            holds.put_state(shop, {card.id: state})
    (latest,) = holds.holds_of_pieces(shop, [card.piece_id])
    seen.append((latest.state, latest.holder, latest.back_on))
    assert seen == [("back", "bench 2", "2026-03-04"), ("out", "bench 2", ""), ("held", "", "")]


def test_closing_a_job_frees_what_was_only_promised(shop: Session) -> None:
    job_id = promised(shop, "24-117", "P-0137", "D-0201")
    die, _punch = holds.active_holds(shop)
    with shop.writing():
        holds.mark_out(shop, [die.id], "bench 2", "2026-03-02", "2026-03-03")
    close_job(shop, job_called(shop, "24-117"), "2026-03-03")
    assert [(one.tag, one.state) for one in holds.active_holds(shop)] == [("D-0201", "out")]
    states = [one.state for one in holds.holds_of_job(shop, job_id)]
    assert sorted(states) == ["out", "released"]


def test_released_pieces_are_free_for_another_job(shop: Session) -> None:
    promised(shop, "24-117", "P-0137")
    (card,) = holds.active_holds(shop)
    with shop.writing():
        holds.mark_released(shop, [card.id])
    promised(shop, "24-118", "P-0137")
    assert [one.job for one in holds.active_holds(shop)] == ["24-118"]
