"""A day that is typed: not to come, not a slip of the year, not before the piece was there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crib.acts import act, acts_in, yes_to
from crib.desk.book.shop_rules import change_rule
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.edges.turn import TurnRequest, turn_edge
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.stroke_sheet import take_sheet
from crib.errors import AskBack, BadRows, Refused
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.asks import change
from tests.desk.rows import nothing_changes
from tests.shop import small_shop

Dated = Callable[[Session, str], object]
TAG = "P-0137"
DATED: dict[str, Dated] = {
    "grind": lambda shop, on: record_grind(shop, GrindRequest(TAG, off="0.1mm", on=on)),
    "turn": lambda shop, on: turn_edge(shop, TurnRequest(TAG, on=on)),
    "look": lambda shop, on: record_look(shop, LookRequest(TAG, sharp=True, on=on)),
    "broke": lambda shop, on: report_break(
        shop, BreakRequest(TAG, ["chipped"], on=on, confirmed=yes_to("before-it-came"))
    ),
    "log": lambda shop, on: log_words(
        shop, [TAG, "400"], LogOptions(on=on, confirmed=yes_to("before-it-came"))
    ),
}


def day(ago: int) -> str:
    return (datetime.now(UTC).astimezone().date() - timedelta(days=ago)).isoformat()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


@pytest.mark.parametrize("name", DATED)
@pytest.mark.parametrize("on", ["0026-11-28", day(368), day(-2)])
def test_a_day_to_come_or_over_a_year_ago_is_refused(shop: Session, name: str, on: str) -> None:
    with nothing_changes(shop), pytest.raises(Refused, match=f"shift date {on} is"):
        DATED[name](shop, on)


def test_how_old_a_day_may_be_is_a_shop_rule(shop: Session) -> None:
    change_rule(shop, "log.oldest_days", "30", "only this month's", by="nights")
    with nothing_changes(shop), pytest.raises(Refused, match="at most 30") as refused:
        DATED["log"](shop, day(31))
    rule = act("rules.change", key="log.oldest_days", value=None, why=None)
    assert rule in acts_in(refused.value.way_out)
    DATED["log"](shop, day(30))


@pytest.mark.parametrize("name", ["grind", "turn", "look"])
def test_nothing_was_done_to_a_piece_before_it_came(shop: Session, name: str) -> None:
    with nothing_changes(shop), pytest.raises(Refused, match=f"{TAG} came on {day(0)}"):
        DATED[name](shop, day(1))


def test_strokes_of_before_it_came_are_asked_about(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(AskBack, match=f"{TAG} came on") as asked:
        log_words(shop, [TAG, "400"], LogOptions(on=day(1)))
    assert asked.value.confirm == "before-it-came"
    sheet = f"tag,strokes,on\n{TAG},400,{day(1)}\n".encode()
    with nothing_changes(shop), pytest.raises(BadRows):
        take_sheet(shop, sheet, "sheet.csv", LogOptions())
    DATED["log"](shop, day(1))
    assert piece_by_tag(shop, TAG).strokes_total == 400


def test_a_die_that_came_later_is_asked_about_as_its_punch_is(shop: Session) -> None:
    change(shop, "UPDATE entry SET shift_on = ? WHERE piece_id = 1", day(9))
    change(shop, "UPDATE piece SET changed_on = ?1, latest_on = ?1 WHERE id = 1", day(9))
    sheet = f"tag,strokes,on,die\n{TAG},400,{day(1)},D-0201\n".encode()
    with nothing_changes(shop), pytest.raises(BadRows) as caught:
        take_sheet(shop, sheet, "sheet.csv", LogOptions())
    assert f"D-0201 came on {day(0)}: these strokes are of {day(1)}" in str(caught.value.faults[0])
    words = [TAG, "400", "with", "D-0201"]
    with nothing_changes(shop), pytest.raises(AskBack, match=f"^D-0201 came on {day(0)}: "):
        log_words(shop, words, LogOptions(on=day(1)))


def test_a_break_of_before_it_came_is_asked_about_and_then_holds(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(AskBack, match="it is NOT locked yet") as asked:
        report_break(shop, BreakRequest(TAG, ["chipped"], on=day(300)))
    assert asked.value.confirm == "before-it-came"
    DATED["broke"](shop, day(300))
    assert piece_by_tag(shop, TAG).condition == "broken"
