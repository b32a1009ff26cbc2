"""The window's everyday questions, each as one call on any crib that has the tags."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

from crib.acts import yes_to
from crib.stock.book import ledger
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
_hours = count(1)


@dataclass(frozen=True)
class Question:
    """One question about two tags; some may walk over every piece, or one piece's whole story."""

    name: str
    ask: Callable[[Session, str, str], Any]
    every_piece: bool = False
    whole_story: bool = False


def _find(session: Session, _one: str, _other: str) -> Any:
    from crib.desk.answer.find import find

    return find(session, "hole 13/16 thru 3/8 A36")


def _find_nothing(session: Session, _one: str, _other: str) -> Any:
    from crib.desk.answer.find import find

    return find(session, "slot 13/16 x 2-1/8 thru 3/8")


def _log(session: Session, one: str, other: str) -> Any:
    from crib.desk.strokes.log import LogOptions, log_words

    return log_words(session, [one, "60", other, "20"], LogOptions(), _later())


def _later() -> datetime:
    """A new hour for each shift, since the same count twice within minutes is asked back."""
    return NOW + timedelta(hours=next(_hours))


def _show(session: Session, one: str, _other: str) -> Any:
    from crib.desk.book.show import show_piece

    return show_piece(session, one)


def _chart(session: Session, one: str, _other: str) -> Any:
    from crib.desk.edges.chart import ChartRequest, chart_of

    return chart_of(session, ChartRequest(one))


def _chart_life(session: Session, one: str, _other: str) -> Any:
    from crib.desk.edges.chart import ChartRequest, chart_of

    return chart_of(session, ChartRequest(one, life=True))


def _by_tag(session: Session, one: str, _other: str) -> Any:
    return piece_by_tag(session, one)


def _write(session: Session, one: str, _other: str) -> Any:
    piece = piece_by_tag(session, one)
    entry = ledger.NewEntry("strokes", piece.id, quantity=5, weighted_milli=5000)
    ledger.write(session, ledger.new_stamp(1, now=NOW), [entry])


def _due(session: Session, _one: str, _other: str) -> Any:
    from crib.desk.edges.due import DueRequest, list_due

    return list_due(session, DueRequest())


def _job_runs(session: Session, one: str, other: str) -> Any:
    from crib.stock.queries.jobs import JobLineRow, open_jobs, open_runs_at, runs_of_pieces
    from crib.stock.writers.keep_jobs import JobFacts, NewRun, keep_plan

    punch, die = piece_by_tag(session, one).id, piece_by_tag(session, other).id
    station = session.value("SELECT min(id) FROM station")
    run = NewRun(station, punch, die, "B1", "hole 13/16 thru 3/8 A36", "A36", 9.525, 8, 8)
    line = JobLineRow("B1", "hole 13/16 thru 3/8 A36", 8, 2)
    stamp = ledger.new_stamp(1, now=NOW)
    keep_plan(
        session,
        stamp,
        JobFacts("growing"),
        [line],
        [run],
        confirmed=yes_to("strokes-of-earlier-plan"),
    )
    found = open_runs_at(session, [station])
    return found, runs_of_pieces(session, [punch]), open_jobs(session)


def _who_has_what(session: Session, one: str, other: str) -> Any:
    from crib.stock.writers import holds

    ids = [piece_by_tag(session, tag).id for tag in (one, other)]
    with session.writing():
        mine = [card.id for card in holds.hold_of_pieces(session, ids).values()]
        holds.mark_released(session, mine)
        holds.promise(session, ledger.new_stamp(1, now=NOW), None, ids, spare=False)
    late = holds.late_holds(session, "2026-03-02")
    return late, holds.active_holds(session)


def _kit(session: Session, one: str, other: str) -> Any:
    from crib.desk.kit.hold import hold_kit, release_kit
    from crib.desk.kit.job_kit import show_kit
    from crib.stock.writers.holds import active_holds, mark_released

    with session.writing():
        mark_released(session, [card.id for card in active_holds(session)])
    _job_runs(session, one, other)
    return (
        hold_kit(session, "growing"),
        show_kit(session, "growing"),
        release_kit(session, "growing"),
    )


QUESTIONS = [
    Question("find", _find),
    Question("find nothing", _find_nothing, every_piece=True),
    Question("log", _log),
    Question("show", _show, whole_story=True),
    Question("chart of wear", _chart, whole_story=True),
    Question("chart of life", _chart_life, whole_story=True),
    Question("a tag", _by_tag),
    Question("write strokes", _write),
    Question("due", _due, every_piece=True),
    Question("runs of jobs", _job_runs, every_piece=True),
    Question("who has what", _who_has_what),
    Question("a kit", _kit, every_piece=True),
]
