"""Whether a count is unusual is judged by the plan first, then by the past."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.strokes.log import LogOptions, log_lines, log_words
from crib.desk.strokes.shift import line_said, lines_to_ask, proposed_lines
from crib.desk.strokes.stroke_paper import PaperRequest, make_paper
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import AskBack, BadRows
from crib.stock.engine.session import Session
from tests.desk.planned import plan_job, run
from tests.shop import add_piece, long_there, small_shop

NOON = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
PLANNED = "where 400 are planned"

NO_JOB = LogOptions(confirmed=yes_to("no-job"))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    long_there(session)
    plan_job(session, "J-1", run(session, "P-0137", 400, die="D-0201"))
    yield session
    session.close()


def used_to(session: Session, count: int) -> None:
    """Have a punch make so many a shift."""
    for day in range(3):
        log_words(session, ["P-0137", str(count)], NO_JOB, NOON + timedelta(days=day))


@pytest.mark.parametrize(
    ("count", "asked"), [(1, False), (400, False), (800, False), (801, True), (4000, True)]
)
def test_a_count_is_held_against_its_jobs_plan(shop: Session, count: int, asked: bool) -> None:
    if asked:
        with pytest.raises(AskBack, match=PLANNED):
            log_words(shop, ["P-0137", str(count), "job", "J-1"], LogOptions(), NOON)
    else:
        log_words(shop, ["P-0137", str(count), "job", "J-1"], LogOptions(), NOON)


@pytest.mark.parametrize("job", ["job J-1", ""])
def test_a_planned_count_far_above_the_usual_is_not_asked(shop: Session, job: str) -> None:
    used_to(shop, 20)
    log_words(shop, ["P-0137", "400", *job.split()], NO_JOB, NOON + timedelta(days=4))


def test_a_count_that_no_plan_bears_out_is_held_against_the_usual(shop: Session) -> None:
    used_to(shop, 20)
    for words in (["P-0137", "801"], ["P-0137", "400", "job", "another"]):
        with pytest.raises(AskBack, match="10 times its usual 20"):
            log_words(shop, words, NO_JOB, NOON + timedelta(days=4))


def test_what_is_logged_already_counts_too(shop: Session) -> None:
    log_words(shop, "P-0137 390 job J-1".split(), LogOptions(), NOON)
    log_words(shop, "P-0137 30 job J-1".split(), LogOptions(), NOON)
    with pytest.raises(AskBack, match="400 are planned and 400 logged already"):
        log_words(shop, "P-0137 401 job J-1".split(), LogOptions(), NOON + timedelta(days=1))


def test_a_copy_is_held_against_the_plan_of_its_like(shop: Session) -> None:
    add_piece(shop, "P-0150", shop.value("SELECT kind_id FROM piece WHERE tag = 'P-0137'"))
    with pytest.raises(AskBack, match=PLANNED):
        log_words(shop, "P-0150 4000 job J-1".split(), LogOptions())


def test_every_way_to_count_asks(shop: Session, tmp_path: Path) -> None:
    (line,) = lines_to_ask(proposed_lines(shop))
    with pytest.raises(AskBack, match=PLANNED):
        log_lines(shop, [line_said(shop, line.known, ["4000"])], LogOptions())
    code = make_paper(shop, PaperRequest(tmp_path / "sheet.pdf")).lines[0].code
    with pytest.raises(AskBack, match=PLANNED):
        log_words(shop, [code, "4000"], LogOptions())
    with pytest.raises(BadRows) as caught:
        take_sheet(shop, f"line,strokes\n{code},4000\n".encode(), "x.csv", LogOptions())
    assert PLANNED in str(caught.value.faults[0].said())
    hand_out(shop, "J-1", HandOut("bench 2", until="2099-01-01"))
    with pytest.raises(AskBack, match=PLANNED):
        take_back(shop, "J-1", TakeBack(counts=("P-0137=4000",)))


@settings(max_examples=20, deadline=None)
@given(
    planned=st.integers(1, 5000), usual=st.none() | st.integers(1, 3000), typed=st.integers(1, 9999)
)
def test_the_past_never_decides_where_there_is_a_plan(
    planned: int, usual: int | None, typed: int
) -> None:
    with TemporaryDirectory() as folder, closing(small_shop(Path(folder) / "s.crib")) as session:
        long_there(session)
        if usual:
            used_to(session, usual)
        plan_job(session, "J-1", run(session, "P-0137", planned))
        words = ["P-0137", str(typed), "job", "J-1"]
        if typed <= 2 * planned:
            log_words(session, words, LogOptions(), NOON + timedelta(days=9))
        else:
            with pytest.raises(AskBack, match=f"where {planned:,} are planned"):
                log_words(session, words, LogOptions(), NOON + timedelta(days=9))
