"""A shift on cards: what stands on them, and what they mean when they are sent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from crib.desk.strokes.cards import (
    SaidCard,
    SaidShift,
    card_faults,
    cards_of,
    machines_of,
    shift_lines,
    stroke_cards,
)
from crib.desk.strokes.log import LogOptions, log_words
from crib.desk.strokes.log_book import KnownLine, StrokeLine
from crib.errors import BadInput, Missing, UnknownName
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.desk.planned import plan_job, run
from tests.desk.strokes.test_shift import FIRST, mount
from tests.shop import add_piece, small_shop

KNOWN = KnownLine("P-0137", "D-0201", 9.525, "A36", "J-1")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    session = small_shop(tmp_path / "shop.crib")
    yield session
    session.close()


def said(shop: Session, card: SaidCard) -> list[StrokeLine]:
    return shift_lines(shop, SaidShift([card]))


def test_a_mounted_set_has_its_usual_count_and_last_plate_and_is_not_taken_to_have_run(
    shop: Session,
) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    for count in (90, 110, 40):
        log_words(shop, f"P-0137 {count} thru 1/2 A572-50".split(), LogOptions())
    (card,) = stroke_cards(shop)
    assert (card.count, card.plate, card.runs_now) == ("90", "1/2 A572-50", False)
    assert (card.tools, card.dies) == (("P-0137",), ("D-0201",))


def test_two_counts_make_no_usual_one(shop: Session) -> None:
    mount(shop, FIRST, "P-0137")
    for count in (90, 110):
        log_words(shop, f"P-0137 {count}".split(), LogOptions())
    (card,) = stroke_cards(shop)
    assert (card.usual, card.count, card.plate) == (None, "", "")


def test_a_planned_run_has_what_is_left_and_is_taken_to_have_run_where_it_is_mounted(
    shop: Session,
) -> None:
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0201"))
    (away,) = stroke_cards(shop)
    assert (away.count, away.runs_now) == ("400", False)
    mount(shop, FIRST, "P-0137", "D-0202")
    (there,) = stroke_cards(shop)
    assert (there.count, there.runs_now, there.dies) == ("400", True, ("D-0201", "D-0202"))


def test_a_copy_that_stands_there_can_be_said_to_have_done_it(shop: Session) -> None:
    add_piece(shop, "P-0150", piece_by_tag(shop, "P-0137").kind_id)
    mount(shop, FIRST, "P-0150", "D-0201")
    plan_job(shop, "J-1", run(shop, "P-0137", 400, die="D-0201"))
    card = next(one for one in stroke_cards(shop) if one.line.strokes)
    assert card.tools == ("P-0137", "P-0150")
    (line,) = said(shop, SaidCard(card.line.known, "40", tool="P-0150"))
    assert (line.tag, line.die_tag, line.job, line.beside) == ("P-0150", "D-0201", "J-1", None)


def test_each_card_of_a_shift_has_its_own_name_and_keeps_it(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    one = run(shop, "P-0137", 400, die="D-0201")
    plan_job(shop, "J-1", one, replace(one, mark="b2"))
    names = [card.id for card in stroke_cards(shop)]
    assert len(set(names)) == 2
    log_words(shop, "P-0137 40 thru 3/8 A36 job J-1".split(), LogOptions())
    assert [card.id for card in stroke_cards(shop)] == names


def test_a_piece_is_found_on_the_cards_it_has_part_in(shop: Session) -> None:
    mount(shop, FIRST, "P-0137", "D-0201")
    assert [one.line.tag for one in cards_of(shop, "d-0201")] == ["P-0137"]
    (alone,) = cards_of(shop, "P-0140")
    assert (alone.line.tag, alone.count, alone.runs_now) == ("P-0140", "", False)
    with pytest.raises(UnknownName):
        cards_of(shop, "P-9999")


def test_machines_stand_in_the_order_of_a_walk(shop: Session) -> None:
    assert machines_of(shop) == ["Ironworker 1", "Ironworker 2"]


@pytest.mark.parametrize(
    ("card", "meant"),
    [
        (SaidCard(KNOWN, "400"), (400, False, 9.525, "A36", "D-0201", "J-1")),
        (SaidCard(KNOWN, " 1200 ", about=True), (1200, True, 9.525, "A36", "D-0201", "J-1")),
        (SaidCard(KNOWN, "400", die="D-0202"), (400, False, 9.525, "A36", "D-0202", "J-1")),
        (
            SaidCard(KNOWN, "4", plate="3/8 A36", drawn=("", "3/8 A36")),
            (4, False, 9.525, "A36", "D-0201", "J-1"),
        ),
        (
            SaidCard(KNOWN, "4", plate="1/2 A572-50", drawn=("", "3/8 A36")),
            (4, False, 12.7, "A572-50", "D-0201", "J-1"),
        ),
        (
            SaidCard(KNOWN, "4", plate="", drawn=("", "3/8 A36")),
            (4, False, None, "", "D-0201", "J-1"),
        ),
    ],
)
def test_a_card_means_what_it_was_drawn_from_and_what_was_changed(
    shop: Session, card: SaidCard, meant: tuple[object, ...]
) -> None:
    (line,) = said(shop, card)
    material = line.work.material.name if line.work.material else ""
    plate = (line.work.thickness_mm, material)
    assert (line.count, line.estimate, *plate, line.die_tag, line.job) == meant


@pytest.mark.parametrize(
    "card",
    [
        SaidCard(KNOWN, ""),
        SaidCard(KNOWN, "0"),
        SaidCard(KNOWN, "400", none=True, drawn=("400", "")),
        SaidCard(KNOWN, "", none=True, drawn=("400", "")),
    ],
)
def test_a_card_that_says_none_counts_nothing(shop: Session, card: SaidCard) -> None:
    with pytest.raises(Missing, match="nothing was counted"):
        said(shop, card)


@pytest.mark.parametrize(
    ("card", "wrong"),
    [
        (SaidCard(KNOWN, "40", none=True, drawn=("400", "")), "none, and 40 strokes: which"),
        (SaidCard(KNOWN, "4o"), "expected a count of strokes of P-0137"),
        (SaidCard(KNOWN, "-4"), "expected a count of strokes of P-0137"),
        (SaidCard(KNOWN, "40 P-0140 30"), "is more than one line"),
        (SaidCard(KNOWN, "40", plate="thick"), "expected a thickness"),
    ],
)
def test_a_card_that_cannot_be_read_is_told(shop: Session, card: SaidCard, wrong: str) -> None:
    with pytest.raises(BadInput, match=wrong):
        said(shop, card)
    good = SaidCard(KNOWN, "5")
    assert wrong in card_faults(shop, [good, card])[1]
    assert list(card_faults(shop, [good, card])) == [1]


def test_a_tool_by_hand_goes_beside_the_cards_by_tag_or_printed_code(shop: Session) -> None:
    lines = shift_lines(shop, SaidShift([SaidCard(KNOWN, "5")], "P-0140 30 thru 3/8".split()))
    assert [(line.tag, line.count) for line in lines] == [("P-0137", 5), ("P-0140", 30)]
    with pytest.raises(BadInput):
        shift_lines(shop, SaidShift(by_hand=["P-0140"]))
