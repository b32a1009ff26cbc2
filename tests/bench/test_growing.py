"""The window's questions in a crib that grew a hundredfold, against the same in a small one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.bench.big_crib import Size, build
from tests.bench.ratios import Ratio, compare, timed

pytestmark = pytest.mark.bench

SMALL = Size(pieces=1_000, kinds=400, entries=10_000)
MANY_PIECES = Size(pieces=100_000, kinds=2_000, entries=1_000_000)
LONG_LEDGER = Size(pieces=1_000, kinds=400, entries=10_000_000)
ROUNDS = 31


@contextmanager
def opened(size: Size) -> Iterator[Session]:
    """A crib of one size, in a folder that goes away with it: the long one is over a gigabyte."""
    with TemporaryDirectory(prefix="crib-bench-") as folder:
        session = open_crib(build(Path(folder) / "bench.crib", size))
        try:
            yield session
        finally:
            session.close()


@pytest.fixture(scope="module")
def small() -> Iterator[Session]:
    """A crib of a thousand pieces."""
    with opened(SMALL) as session:
        yield session


@pytest.fixture(scope="module")
def many_pieces() -> Iterator[Session]:
    """A hundred times the pieces and the ledger, five times the kinds."""
    with opened(MANY_PIECES) as session:
        yield session


def side_by_side(
    what: str, ask: Callable[[Session], object], big: Session, small: Session
) -> Ratio:
    """One question in both cribs, by turns."""
    return compare(
        what,
        lambda: timed(lambda: ask(big)),
        (
            "the same in a crib of 1,000 pieces and 10,000 entries",
            lambda: timed(lambda: ask(small)),
        ),
        limit=1.5,
        rounds=ROUNDS,
    )


def find(session: Session) -> object:
    """Which die for this hole?"""
    from crib.desk.answer.find import find

    return find(session, "hole 13/16 thru 3/8 A36")


def due(session: Session) -> object:
    """What needs grinding?"""
    from crib.desk.edges.due import DueRequest, list_due

    return list_due(session, DueRequest())


def stock(session: Session) -> object:
    """What is on the shelf?"""
    from crib.desk.shelf.stock import list_stock
    from crib.stock.queries.shelf import Filters

    return list_stock(session, Filters())


def test_find_is_as_quick_among_a_hundred_thousand_pieces(
    many_pieces: Session, small: Session
) -> None:
    found = side_by_side("find, 100,000 pieces, 1,000,000 entries", find, many_pieces, small)
    assert found.ratio <= found.limit, found.line


def test_a_screenful_is_shown_in_a_quarter_of_the_time_of_reading_every_piece(
    many_pieces: Session,
) -> None:
    found = compare(
        "stock, 100,000 pieces",
        lambda: timed(lambda: stock(many_pieces)),
        (
            "reading every piece's row",
            lambda: timed(lambda: many_pieces.rows("SELECT * FROM piece")),
        ),
        limit=0.25,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line


def test_due_is_shown_in_half_of_the_time_of_reading_every_piece(many_pieces: Session) -> None:
    found = compare(
        "due, 100,000 pieces",
        lambda: timed(lambda: due(many_pieces)),
        (
            "reading every piece's row",
            lambda: timed(lambda: many_pieces.rows("SELECT * FROM piece")),
        ),
        limit=0.5,
        rounds=ROUNDS,
    )
    assert found.ratio <= found.limit, found.line


def test_due_is_as_quick_behind_ten_million_entries(small: Session) -> None:
    with opened(LONG_LEDGER) as session:
        found = side_by_side("due, 1,000 pieces, 10,000,000 entries", due, session, small)
    assert found.ratio <= found.limit, found.line
