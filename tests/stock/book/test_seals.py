"""Whatever another hand does to the ledger is told, and what the program does never is."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crib.stock.book.ledger import NewEntry, new_stamp, reverse, write
from crib.stock.book.seals import FIRST, BrokenSeal, broken_seals, seal_all, sealer
from crib.stock.engine.engine import StoreError
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import columns_of
from tests.shop import add_piece, small_shop

COLUMNS = [name for name in columns_of("entry") if name != "id"]


class _TakenBack(Exception):
    """Ends a test's changes, so that nothing of them stays."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A shop with strokes of every sort; each test takes its own changes back."""
    session = small_shop(tmp_path_factory.mktemp("seals") / "shop.crib")
    add_piece(session, "P-0150", 1)
    for count in range(1, 5):
        entry = NewEntry("strokes", 1, quantity=count, weighted_milli=1000 * count, severity=1.0)
        write(session, new_stamp(1), [entry, NewEntry("move", 2, place_id=3, note=f"no {count}")])
    reverse(session, new_stamp(1), [8], "typed twice")
    session.connection.execute("PRAGMA foreign_keys = OFF")
    session.connection.execute("PRAGMA ignore_check_constraints = ON")
    yield session
    session.close()


def tampered(shop: Session, *statements: tuple[str, tuple[Any, ...]]) -> tuple[bool, bool]:
    """Whether some raw statements changed the ledger, and whether the seals tell."""
    before = ledger(shop)
    shop.connection.execute("BEGIN")
    try:
        for sql, values in statements:
            with suppress(shop.engine.error):
                shop.connection.execute(sql, values)
        with suppress(StoreError):
            return ledger(shop) != before, bool(list(broken_seals(shop)))
        return True, True
    finally:
        shop.connection.execute("ROLLBACK")


def ledger(shop: Session) -> list[tuple[Any, ...]]:
    rows = shop.rows(f"SELECT id, {', '.join(COLUMNS)} FROM entry ORDER BY id")
    return [tuple((type(value), value) for value in row) for row in rows]


values = st.one_of(
    st.none(),
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
    st.binary(max_size=4),
    st.sampled_from(["sound", "strokes", 0, 1, "", " ", 0.0, 1.0]),
)
numbers = st.integers(1, 16)
EDITS = st.tuples(st.sampled_from(COLUMNS), values, numbers).map(
    lambda said: [(f"UPDATE entry SET {said[0]} = ? WHERE id = ?", (said[1], said[2]))]
)
COPIES = st.tuples(st.sampled_from(COLUMNS), numbers, numbers).map(
    lambda said: [
        (
            f"UPDATE entry SET {said[0]} = (SELECT {said[0]} FROM entry WHERE id = ?) WHERE id = ?",
            (said[1], said[2]),
        )
    ]
)
ERASURES = st.tuples(numbers, numbers).map(
    lambda said: [("DELETE FROM entry WHERE id BETWEEN ? AND ?", said)]
)
SWAPS = st.tuples(numbers, numbers).map(
    lambda said: [
        ("UPDATE entry SET id = -1 WHERE id = ?", (said[0],)),
        ("UPDATE entry SET id = ? WHERE id = ?", said),
        ("UPDATE entry SET id = ? WHERE id = -1", (said[1],)),
    ]
)
MOVES = st.tuples(st.integers(-3, 30), numbers).map(
    lambda said: [("UPDATE entry SET id = ? WHERE id = ?", said)]
)
ADDITIONS = st.tuples(st.integers(-3, 30), numbers).map(
    lambda said: [
        (
            f"INSERT INTO entry (id, {', '.join(COLUMNS)}) SELECT ?,"
            f" {', '.join('NULL' if n == 'reverses_id' else n for n in COLUMNS)}"
            " FROM entry WHERE id = ?",
            said,
        )
    ]
)


@settings(max_examples=400, deadline=None)
@given(
    st.lists(st.one_of(EDITS, COPIES, ERASURES, SWAPS, MOVES, ADDITIONS), min_size=1, max_size=3)
)
def test_any_change_past_the_program_is_told(
    shop: Session, changes: list[list[tuple[str, tuple[Any, ...]]]]
) -> None:
    changed, told = tampered(shop, *(one for change in changes for one in change))
    assert told == changed


@pytest.mark.parametrize("kept", range(12))
def test_a_ledger_cut_short_is_told(shop: Session, kept: int) -> None:
    sql = ("DELETE FROM entry WHERE id > ?", (kept,))
    assert tampered(shop, sql) == (True, True)


@pytest.mark.parametrize(
    "sql",
    ["DELETE FROM ledger_end", "UPDATE ledger_end SET seal = ''", "UPDATE entry SET seal = ''"],
)
def test_seals_taken_away_are_told(shop: Session, sql: str) -> None:
    assert tampered(shop, (sql, ()))[1]


def test_one_change_is_told_once_where_it_was_made(shop: Session) -> None:
    with suppress(_TakenBack), shop.writing():
        shop.run("UPDATE entry SET quantity = 400 WHERE id = 9")
        assert list(broken_seals(shop)) == [BrokenSeal(9)]
        shop.run("DELETE FROM entry WHERE id = 5")
        assert list(broken_seals(shop)) == [BrokenSeal(6), BrokenSeal(9)]
        raise _TakenBack


def test_the_program_breaks_no_seal_and_goes_on_behind_a_broken_one(shop: Session) -> None:
    assert list(broken_seals(shop)) == []
    with suppress(_TakenBack), shop.writing():
        shop.run("DELETE FROM entry WHERE id > 10")
        write(shop, new_stamp(1), [NewEntry("move", 2, place_id=3)])
        assert list(broken_seals(shop)) == [BrokenSeal(11)]
        seal_all(shop)
        assert list(broken_seals(shop)) == []
        raise _TakenBack


def test_every_column_of_an_entry_stands_in_its_seal() -> None:
    names = [*columns_of("entry")]
    plain = {name: getattr(NewEntry("move"), name, 0) for name in names}
    rows = [plain, *(plain | {name: 7} for name in names if name != "seal")]
    assert len({sealer(names)("", [*row.values()]) for row in rows}) == len(names)


def test_a_column_of_later_days_leaves_older_seals_as_they_are() -> None:
    names = [*FIRST, "seal"]
    row = list(range(len(names)))
    assert sealer(names)("", row) == sealer([*reversed(names)])("", row[::-1])
