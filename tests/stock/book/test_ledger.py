"""The ledger: entries move the totals, late ones count where they belong, nothing is erased."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from crib.errors import Refused, UnknownName
from crib.stock.book import ledger
from crib.stock.book.ledger import Difference, NewEntry, rebuild, reverse
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import RowRefused
from tests.shop import small_shop

pytestmark = pytest.mark.both_engines

DAY_ONE, DAY_TWO, DAY_THREE = date(2026, 1, 5), date(2026, 1, 6), date(2026, 1, 7)
NOON = datetime(2030, 1, 31, 12, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    # The opening entries are dated today; days in the past need an older opening.
    with session.writing():
        session.run("UPDATE entry SET shift_on = '2026-01-01'")
        session.run("UPDATE piece SET changed_on = '2026-01-01', latest_on = '2026-01-01'")
    yield session
    session.close()


def write(shop: Session, entry: NewEntry, day: date = DAY_ONE) -> int:
    ledger.write(shop, ledger.new_stamp(1, shift_on=day, now=NOON), [entry])
    number: int = shop.value("SELECT max(id) FROM entry")
    return number


def strokes(count: int, piece_id: int = 1) -> NewEntry:
    return NewEntry("strokes", piece_id, quantity=count, weighted_milli=2000 * count, severity=2.0)


def totals(shop: Session, piece_id: int = 1) -> dict[str, Any]:
    row = shop.row("SELECT * FROM piece WHERE id = ?", (piece_id,))
    assert row is not None
    return dict(row)


def test_strokes_add_up(shop: Session) -> None:
    write(shop, strokes(10))
    write(shop, strokes(5))
    now = totals(shop)
    assert (now["wear_milli"], now["strokes_edge"], now["strokes_total"]) == (30_000, 15, 15)


def test_several_lines_for_one_piece_in_one_act_add_up(shop: Session) -> None:
    stamp = ledger.new_stamp(1, shift_on=DAY_ONE, now=NOON)
    ledger.write(shop, stamp, [strokes(10), strokes(5), strokes(7, 4)])
    assert totals(shop)["strokes_total"] == 15
    assert totals(shop, 4)["strokes_total"] == 7
    assert rebuild(shop) == []


def test_a_grind_starts_the_edge_anew_and_keeps_the_life(shop: Session) -> None:
    write(shop, strokes(100))
    write(shop, NewEntry("grind", 1, ground_um=250, length_mm=69.75), DAY_TWO)
    now = totals(shop)
    assert (now["wear_milli"], now["strokes_edge"], now["strokes_total"]) == (0, 0, 100)
    assert (now["grinds"], now["ground_um"], now["length_mm"]) == (1, 250, 69.75)


def test_a_turn_starts_the_edge_anew_without_a_grind(shop: Session) -> None:
    write(shop, strokes(100))
    write(shop, NewEntry("turn", 1, edge=2), DAY_TWO)
    now = totals(shop)
    assert (now["wear_milli"], now["edge"], now["grinds"]) == (0, 2, 0)


def test_a_shift_typed_after_the_grind_counts_against_the_old_edge(shop: Session) -> None:
    write(shop, NewEntry("grind", 1, ground_um=250), DAY_TWO)
    write(shop, strokes(400), DAY_ONE)
    now = totals(shop)
    assert (now["wear_milli"], now["strokes_edge"], now["strokes_total"]) == (0, 0, 400)
    assert rebuild(shop) == []


def test_a_grind_typed_late_leaves_the_strokes_after_it(shop: Session) -> None:
    write(shop, strokes(100), DAY_ONE)
    write(shop, strokes(30), DAY_THREE)
    write(shop, NewEntry("grind", 1, ground_um=250), DAY_TWO)
    assert totals(shop)["strokes_edge"] == 30
    assert rebuild(shop) == []


def test_a_piece_is_where_it_was_last_said_to_be_whatever_the_dates(shop: Session) -> None:
    write(shop, NewEntry("move", 1, place_id=5), DAY_TWO)
    write(shop, NewEntry("move", 1, place_id=4), DAY_ONE)
    assert totals(shop)["place_id"] == 4
    assert rebuild(shop) == []


def test_strokes_and_a_grind_in_one_act_are_taken_in_their_order(shop: Session) -> None:
    stamp = ledger.new_stamp(1, shift_on=DAY_ONE, now=NOON)
    ledger.write(shop, stamp, [strokes(10), NewEntry("grind", 1, ground_um=100), strokes(3)])
    assert totals(shop)["strokes_edge"] == 3
    assert rebuild(shop) == []


def test_putting_off_is_forgotten_at_the_next_grind(shop: Session) -> None:
    write(shop, NewEntry("defer", 1, acknowledged="before_next_job"))
    assert (totals(shop)["deferred"], totals(shop)["acknowledged"]) == (1, "before_next_job")
    write(shop, NewEntry("grind", 1), DAY_TWO)
    assert (totals(shop)["deferred"], totals(shop)["acknowledged"]) == (0, "")


def test_an_entry_leaves_what_it_does_not_name(shop: Session) -> None:
    write(shop, NewEntry("correct", 1, measured_width_mm=20.5))
    write(shop, NewEntry("move", 1, place_id=5))
    assert (totals(shop)["measured_width_mm"], totals(shop)["condition"]) == (20.5, "sound")


def test_an_undone_entry_no_longer_counts(shop: Session) -> None:
    write(shop, strokes(10))
    wrong = write(shop, strokes(5000))
    assert reverse(shop, ledger.new_stamp(1, now=NOON), [wrong], "wrong") == [1]
    assert totals(shop)["strokes_total"] == 10
    assert rebuild(shop) == []


def test_rebuild_finds_a_total_that_the_ledger_does_not_bear_out(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE piece SET wear_milli = 7 WHERE id = 1")
    assert rebuild(shop) == [Difference("P-0137", "wear_milli", 7, 0)]
    with shop.writing():
        ledger.refold(shop, 1)
    assert rebuild(shop) == []


def test_a_piece_without_entries_counts_as_retired(shop: Session) -> None:
    with shop.writing():
        shop.run(
            "INSERT INTO piece SELECT 99, kind_id, 'X-1', place_id, condition,"
            " measured_width_mm, measured_long_mm, length_mm, edge, wear_milli, strokes_edge,"
            " strokes_total, grinds, ground_um, acknowledged, deferred, changed_on, latest_on,"
            " dedicated_to, bought_on, price_cents, note FROM piece WHERE id = 1"
        )
    found = {one.total for one in rebuild(shop)}
    assert {"condition", "place_id"} <= found


def test_a_shift_in_the_future_is_refused() -> None:
    with pytest.raises(Refused, match="shift date 2030-02-02 is after today, 2030-01-31"):
        ledger.new_stamp(1, shift_on=date(2030, 2, 2), now=NOON)


def test_a_stamp_says_when_to_the_millisecond_in_universal_time() -> None:
    stamp = ledger.new_stamp(1, now=datetime(2026, 1, 5, 12, 0, 0, 123456, tzinfo=UTC))
    assert stamp.made_at == "2026-01-05T12:00:00.123Z"
    assert len(stamp.act) == 16
    assert stamp.act != ledger.new_stamp(1, now=NOON).act


@pytest.mark.parametrize(
    ("number", "error", "said"),
    [
        (99, UnknownName, "no entry 99"),
        (7, Refused, "entry 7 is a counter-entry"),
        (6, Refused, "entry 6 is taken back already"),
        (8, Refused, "entry 8 changed a shop rule"),
        (4, Refused, "entry 4 brought in a piece that has later entries"),
    ],
)
def test_what_cannot_be_reversed_is_refused(
    shop: Session, number: int, error: type[Refused], said: str
) -> None:
    first = write(shop, strokes(10))
    reverse(shop, ledger.new_stamp(1, now=NOON), [first], "wrong")
    write(shop, NewEntry("rule", note="x"))
    write(shop, strokes(3, 4))
    with pytest.raises(error, match=said):
        reverse(shop, ledger.new_stamp(1, now=NOON), [number], "again")
    assert shop.value("SELECT count(*) FROM entry") == 9
    assert rebuild(shop) == []


def test_an_entry_for_a_piece_that_is_not_there_writes_nothing(shop: Session) -> None:
    with pytest.raises(RowRefused, match="it names a row of another table that is not there"):
        write(shop, NewEntry("move", 99, place_id=1))
    assert shop.value("SELECT count(*) FROM entry") == 5
