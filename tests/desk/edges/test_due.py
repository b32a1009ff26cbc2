"""The list of what is due: short, the greatest risk first, silent once seen, never by days."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count, product
from pathlib import Path
from typing import Any

import pytest

from crib.desk.common.reminder_levels import RANK, is_silent, level_of
from crib.desk.edges.due import DueList, DueRequest, list_due
from crib.desk.edges.grind import GrindRequest, record_grind
from crib.desk.edges.look import LookRequest, record_look
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import UnknownName
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag, select_cards
from crib.stock.queries.strokes import worn_pieces
from tests.desk.asks import rule
from tests.shop import add_kind, add_piece, insert, small_shop
from tests.stock.sql_seen import statements_of


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def kind_of(session: Session, tag: str) -> int:
    return piece_by_tag(session, tag).kind_id


def due(session: Session, everything: bool = False, by: str = "", machine: str = "") -> DueList:
    return list_due(session, DueRequest(everything, by, machine))


def tags(found: DueList) -> list[str]:
    return [one.tag for one in found.lines]


def test_nothing_is_due_in_a_fresh_crib(shop: Session) -> None:
    assert due(shop) == DueList((), 0, 0)


@pytest.mark.parametrize(
    ("wear", "words"),
    [
        (3499.999, ""),
        (3500, "plan to grind it"),
        (4499.999, "plan to grind it"),
        (4500, "grind it after this job"),
        (4999.999, "grind it after this job"),
        (5000, "grind it before the next job"),
        (5999.999, "grind it before the next job"),
        (6000, "not for finish work: grind it"),
    ],
)
def test_the_words_rise_with_the_share_of_the_interval(
    shop: Session, wear: float, words: str
) -> None:
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=wear)
    assert [one.words for one in due(shop).lines] == ([words] if words else [])


def test_a_kind_may_have_an_interval_of_its_own(shop: Session) -> None:
    short = add_kind(shop, role="punch", width="1/2", interval_strokes=1000)
    long = add_kind(shop, role="punch", width="3/4", interval_strokes=50_000)
    add_piece(shop, "P-1", short, wear=950)
    add_piece(shop, "P-2", long, wear=9000)
    found = due(shop)
    assert [(one.tag, one.used, one.interval) for one in found.lines] == [("P-1", 0.95, 1000.0)]


def test_the_greatest_risk_comes_first_and_five_lines_are_enough(shop: Session) -> None:
    for number in range(8):
        add_piece(shop, f"P-{number}", kind_of(shop, "P-0137"), wear=3600 + 300 * number)
    found = due(shop)
    assert tags(found) == ["P-7", "P-6", "P-5", "P-4", "P-3"]
    assert found.more == 3
    everything = due(shop, everything=True)
    assert (len(everything.lines), everything.more) == (8, 0)


def test_a_piece_that_was_seen_is_silent_until_its_next_level(shop: Session) -> None:
    rule(shop, "life.follow", "no")
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=4600)
    record_look(shop, LookRequest("P-1", sharp=True))
    assert due(shop) == DueList((), 0, 1)
    log_words(shop, ["P-1", "390"], LogOptions())
    assert tags(due(shop)) == []
    log_words(shop, ["P-1", "20"], LogOptions())
    assert [one.level for one in due(shop).lines] == ["before_next_job"]


def test_a_piece_put_off_comes_back_when_that_is_used_up(shop: Session) -> None:
    rule(shop, "life.follow", "no")
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=5100)
    record_look(shop, LookRequest("P-1", defer=True, why="job 12 must ship"))
    log_words(shop, ["P-1", "640"], LogOptions())
    assert tags(due(shop)) == []
    log_words(shop, ["P-1", "15"], LogOptions())
    assert tags(due(shop)) == ["P-1"]
    record_look(shop, LookRequest("P-1", sharp=True))
    assert tags(due(shop)) == []


def test_a_grind_closes_the_line(shop: Session) -> None:
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=5100, length_mm=69.0)
    record_grind(shop, GrindRequest("P-1", length="68.75mm"))
    assert due(shop) == DueList((), 0, 0)


def test_pieces_to_look_at_are_listed_whatever_their_wear(shop: Session) -> None:
    kind = kind_of(shop, "P-0137")
    add_piece(shop, "P-1", kind, wear=5500)
    add_piece(shop, "P-2", kind, wear=7000)
    add_piece(shop, "P-3", kind, condition="inspect")
    add_piece(shop, "P-4", kind, wear=6500, condition="locked")
    found = due(shop)
    assert tags(found) == ["P-2", "P-4", "P-3", "P-1"]
    assert found.lines[2].words == "inspect before use"
    assert found.lines[1].words == "locked: do not use; repair or retire it"


@pytest.mark.parametrize("condition", ["broken", "lost", "retired"])
def test_pieces_out_of_use_are_not_listed(shop: Session, condition: str) -> None:
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=9000, condition=condition)
    assert due(shop) == DueList((), 0, 0)


@pytest.mark.parametrize(
    ("ground_mm", "words"),
    [
        (2.4, "plan to grind it"),
        (2.6, "plan to grind it; last grind: order a replacement"),
        (2.9, "plan to replace it; no grind left: order a replacement"),
    ],
)
def test_the_last_grind_is_flagged(shop: Session, ground_mm: float, words: str) -> None:
    kind = add_kind(shop, role="punch", width="1/2", length_mm=70.0)
    add_piece(shop, "P-1", kind, wear=4000, length_mm=70.0 - ground_mm)
    assert [one.words for one in due(shop).lines] == [words]


def test_a_blade_with_fresh_edges_is_turned_not_ground(shop: Session) -> None:
    blade = add_kind(shop, role="blade", width="1", shape="", edges=2)
    add_piece(shop, "B-1", blade, wear=4000)
    assert [one.words for one in due(shop).lines] == ["plan to turn it"]


def test_one_machine_or_one_person_can_be_asked_for(shop: Session) -> None:
    from crib.stock.tables.all_tables import PlaceRecord

    insert(shop, PlaceRecord, name="nights", sort="person")
    kind = kind_of(shop, "P-0137")
    for tag, place in (("P-1", "Ironworker 1 / punch"), ("P-2", "nights"), ("P-3", "A1")):
        add_piece(shop, tag, kind, place=place, wear=4000)
    assert tags(due(shop, machine="ironworker 1")) == ["P-1"]
    assert tags(due(shop, machine="Ironworker 2")) == []
    assert tags(due(shop, by="Nights")) == ["P-2"]


@pytest.mark.parametrize(("by", "machine"), [("nobody", ""), ("", "Ironworker 9")])
def test_an_unknown_name_is_refused_with_the_known_ones(
    shop: Session, by: str, machine: str
) -> None:
    with pytest.raises(UnknownName, match="known: "):
        due(shop, by=by, machine=machine)


def test_the_ledger_is_never_asked(shop: Session) -> None:
    add_piece(shop, "P-1", kind_of(shop, "P-0137"), wear=4000)
    with statements_of(shop) as seen:
        due(shop)
    assert seen
    assert not [one for one in seen if " entry" in one]


def test_the_list_is_found_by_kind_and_by_condition(shop: Session) -> None:
    with statements_of(shop) as seen:
        due(shop)
    listed = next(one for one in seen if "silent" in one)
    plan = [row[3] for row in shop.rows(f"EXPLAIN QUERY PLAN {listed}")]
    assert any("ix_piece_kind" in line for line in plan)
    assert any("ix_piece_condition" in line for line in plan)
    assert not [line for line in plan if line.startswith("SCAN piece")]


def test_worn_pieces_are_found_through_their_kind(shop: Session) -> None:
    with statements_of(shop) as seen:
        worn_pieces(shop, 0.7, 5000)
    plan = [row[3] for row in shop.rows(f"EXPLAIN QUERY PLAN {seen[0]}")]
    assert any("SEARCH worn USING COVERING INDEX ix_piece_kind" in line for line in plan)
    assert not [line for line in plan if line.startswith("SCAN piece")]


def test_the_first_words_of_a_machine_are_enough_while_no_other_begins_so(shop: Session) -> None:
    with shop.writing():
        shop.run("UPDATE machine SET name = name || ' (bay)'")
    assert due(shop, machine="ironworker  1") == due(shop, machine="Ironworker 1 (bay)")
    with pytest.raises(
        UnknownName, match=r"'Ironworker' can be Ironworker 1 \(bay\), Ironworker 2"
    ):
        due(shop, machine="Ironworker")


SHARES = (0.5, 0.7 - 1e-4, 0.7, 0.9, 1.0, 1.15 - 1e-4, 1.15, 1.2, 1.7)


@pytest.fixture
def every_standing(shop: Session) -> Session:
    """A piece at each share, acknowledged as each level or not, put off or not, sound or not."""
    kind, numbers = kind_of(shop, "P-0137"), count()
    with shop.writing():
        for share, seen, deferred in product(SHARES, RANK, (False, True)):
            wear = round(share * 5_000_000)
            for condition in ("sound", "inspect"):
                row = {"kind_id": kind, "tag": f"X-{next(numbers):03}", "condition": condition}
                row |= {"wear_milli": wear, "acknowledged": seen, "deferred": deferred}
                shop.insert("piece", row)
    return shop


def test_the_list_is_what_the_levels_say_of_each_piece(every_standing: Session) -> None:
    rules = shop_rules(every_standing)
    loud, silent = [], 0
    for card in select_cards(every_standing, "TRUE"):
        if card.condition == "inspect":
            loud.append((-max(card.wear / 5000, 1.2), card.tag))
        elif level_of(card, rules) != "fine":
            silent += is_silent(card, rules)
            loud += [] if is_silent(card, rules) else [(-card.wear / 5000, card.tag)]
    found = due(every_standing, everything=True)
    assert tags(found) == [tag for _risk, tag in sorted(loud)]
    assert (found.more, found.silent) == (0, silent)
    assert silent > 30


def test_no_more_is_read_than_is_shown(
    every_standing: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_rules(every_standing)
    read: list[int] = []
    rows = Session.rows

    def counted(self: Session, sql: str, values: Any = ()) -> Any:
        found = rows(self, sql, values)
        read.append(len(found))
        return found

    monkeypatch.setattr(Session, "rows", counted)
    found = due(every_standing)
    assert len(found.lines) == 5
    assert found.more > 100
    assert sum(read) == 10


def test_a_long_list_is_turned_page_by_page(every_standing: Session) -> None:
    whole = due(every_standing, everything=True).lines
    for first in (0, 7, len(whole) - 3, len(whole) + 5):
        some = list_due(every_standing, DueRequest(first=first, most=7))
        assert some.lines == whole[first : first + 7]
        assert some.more == max(0, len(whole) - first - 7)
