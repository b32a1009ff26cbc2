"""Laws of a job's strokes, whatever is logged, taken back, planned again and closed."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.undo import undo_entries
from crib.desk.kit.open_jobs import ASSUMED, Closing, close
from crib.desk.strokes.log import LogOptions, log_words
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_called, planned_runs
from tests.desk.planning import hole, part_list, plan, two_machines

JOB = "24-118"
LOG, UNDO, AGAIN = "log", "undo", "plan again"
SIZES = ("11/16", "13/16")
PAIRS = {
    "11/16": (("P-13", "D-13"), ("P-23", "D-23")),
    "13/16": (("P-14", "D-14"), ("P-24", "D-24")),
}
LINES = st.lists(
    st.tuples(
        st.sampled_from(SIZES),
        st.sampled_from(["1/4", "3/8"]),
        st.integers(1, 40),
        st.integers(1, 4),
    ),
    min_size=1,
    max_size=3,
)
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just(LOG), st.sampled_from(SIZES), st.integers(0, 1), st.integers(1, 90)),
        st.tuples(st.just(UNDO), st.just(""), st.integers(0, 9), st.just(0)),
        st.tuples(st.just(AGAIN), st.just(""), st.just(0), st.just(0)),
    ),
    max_size=6,
)
Step = tuple[str, str, int, int]


def strokes(session: Session) -> dict[int, int]:
    """The job's standing strokes of punches by entry: what the ledger says."""
    rows = session.rows(
        "SELECT entry.id, entry.quantity FROM entry JOIN piece ON piece.id = entry.piece_id"
        " JOIN kind ON kind.id = piece.kind_id AND kind.role = 'punch'"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.action = 'strokes' AND entry.job = ? AND counter.id IS NULL",
        (JOB,),
    )
    return {row[0]: row[1] for row in rows}


def take(session: Session, step: Step) -> None:
    """One thing that happens to the job."""
    what, size, which, count = step
    if what == LOG:
        punch, die = PAIRS[size][which]
        words = [punch, str(count), "thru", "3/8", "A36", "with", die, "job", JOB]
        log_words(session, words, LogOptions(confirmed=yes_to("typed-already", "many-strokes")))
    elif what == UNDO:
        standing = sorted(strokes(session))
        if standing:
            undo_entries(session, [standing[which % len(standing)]], "a slip")
    else:
        plan(
            session,
            job=JOB,
            keep=True,
            confirmed=yes_to("strokes-of-earlier-plan"),
            seconds=0.02,
        )


def adds_up(session: Session, planned: int) -> int:
    """Planned is logged and left, none below 0; what is logged stands in the ledger. Gives left."""
    card = job_called(session, JOB)
    runs = planned_runs(session, card.id)
    assert card.planned == planned == sum(run.strokes for run in runs)
    assert all(0 <= run.logged <= run.strokes for run in runs)
    assert all(run.logged + run.left == run.strokes for run in runs)
    assert (card.logged, card.left) == (sum(r.logged for r in runs), sum(r.left for r in runs))
    # A size that no run asks for has no place in the job.
    sizes = {run.tag[-1] for run in runs}
    known = session.rows("SELECT id, tag FROM piece")
    tags = {row[0]: row[1] for row in known}
    owner = {row[0]: tags[row[1]] for row in session.rows("SELECT id, piece_id FROM entry")}
    told = sum(n for entry, n in strokes(session).items() if owner[entry][-1] in sizes)
    assert card.logged + card.beyond == told
    return card.left


def shop_with(folder: Path, lines: Sequence[tuple[str, str, int, int]]) -> Session:
    """Two machines, and the job kept."""
    session = two_machines(folder / "s.crib")
    rows = [
        (f"B{number}", hole(size, thick), pieces, each)
        for number, (size, thick, pieces, each) in enumerate(lines)
    ]
    plan(session, part_list(folder / "list.csv", *rows), job=JOB, keep=True, seconds=0.02)
    return session


@settings(max_examples=20, deadline=None)
@given(LINES, STEPS)
def test_planned_is_logged_and_left_and_closing_logs_what_was_left(
    lines: list[tuple[str, str, int, int]], steps: list[Step]
) -> None:
    with TemporaryDirectory() as folder, closing(shop_with(Path(folder), lines)) as session:
        planned = sum(pieces * each for *_what, pieces, each in lines)
        left = adds_up(session, planned)
        assert left == planned
        for step in steps:
            take(session, step)
            left = adds_up(session, planned)
        shown = plan(session, job=JOB, seconds=0.02)
        assert shown.strokes == left
        before = strokes(session)
        close(session, JOB, Closing(assume=True))
        assert adds_up(session, planned) == 0
        assumed = {entry: n for entry, n in strokes(session).items() if entry not in before}
        assert sum(assumed.values()) == left
        notes = session.rows("SELECT id FROM entry WHERE note = ? AND estimate", (ASSUMED,))
        assert set(assumed) <= {row[0] for row in notes}
        for entry in sorted(assumed, reverse=True):
            undo_entries(session, [entry], "not made after all")
        assert adds_up(session, planned) == left
