"""Running totals are what the ledger amounts to, however and in whatever order it was written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.stock.book import ledger
from crib.stock.book.ledger import Batch, NewEntry, Stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from tests.shop import small_shop

TODAY = datetime(2026, 3, 31, 12, 0, tzinfo=UTC)

ENTRY = st.one_of(
    st.builds(
        NewEntry,
        st.just("strokes"),
        st.integers(1, 5),
        quantity=st.integers(1, 900),
        weighted_milli=st.integers(0, 10**6),
    ),
    st.builds(NewEntry, st.just("grind"), st.integers(1, 5), ground_um=st.integers(0, 400)),
    st.builds(NewEntry, st.just("move"), st.integers(1, 5), place_id=st.integers(1, 4)),
    st.builds(NewEntry, st.just("defer"), st.integers(1, 5), acknowledged=st.just("plan")),
)
BATCH = st.tuples(st.integers(0, 9), st.lists(ENTRY, max_size=6))


def stamp(session: Session, days_ago: int) -> Stamp:
    day = TODAY.date() - timedelta(days=days_ago)
    return ledger.new_stamp(person_id(session, ""), shift_on=day, now=TODAY)


@pytest.fixture(scope="module")
def growing_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """One crib for all examples: what earlier ones wrote must stay borne out as well."""
    session = small_shop(tmp_path_factory.mktemp("totals") / "shop.crib")
    yield session
    session.close()


@given(writes=st.lists(st.lists(BATCH, min_size=1, max_size=4), max_size=6))
def test_totals_are_borne_out_after_any_writes(
    growing_shop: Session, writes: list[list[tuple[int, list[NewEntry]]]]
) -> None:
    for batches in writes:
        said: list[Batch] = [(stamp(growing_shop, ago), entries) for ago, entries in batches]
        ledger.write_all(growing_shop, said)
    assert ledger.rebuild(growing_shop) == []


def test_many_pieces_of_a_late_shift_are_found_in_one_go(tmp_path: Path) -> None:
    session = small_shop(tmp_path / "shop.crib")
    late = ledger.new_stamp(person_id(session, ""), shift_on=date(2020, 1, 1))
    ledger.write_all(session, [(late, [NewEntry("strokes", 1, quantity=7, weighted_milli=7000)])])
    assert session.value("SELECT strokes_total FROM piece WHERE id = 1") == 7
    assert ledger.rebuild(session) == []
    session.close()


def test_a_wrong_total_is_named(tmp_path: Path) -> None:
    session = small_shop(tmp_path / "shop.crib")
    with session.writing():
        session.run("UPDATE piece SET strokes_total = 5 WHERE tag = 'P-0137'")
    (found,) = ledger.rebuild(session)
    assert (found.tag, found.total, found.running, found.rebuilt) == (
        "P-0137",
        "strokes_total",
        5,
        0,
    )
    session.close()
