"""A question costs the same in a crib with more pieces, and with a longer ledger.

Counted in SQLite's own steps, so that a busy machine does not matter; the clock's side of it is
measured in ``tests/bench``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.bench.big_crib import Size, build
from tests.stock.questions import QUESTIONS, Question
from tests.stock.sql_seen import work_of

KINDS = 400
MOST_GROWTH = 1.5
MOST_GROWTH_BY_PIECES = 3.0
"""Twenty times the pieces: the measured ones of the wanted size are looked at one by one."""
STEPS_ALLOWED = 2000

BY_PIECES = [one for one in QUESTIONS if not one.every_piece]
BY_LEDGER = [one for one in QUESTIONS if not one.whole_story]


def opened(folder: Path, size: Size) -> Session:
    """A crib of one size, built and opened."""
    return open_crib(build(folder / f"{size.pieces}-{size.entries}.crib", size))


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A crib with few pieces and a short ledger."""
    with closing(opened(tmp_path_factory.mktemp("small"), Size(500, KINDS, 20_000))) as session:
        yield session


@pytest.fixture(scope="module")
def many_pieces(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The same kinds with twenty times the pieces."""
    with closing(opened(tmp_path_factory.mktemp("many"), Size(10_000, KINDS, 400_000))) as session:
        yield session


@pytest.fixture(scope="module")
def long_ledger(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The same pieces with ten times the ledger."""
    with closing(opened(tmp_path_factory.mktemp("long"), Size(500, KINDS, 200_000))) as session:
        yield session


def work(session: Session, question: Question) -> int:
    """What a question costs, asked once before so that everything is read in."""
    question.ask(session, "T-000140", "T-000141")
    return work_of(session, lambda crib: question.ask(crib, "T-000145", "T-000149"))


@pytest.mark.parametrize("question", BY_PIECES, ids=[one.name for one in BY_PIECES])
def test_more_pieces_do_not_make_a_question_dearer(
    small: Session, many_pieces: Session, question: Question
) -> None:
    most = work(small, question) * MOST_GROWTH_BY_PIECES + STEPS_ALLOWED
    assert work(many_pieces, question) <= most


@pytest.mark.parametrize("question", BY_LEDGER, ids=[one.name for one in BY_LEDGER])
def test_a_longer_ledger_does_not_make_a_question_dearer(
    small: Session, long_ledger: Session, question: Question
) -> None:
    most = work(small, question) * MOST_GROWTH + STEPS_ALLOWED
    assert work(long_ledger, question) <= most
