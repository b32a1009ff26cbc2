"""Counting a drawer: the list, the differences, and settling them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.undo import undo_act
from crib.desk.edges.broke import BreakRequest, report_break
from crib.desk.shelf.count import count_place, expected_list, settle_count, split_tags
from crib.errors import BadValue, Refused, UnknownName
from crib.stock.book.ledger import rebuild
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.rows import nothing_changes
from tests.shop import add_piece, small_shop

ALL = yes_to("whole-act")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(session, "P-0137").kind_id
    add_piece(session, "P-0800", kind, place="A3", condition="lost")
    add_piece(session, "P-0801", kind, place="A1", condition="retired")
    yield session
    session.close()


def tags(counted: tuple[object, ...]) -> list[str]:
    return [one.tag for one in counted]  # type: ignore[attr-defined]


def test_the_list_says_what_should_be_there(shop: Session) -> None:
    count = expected_list(shop, "a2")
    assert tags(count.expected) == ["D-0201", "D-0301", "D-0202", "P-0140"]
    assert (count.expected[0].size, count.blank_lines) == ("27/32 in", 0)
    assert tags(expected_list(shop, "A3").expected) == []


def test_a_blind_list_gives_nothing_away(shop: Session) -> None:
    count = expected_list(shop, "A2", blind=True)
    assert count.expected == ()
    assert count.blank_lines == expected_list(shop, "A4", blind=True).blank_lines == 10


def test_the_differences_are_told_and_nothing_is_changed(shop: Session) -> None:
    with nothing_changes(shop):
        count = count_place(
            shop, "A2", ["d-0201", "P-0137", "P-0800", "P-0801", "X-9", "D-0301", "D-0301"]
        )
    assert tags(count.here) == ["D-0201", "D-0301"]
    assert tags(count.missing) == ["D-0202", "P-0140"]
    assert tags(count.strays) == ["P-0137"]
    assert tags(count.found_again) == ["P-0800"]
    assert tags(count.retired) == ["P-0801"]
    assert count.unknown == ("X-9",)
    assert count.differences == 4


def test_settling_moves_strays_loses_the_missing_and_asks_to_look_at_the_found(
    shop: Session,
) -> None:
    found = ["D-0201", "D-0301", "D-0202", "P-0137", "P-0800", "P-0801"]
    count = settle_count(shop, "A2", found, "yearly count", by="nights")
    assert (count.settled, count.differences) == (True, 3)
    states = {tag: piece_by_tag(shop, tag) for tag in ("P-0140", "P-0137", "P-0800", "P-0801")}
    assert (states["P-0140"].condition, states["P-0140"].place) == ("lost", "A2")
    assert (states["P-0137"].condition, states["P-0137"].place) == ("sound", "A2")
    assert (states["P-0800"].condition, states["P-0800"].place) == ("inspect", "A2")
    assert (states["P-0801"].condition, states["P-0801"].place) == ("retired", "A1")
    entries = shop.rows("SELECT action, note FROM entry WHERE act = ?", (count.act,))
    assert [tuple(row) for row in entries] == [("count", "yearly count")] * 3
    assert rebuild(shop) == []


def test_settling_is_taken_back_whole(shop: Session) -> None:
    count = settle_count(shop, "A2", [], "wrong drawer")
    assert piece_by_tag(shop, "D-0201").condition == "lost"
    undo_act(shop, count.act, "it was A3", confirmed=ALL)
    assert piece_by_tag(shop, "D-0201").condition == "sound"
    assert rebuild(shop) == []


def test_a_count_without_differences_writes_nothing(shop: Session) -> None:
    with nothing_changes(shop):
        count = settle_count(shop, "A1", ["P-0137"], "yearly count")
    assert (count.settled, count.act) == (True, "")


def test_an_unknown_tag_is_not_settled(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(Refused, match="not in the crib: X-9"):
        settle_count(shop, "A2", ["X-9"], "yearly count")


def test_a_count_does_not_mount_anything(shop: Session) -> None:
    station = "Ironworker 1 / punch"
    with nothing_changes(shop), pytest.raises(Refused, match="a count does not mount P-0137"):
        settle_count(shop, station, ["P-0137"], "yearly count")


def test_no_reason_no_place_or_no_tag_is_refused(shop: Session) -> None:
    with nothing_changes(shop), pytest.raises(BadValue, match="no reason given"):
        settle_count(shop, "A2", [], "")
    with nothing_changes(shop), pytest.raises(UnknownName, match="no place called 'Z'"):
        expected_list(shop, "Z")
    with nothing_changes(shop), pytest.raises(BadValue, match="tag 'P:1' must be"):
        count_place(shop, "A2", ["P:1"])


def test_tags_are_split_at_commas_and_blanks() -> None:
    assert split_tags(["P-1,P-2, P-3", "P-4"]) == ["P-1", "P-2", "P-3", "P-4"]
    assert split_tags(["None"]) == []


@pytest.mark.parametrize("text", ["", "none,P-1"])
def test_no_tags_at_all_must_be_said_as_none(text: str) -> None:
    with pytest.raises(BadValue, match="names no tags"):
        split_tags([text])


def test_a_broken_piece_that_was_lost_is_found_broken(shop: Session) -> None:
    report_break(shop, BreakRequest("P-0140", ["snapped"]))
    report_break(shop, BreakRequest("P-0140", ["lost"]))
    settle_count(shop, "A2", ["P-0140", "D-0201", "D-0301", "D-0202"], "found in the bin")
    assert piece_by_tag(shop, "P-0140").condition == "broken"
    assert rebuild(shop) == []
