"""No sequence of commands brings a piece in parts back, and no answer offers a broken one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crib.acts import yes_to
from crib.desk.book.undo import undo_entries
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.edges.turn import TurnRequest, turn_edge
from crib.desk.shelf.count import settle_count
from crib.desk.shelf.measure import measure_piece, read_measured_sizes
from crib.desk.shelf.move import Move, move_pieces
from crib.desk.shelf.retire import retire_piece
from crib.errors import BadInput
from crib.stock.book import ledger
from crib.stock.book.conditions import USABLE
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.asks import ask, tags
from tests.shop import small_shop

TAG = "P-0137"
NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)
EVERY = yes_to(
    *("damage-not-gone", "lengths-disagree", "much-ground-off", "too-short"),
    *("typed-already", "odd-size", "station-taken"),
)
Command = Callable[[Session, str, str], object]


def measured(shop: Session, by: str, _on: str) -> object:
    sizes = read_measured_sizes(shop, "", "", "60mm")
    return measure_piece(shop, TAG, sizes, "law", confirmed=EVERY, by=by)


def broke(happened: str, by: str, on: str) -> BreakRequest:
    """A report of any day, of before the piece was entered here as well."""
    return BreakRequest(TAG, [happened], by, on, confirmed=yes_to("before-it-came"))


COMMANDS: dict[str, Command] = {
    "grind": lambda s, by, on: record_grind(
        s, GrindRequest(TAG, off="0.1mm", by=by, on=on, confirmed=EVERY)
    ),
    "grind to": lambda s, by, on: record_grind(
        s, GrindRequest(TAG, "59mm", by=by, on=on, confirmed=EVERY)
    ),
    "turn": lambda s, by, on: turn_edge(s, TurnRequest(TAG, by=by, on=on)),
    "inspected": lambda s, by, on: record_look(
        s, LookRequest(TAG, inspected=True, why="looked", by=by, on=on)
    ),
    "sharp": lambda s, by, on: record_look(s, LookRequest(TAG, sharp=True, by=by, on=on)),
    "lost": lambda s, by, on: report_break(s, broke("lost", by, on)),
    "chipped": lambda s, by, on: report_break(s, broke("chipped", by, on)),
    "missed": lambda s, by, _on: settle_count(s, "A1", [], "law", by=by),
    "turned up": lambda s, by, _on: settle_count(s, "A1", [TAG], "law", by=by),
    "move": lambda s, by, _on: move_pieces(s, Move((TAG,), "A4"), by=by),
    "mount": lambda s, by, _on: move_pieces(
        s, Move((TAG,), "Ironworker 1 / punch", confirmed=EVERY), by=by
    ),
    "measure": measured,
    "retire": lambda s, by, _on: retire_piece(s, TAG, "law", by=by),
}
WHO = st.sampled_from(("", "nights", "bench 2"))
ON = st.sampled_from(("", "2026-03-30", "2026-04-01"))
ACTS = st.lists(st.tuples(st.sampled_from([*COMMANDS, "undo"]), WHO, ON), max_size=8)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """One crib for all examples; each takes back what it did."""
    session = small_shop(tmp_path_factory.mktemp("parts") / "shop.crib")
    yield session
    session.close()


def last(shop: Session) -> int:
    return int(shop.value("SELECT max(id) FROM entry"))


def standing_since(shop: Session, first: int) -> list[int]:
    rows = shop.rows(
        "SELECT id FROM entry WHERE id > ? AND action <> 'reverse' AND piece_id IS NOT NULL AND id"
        " NOT IN (SELECT reverses_id FROM entry WHERE reverses_id IS NOT NULL) ORDER BY id",
        (first,),
    )
    return [int(row[0]) for row in rows]


def offered(shop: Session) -> bool:
    return any(TAG in pick for pick in tags(ask(shop)))


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.sampled_from(("snapped", "shattered")), ON, ACTS)
def test_a_piece_in_parts_stays_out_until_its_report_is_taken_back(
    shop: Session, happened: str, on: str, acts: list[tuple[str, str, str]]
) -> None:
    before = last(shop)
    report_break(shop, broke(happened, "nights", on), NOW + timedelta(days=2))
    report = before + 1
    for name, by, day in acts:
        with suppress(BadInput):
            if name == "undo":
                others = standing_since(shop, report)
                undo_entries(shop, others[-1:], "law", by=by)
            else:
                COMMANDS[name](shop, by, day)
        assert piece_by_tag(shop, TAG).condition not in USABLE
    assert not offered(shop)
    assert ledger.rebuild(shop) == []
    ledger.reverse(shop, ledger.new_stamp(1), reversed(standing_since(shop, before)), "law")
    assert piece_by_tag(shop, TAG).condition == "sound"
    assert offered(shop)


@pytest.mark.parametrize("happened", ["chipped", "cracked", "snapped", "shattered", "lost"])
@pytest.mark.parametrize(("on", "clock"), [("2026-03-30", NOW), ("", NOW - timedelta(days=30))])
def test_a_report_of_an_earlier_day_says_what_is_stored_and_holds(
    tmp_path: Path, happened: str, on: str, clock: datetime
) -> None:
    shop = small_shop(tmp_path / "shop.crib")
    told = report_break(shop, broke(happened, "", on), clock)
    assert told.condition == piece_by_tag(shop, TAG).condition != "sound"
    assert [str(note)[:22] for note in told.notes] == [f"{TAG} has entries of "]
    assert not offered(shop)
    shop.close()


def test_what_is_lent_by_a_clock_that_was_ahead_comes_back_all_the_same(tmp_path: Path) -> None:
    shop = small_shop(tmp_path / "shop.crib")
    ahead = datetime.now(UTC) + timedelta(days=30)
    move_pieces(shop, Move((TAG,), "A4"), now=ahead)
    moved = move_pieces(shop, Move((TAG,), "A2"))
    assert [one.to for one in moved.pieces] == [piece_by_tag(shop, TAG).place] == ["A2"]
    assert f"{ahead.astimezone().date()}" in str(moved.notes[0])
    retired = retire_piece(shop, TAG, "law")
    assert (retired.condition, len(retired.notes)) == ("retired", 1)
    shop.close()
