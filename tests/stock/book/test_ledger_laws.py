"""Laws of the ledger, for any sequence of entries: undo restores, rebuild agrees."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.stock.book import ledger
from crib.stock.book.conditions import WRITTEN_COLUMNS
from crib.stock.book.ledger import NewEntry, rebuild, reverse
from crib.stock.book.totals import TOTAL_NAMES
from crib.stock.engine.session import Session
from tests.stock.book.law_shops import Shops

NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)
FIRST_DAY = date(2026, 1, 1)
PIECES = 5

piece_ids = st.integers(1, PIECES)
days = st.integers(0, 20).map(lambda day: FIRST_DAY + timedelta(days=day))
stroke_lines = st.builds(
    lambda piece_id, count, weight: NewEntry(
        "strokes", piece_id, quantity=count, weighted_milli=count * weight, severity=weight / 1000
    ),
    piece_ids,
    st.integers(1, 5000),
    st.integers(100, 9000),
)
grinds = st.builds(
    lambda piece_id, off_um, length_um: NewEntry(
        "grind", piece_id, ground_um=off_um, length_mm=length_um / 1000
    ),
    piece_ids,
    st.integers(0, 1000),
    st.integers(60_000, 70_000),
)
moves = st.builds(
    lambda piece_id, place_id: NewEntry("move", piece_id, place_id=place_id),
    piece_ids,
    st.integers(3, 6),
)
others = st.one_of(
    st.builds(lambda p, edge: NewEntry("turn", p, edge=edge), piece_ids, st.integers(1, 4)),
    st.builds(lambda p: NewEntry("defer", p, acknowledged="plan"), piece_ids),
    st.builds(lambda p: NewEntry("break", p, condition="broken"), piece_ids),
    st.builds(lambda p: NewEntry("look", p, acknowledged="plan"), piece_ids),
    st.builds(lambda p, w: NewEntry("correct", p, measured_width_mm=w), piece_ids, st.just(20.5)),
    st.builds(lambda p: NewEntry("count", p, condition="lost"), piece_ids),
)
entries = st.one_of(stroke_lines, grinds, moves, others)
acts = st.lists(st.tuples(days, st.lists(entries, min_size=1, max_size=4)), max_size=8)

laws = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def write_all(shop: Session, chosen: list[tuple[date, list[NewEntry]]]) -> list[list[int]]:
    """Write acts and return the numbers of their entries."""
    numbers = []
    for day, lines in chosen:
        last = shop.value("SELECT max(id) FROM entry")
        ledger.write(shop, ledger.new_stamp(1, shift_on=day, now=NOW), lines)
        rows = shop.rows("SELECT id FROM entry WHERE id > ? ORDER BY id", (last,))
        numbers.append([int(row[0]) for row in rows])
    return numbers


def totals(shop: Session) -> list[tuple[Any, ...]]:
    return [tuple(row) for row in shop.rows("SELECT * FROM piece ORDER BY id")]


def dated_totals(shop: Session) -> list[tuple[Any, ...]]:
    """The totals that go by the days of their entries: all but place and condition."""
    names = ", ".join(name for name in TOTAL_NAMES if name not in WRITTEN_COLUMNS)
    return [tuple(row) for row in shop.rows(f"SELECT {names} FROM piece ORDER BY id")]


@laws
@given(acts)
def test_running_totals_are_what_the_ledger_amounts_to(
    shops: Shops, chosen: list[tuple[date, list[NewEntry]]]
) -> None:
    shop = shops.fresh()
    write_all(shop, chosen)
    assert rebuild(shop) == []


@laws
@given(acts, acts)
def test_undo_of_any_sequence_restores_every_total(
    shops: Shops,
    kept: list[tuple[date, list[NewEntry]]],
    undone: list[tuple[date, list[NewEntry]]],
) -> None:
    shop = shops.fresh()
    write_all(shop, kept)
    before = totals(shop)
    numbers = [number for act in write_all(shop, undone) for number in act]
    reverse(shop, ledger.new_stamp(1, now=NOW), reversed(numbers), "law")
    assert totals(shop) == before
    assert rebuild(shop) == []


@laws
@given(acts, st.randoms(use_true_random=False))
def test_undo_in_any_order_restores_every_total(
    shops: Shops, undone: list[tuple[date, list[NewEntry]]], chance: Any
) -> None:
    shop = shops.fresh()
    before = totals(shop)
    numbers = [number for act in write_all(shop, undone) for number in act]
    chance.shuffle(numbers)
    for number in numbers:
        reverse(shop, ledger.new_stamp(1, now=NOW), [number], "law")
        assert rebuild(shop) == []
    assert totals(shop) == before


@laws
@given(st.lists(st.tuples(days, entries), min_size=1, max_size=8, unique_by=lambda one: one[0]))
def test_acts_on_different_days_may_be_typed_in_any_order(
    shops: Shops, chosen: list[tuple[date, NewEntry]]
) -> None:
    shop = shops.fresh()
    write_all(shop, [(day, [line]) for day, line in sorted(chosen, key=lambda one: one[0])])
    in_order = dated_totals(shop)
    shop = shops.fresh()
    write_all(shop, [(day, [line]) for day, line in chosen])
    assert dated_totals(shop) == in_order


@laws
@given(acts)
def test_the_ledger_only_grows(shops: Shops, chosen: list[tuple[date, list[NewEntry]]]) -> None:
    shop = shops.fresh()
    numbers = [number for act in write_all(shop, chosen) for number in act]
    before = [tuple(row) for row in shop.rows("SELECT * FROM entry ORDER BY id")]
    reverse(shop, ledger.new_stamp(1, now=NOW), numbers[:3], "law")
    after = [tuple(row) for row in shop.rows("SELECT * FROM entry ORDER BY id")]
    assert after[: len(before)] == before
    assert len(after) == len(before) + len(numbers[:3])
